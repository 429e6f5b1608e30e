// Package indexing knows a shifter whose stops have to lie between the planes of the cogs. It
// knows no bicycle: what hanger, cable and cluster come to is told in mm at the guide pulley.
//
// Cogs are counted from the smallest, k = 0 to n-1; outboard is positive, in mm, and stops and
// planes count from the smallest cog's nominal plane. Inboard shifts go from k to k+1, to the
// larger cog, outboard ones back.
//
// Where it comes from: that a guide pulley slides sideways to take up the lever's play and the
// cable's setting is in US 5711731, that a lever goes past its stop inboard and comes back to
// it from outboard in US 4938733 (both second-hand). What room that leaves a sound bicycle is
// not published; its prior is in the table of free numbers.
package indexing

import (
	"math"

	"chainpath/sim/elementary"
)

// Attempt is how softly a shift gets late, mm of its margin (assumption): one try is late with
// a chance of 1/(1+exp(margin/Attempt)).
const Attempt = 0.08

// Rear holds the cogs' planes and what moves the pulley along them, without the numbers that nobody
// publishes (Unknowns).
type Rear struct {
	Planes   []float64 // of the cogs, mm outboard of the smallest one's nominal plane
	Stops    []float64 // of the shifter at the pulley, in the same, with the adjuster at nothing
	Aside    []float64 // what a bent hanger or a leaning run puts each stop outboard, mm
	Pitch    float64   // cog to cog that chain and derailleur are made for, mm
	Friction float64   // beyond a sound bike's: the pulley stops so far off either way, mm
	Play     float64   // of the pulley beyond a sound bike's, which reaches less far by it, mm
	Click    float64   // of the adjuster, mm at the pulley; 0: it has none
	Off      float64   // how far outboard of its best the cable is set, mm
	Gates    bool      // the cogs have shift gates, whose own depths differ

	// Where the guide pulley of each cog stands beside that of the middle one, mm: what a
	// hanger's bend turns into how far aside it stands.
	Below, Forward []float64
}

// Hang bends the hanger further: outboard going down and outboard going forward, rad.
func (r *Rear) Hang(lean, toe float64) {
	for k := range r.Below {
		r.Aside[k] += lean*r.Below[k] + toe*r.Forward[k]
	}
}

// Clone returns a copy that shares nothing but Below and Forward, which nobody changes.
func (r *Rear) Clone() *Rear {
	c := new(Rear)
	c.from(r)
	return c
}

// from makes a rear like another, in its own room.
func (r *Rear) from(o *Rear) {
	planes, stops, aside := append(r.Planes[:0], o.Planes...), append(r.Stops[:0], o.Stops...), append(r.Aside[:0], o.Aside...)
	*r = *o
	r.Planes, r.Stops, r.Aside = planes, stops, aside
}

// Pull makes every step so many times as long.
func (r *Rear) Pull(factor float64) {
	for k := range r.Stops {
		r.Stops[k] *= factor
	}
}

// Spacer makes the gap from cog k to the next larger one wider by mm.
func (r *Rear) Spacer(k int, mm float64) {
	for i := k + 1; i < len(r.Planes); i++ {
		r.Planes[i] -= mm
	}
}

// Shift is one step, from cog k to k+1 inboard, from k+1 to k outboard.
type Shift struct {
	Pair    int // the smaller cog
	Outward bool
}

// From returns the cog that the step leaves, To the one it goes to.
func (s Shift) From() int {
	if s.Outward {
		return s.Pair + 1
	}
	return s.Pair
}

// To returns the cog that a step goes to.
func (s Shift) To() int { return 2*s.Pair + 1 - s.From() }

// Shifts returns the steps of n cogs, from the smallest up, of each pair the inboard one first.
func Shifts(n int) []Shift {
	out := make([]Shift, 0, 2*max(n-1, 0))
	for k := range n - 1 {
		out = append(out, Shift{k, false}, Shift{k, true})
	}
	return out
}

// Margins is what is left of every step's room, mm, with the adjuster at nothing; Adjust is
// added to what outboard steps have and taken off what inboard ones have.
type Margins struct {
	Inn  []float64 // of the shift from k to k+1
	Tick []float64 // of gear k beside cog k+1
	Out  []float64 // of the shift from k+1 to k

	// Low to High is where the adjuster may stand for every step to be made, and the pairs
	// that end it: outboard steps inboard, inboard ones outboard.
	Low, High       float64
	First, FirstOut int     // the pair whose outboard step goes first inboard; whose inboard step goes first outboard
	Best            float64 // in the middle
	Adjust          float64 // as the bike is set
}

