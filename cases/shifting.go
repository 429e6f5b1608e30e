package cases

import (
	"math"

	"chainpath/sim"
	"chainpath/sim/indexing"
	"chainpath/sim/judge"
)

// Shifting is what drawn bicycles say of the cable's setting and of shifts.
type Shifting struct {
	Found    bool       // the setting is a reading; else it is set at its best
	Off      float64    // that reading: pulleys outboard of their best, mm
	Click    float64    // of the adjuster at the pulley, mm; 0: it has none
	Clicks   float64    // to turn, as the bicycle is told: > 0 out, < 0 in
	Window   judge.Size // where the cable may be set for every shift to be made, mm at the pulley; < 0: nowhere
	Exists   float64    // chance that there is such a setting
	Late     float64    // chance that some shift is late, as the bicycle is set
	Inboard  indexing.Shift
	Outer    indexing.Shift // which shift is late first, inboard of the window and outboard of it
	FirstIs  [2]float64     // chances of these two
	Shifts   []ShiftChance  // on every ring, from cog to cog, from the smallest up
	Cogs     []CogRoom
	Remedies []Remedy           // of what the case tells, what helps most first
	Inferred *indexing.Inferred // from what was seen; nil: nothing was
	Counted  *Counted
	Rear     *indexing.Rear // as told
	Sets     int
}

// ShiftChance is a shift over the drawn bicycles.
type ShiftChance struct {
	Ring int
	indexing.Shift
	Late   float64    // chance that one is late
	Margin judge.Size // mm, as the bicycle is set, with those of the gears at both ends
}

// CogRoom is where the pulley may stand on a cog for the shifts to it, mm outboard of the best
// setting's place: 5, 50 and 95 % points of both ends. Of the smallest cog there is no inboard
// shift to it, of the largest no outboard one: that end is infinite.
type CogRoom struct{ From, To judge.Size }

// Remedy is a change that the case itself gives cause for.
type Remedy struct {
	indexing.Plant
	Felt  float64 // chance that a shift is late that would not be without it
	After float64 // chance that some shift is late after the remedy
}

// shiftsEach is how many simulated bicycles there are of each fault.
const shiftsEach = 2000

// Shifting computes setting and shifts. Errors are *Error, or come from package sim.
func (c *Case) Shifting() (*Shifting, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, err
	}
	if err := c.shiftable(b); err != nil {
		return nil, err
	}
	s := &Shifting{Found: c.Tensioner != nil && (c.Tensioner.IndexError.Given || c.Tensioner.SetAt.Given), Off: b.Tensioner.IndexError, Click: b.Tensioner.Stops.Click, Sets: judge.Sets, Rear: new(indexing.Rear)}
	if c.Tensioner != nil {
		s.Counted = c.Tensioner.Counted
	}
	b.Rear(s.Rear)
	if s.Click > 0 {
		s.Clicks = s.Off / s.Click
	}
	bikes, err := c.indexed(b, s)
	if err != nil {
		return nil, err
	}
	s.fold(b, bikes)
	s.Remedies = remedies(s.Rear, bikes)
	return s, nil
}

// shiftable refuses a bike that has nothing to index.
func (c *Case) shiftable(b *sim.Bike) error {
	switch {
	case b.Tensioner == nil:
		return c.fail("tensioner", "none: nothing is indexed and nothing shifts")
	case len(b.Cogs) < 2:
		return c.fail("rear.cogs", "one cog, want two and more: nothing is indexed and nothing shifts")
	}
	return nil
}

// indexed returns the bicycles that the case may be: drawn, or where something was seen of its
// shifts, what that leaves.
func (c *Case) indexed(b *sim.Bike, s *Shifting) ([]indexing.Bicycle, error) {
	seen, was, trouble, err := c.sights(b)
	if err != nil {
		return nil, err
	}
	a := b.Around()
	faults := []indexing.Fault{indexing.AsTold}
	each, sets := shiftsEach, ShiftSets()
	if trouble {
		faults = a.Faults(s.Rear)
	}
	if len(seen) == 0 && !trouble {
		each = judge.Sets
	}
	i := indexing.Infer(s.Rear, a, sets, faults, was, seen, each, judge.Sets)
	if len(seen) > 0 {
		s.Inferred = i
	}
	return i.Left, nil
}

