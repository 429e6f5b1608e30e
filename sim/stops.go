package sim

import (
	"math"

	"chainpath/sim/indexing"
)

// Stops are the shifter's, and what else decides of indexing.
type Stops struct {
	Pitch    float64   // cog to cog that chain and derailleur are made for, mm
	Steps    []float64 // at the pulley, from each cog to the next larger one, mm; nil: the pitch
	Click    float64   // of the adjuster at the pulley, mm; 0: it has none
	Gates    bool      // the cogs have shift gates
	Play     float64   // of the guide pulley beyond a sound one's, mm
	Electric bool      // a motor, and no cable
	Others   []float64 // pitches of clusters for one speed more and less, mm
	Typical  indexing.Unknowns
}

// Rear fills in what indexing needs of a bike with a tensioner. The index error is how far
// outboard of its best the cable is set.
func (b *Bike) Rear(r *indexing.Rear) {
	t := b.Tensioner
	s := &t.Stops
	r.Planes, r.Stops, r.Aside, r.Below, r.Forward = r.Planes[:0], r.Stops[:0], r.Aside[:0], r.Below[:0], r.Forward[:0]
	along, down := math.Sincos(t.Direction) // along which the guide pulley moves from cog to cog
	middle, at := b.guideReach(len(b.Cogs)/2), 0.0
	for k := range b.Cogs {
		if k > 0 {
			step := s.Pitch
			if k-1 < len(s.Steps) {
				step = s.Steps[k-1]
			}
			at -= step
		}
		way := b.guideReach(k) - middle
		r.Planes, r.Stops = append(r.Planes, b.Cogs[k].Line-b.Cogs[0].Line), append(r.Stops, at)
		r.Forward, r.Below = append(r.Forward, way*along), append(r.Below, way*down)
		r.Aside = append(r.Aside, 0)
	}
	r.Hang(t.Hanger.Lean, t.Hanger.Toe)
	r.Pitch, r.Click, r.Gates, r.Play, r.Friction, r.Off = s.Pitch, s.Click, s.Gates, s.Play, 0, t.IndexError
}

// Around returns what faults' sizes depend on beside the rear.
func (b *Bike) Around() *indexing.Around {
	a := &indexing.Around{Others: b.Tensioner.Stops.Others, Electric: b.Tensioner.Stops.Electric}
	for _, ring := range b.Rings {
		// Cogs lie a pitch from each other, from the smallest inboard.
		a.Straight = append(a.Straight, (b.Cogs[0].Line-ring.Line)/b.Tensioner.Stops.Pitch)
	}
	return a
}

// ShiftWorst holds the indexing of a design in a few numbers, by typical values.
type ShiftWorst struct {
	Valid  bool    // there is something to index: a tensioner and two cogs
	Window float64 // where the cable may be set, mm at the pulley; < 0: nowhere
	Clicks float64 // the same in clicks of the adjuster; NaN: it has none
	Best   float64 // middle of it outboard of where the smallest cog's stop is right, mm
	Margin float64 // of the worst step, as the cable is set, mm
	From   int     // its cogs, indices
	To     int
}

// Indexer works out ShiftWorst for one design after the other. It is scratch, for one goroutine.
type Indexer struct {
	rear    indexing.Rear
	margins indexing.Margins
	none    indexing.Draw
}

// Worst fills in a bike's.
func (x *Indexer) Worst(w *ShiftWorst, b *Bike) {
	*w = ShiftWorst{}
	if b.Tensioner == nil || len(b.Cogs) < 2 {
		return
	}
	b.Rear(&x.rear)
	if n := len(b.Cogs); len(x.none.Stop) != n {
		x.none = *x.none.Middle(n)
	}
	x.none.Unknowns = b.Tensioner.Stops.Typical
	m := &x.margins
	m.Of(&x.rear, &x.none)
	w.Valid, w.Window, w.Clicks, w.Best, w.Margin = true, m.Width(), math.NaN(), m.Best, math.Inf(1)
	if c := x.rear.Click; c > 0 {
		w.Clicks = m.Width() / c
	}
	for k := range m.Inn {
		for _, s := range [...]indexing.Shift{{Pair: k}, {Pair: k, Outward: true}} {
			if own := m.Whole(s); own < w.Margin {
				w.Margin, w.From, w.To = own, s.From(), s.To()
			}
		}
	}
}