// Width returns the width of the window, mm; less than 0: there is none.
func (m *Margins) Width() float64 { return m.High - m.Low }

// Of fills in the margins of a bike by one draw of the unknown numbers, for as many cogs.
//
//	e_k = S_k - Y_k, d_k = Y_k - Y_{k+1} - q, h = w·q/2 - f
//	inn_k  = h - e_{k+1} - (κ-1)·d_k + ξ_k - A
//	tick_k = h + e_k + d_k + ξ'_k + A
//	out_k  = min(tick_k, h + e_k - (κ-1)·d_k + ξ'_k + A)
//
// All in mm but w and κ. S_k stop, Y_k plane of cog k, outboard positive; e_k how far outboard of
// its cog a stop is; q pitch from cog to cog, d_k by how much the gap to the next larger cog is
// wider; h half the room of a straight bike, its share w of the pitch, less the friction f beyond a
// sound bike's; κ how many times a gap's error counts; ξ, ξ' of single shift ramps; A what the
// adjuster puts outboard. inn and out are left of the shift to the larger and to the smaller cog,
// tick of gear k beside the larger one. Source: our own; two patents for the mechanism (package
// comment), no published values.
//
// Play is taken off how far the chain is led over, and not off tick, because a pulley that slides
// follows the chain in gear (assumption).
func (m *Margins) Of(r *Rear, d *Draw) {
	n := len(r.Planes)
	m.Inn, m.Tick, m.Out = m.Inn[:0], m.Tick[:0], m.Out[:0]
	m.Low, m.High = math.Inf(-1), math.Inf(1)
	h := d.Room*r.Pitch/2 - r.Friction
	off := func(k int) (e, plane float64) {
		plane = r.Planes[k] + d.Cog[k]
		return r.Stops[k]*(1+d.Bow*float64(k)/float64(max(n-1, 1))) + r.Aside[k] + d.Stop[k] - plane, plane
	}
	e, plane := off(0)
	for k := range n - 1 {
		next, further := off(k + 1)
		wide := plane - further - r.Pitch
		reach := (d.Kappa - 1) * wide
		in, out := 0.0, 0.0
		if r.Gates {
			in, out = d.In[k], d.Out[k]
		}
		inn, tick := h-r.Play-next-reach+in, h+e+wide+out
		back := min(tick, h-r.Play+e-reach+out)
		m.Inn, m.Tick, m.Out = append(m.Inn, inn), append(m.Tick, tick), append(m.Out, back)
		if inn < m.High {
			m.High, m.FirstOut = inn, k
		}
		if -back > m.Low {
			m.Low, m.First = -back, k
		}
		e, plane = next, further
	}
	m.Best = (m.Low + m.High) / 2
	m.Adjust = m.Best + d.Click*r.Click + r.Off
}

// Own returns a step's own margin as the bike is set, mm.
func (m *Margins) Own(s Shift) float64 {
	if s.Outward {
		return m.Out[s.Pair] + m.Adjust
	}
	return m.Inn[s.Pair] - m.Adjust
}

// Ticks returns gear k's margin beside the next larger cog as the bike is set, mm; of the
// largest cog +Inf.
func (m *Margins) Ticks(k int) float64 {
	if k >= len(m.Tick) {
		return math.Inf(1)
	}
	return m.Tick[k] + m.Adjust
}

// Whole returns a step's margin with those of the gears that it leaves and goes to.
func (m *Margins) Whole(s Shift) float64 {
	return min(m.Own(s), m.Ticks(s.Pair), m.Ticks(s.Pair+1))
}

// Least returns the least margin of all steps as the bike is set, mm.
func (m *Margins) Least() float64 { return min(m.High-m.Adjust, m.Adjust-m.Low) }

// Late returns the chance that a shift with a margin, mm, is late: 1/(1 + e^(margin/Attempt))
// (assumption).
func Late(margin float64) float64 { return 1 / (1 + elementary.Exp(margin/Attempt)) }