// fold gathers what the bicycles say.
func (s *Shifting) fold(b *sim.Bike, bikes []indexing.Bicycle) {
	n := len(b.Cogs)
	steps := indexing.Shifts(n)
	var m indexing.Margins
	var widths []float64
	late, margins := make([]float64, len(steps)), make([][]float64, len(steps))
	ends := [2][][]float64{make([][]float64, n), make([][]float64, n)}
	var first [2]map[int]int
	first[0], first[1] = map[int]int{}, map[int]int{}
	for i := range bikes {
		m.Of(bikes[i].Rear, bikes[i].Draw)
		widths = append(widths, m.Width())
		if m.Width() > 0 {
			s.Exists++
		}
		if m.Least() < 0 {
			s.Late++
		}
		first[0][m.First]++
		first[1][m.FirstOut]++
		for j, x := range steps {
			y := m.Whole(x)
			late[j] += indexing.Late(y)
			margins[j] = append(margins[j], y)
			if x.Outward {
				ends[0][x.To()] = append(ends[0][x.To()], -m.Out[x.Pair]-m.Best)
			} else {
				ends[1][x.To()] = append(ends[1][x.To()], m.Inn[x.Pair]-m.Best)
			}
		}
	}
	made := float64(len(bikes))
	s.Window, s.Exists, s.Late = judge.PointsOf(widths), judge.OffTheEnds(s.Exists/made), judge.OffTheEnds(s.Late/made)
	s.Inboard, s.Outer = indexing.Shift{Pair: mostOf(first[0]), Outward: true}, indexing.Shift{Pair: mostOf(first[1])}
	s.FirstIs = [2]float64{judge.OffTheEnds(float64(first[0][s.Inboard.Pair]) / made), judge.OffTheEnds(float64(first[1][s.Outer.Pair]) / made)}
	for ring := range b.Rings {
		for j, x := range steps {
			s.Shifts = append(s.Shifts, ShiftChance{ring, x, judge.OffTheEnds(late[j] / made), judge.Size{}})
		}
	}
	for j := range steps {
		p := judge.PointsOf(margins[j])
		for ring := range b.Rings {
			s.Shifts[ring*len(steps)+j].Margin = p
		}
	}
	for k := range n {
		r := CogRoom{judge.Size{math.Inf(-1), math.Inf(-1), math.Inf(-1)}, judge.Size{math.Inf(1), math.Inf(1), math.Inf(1)}}
		if len(ends[0][k]) > 0 {
			r.From = judge.PointsOf(ends[0][k])
		}
		if len(ends[1][k]) > 0 {
			r.To = judge.PointsOf(ends[1][k])
		}
		s.Cogs = append(s.Cogs, r)
	}
}

// mostOf returns the most frequent key, of equals the least.
func mostOf[K ~int](count map[K]int) (most K) {
	best := -1
	for k, n := range count {
		if n > best || n == best && k < most {
			most, best = k, n
		}
	}
	return most
}

// LateOf returns the chance that each shift of a rear is late, set at its best, over the shipped
// sets.
func LateOf(r *indexing.Rear) map[indexing.Shift]float64 {
	i := indexing.Infer(r, &indexing.Around{}, ShiftSets(), []indexing.Fault{indexing.AsTold}, indexing.History{}, nil, judge.Sets, judge.Sets)
	out := map[indexing.Shift]float64{}
	var m indexing.Margins
	for _, b := range i.Left {
		m.Of(b.Rear, b.Draw)
		for _, x := range indexing.Shifts(len(r.Planes)) {
			out[x] += indexing.Late(m.Whole(x)) / float64(len(i.Left))
		}
	}
	return out
}
