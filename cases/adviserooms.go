package cases

import (
	"cmp"
	"math"
	"slices"

	"chainpath/sim"
)

// moved is a move that is one at all, mm.
const movedAtAll = 1e-6

// unmeasured lists the rooms that a changed bike takes from and nobody measured, with what they have
// to be at least.
func (w *adviser) unmeasured(b *sim.Bike) (out []Room) {
	add := func(name string, by float64) {
		least := 0.0
		if need := w.need(name); need > 0 {
			least = math.Ceil(10*(need+by)-1e-9) / 10
		}
		out = append(out, Room{name, least})
	}
	last := len(w.b.Rings) - 1
	if in := w.b.RingFace() - b.RingFace(); b.Stay == nil && (in > movedAtAll || b.Rings[last].Teeth > w.b.Rings[last].Teeth) {
		add("chainstay", max(in, 0))
	}
	if by := b.CogFace() - w.b.CogFace(); b.Dropout == nil && by > movedAtAll {
		add("dropout", by)
	}
	n := len(w.b.Cogs) - 1
	if by := w.b.Cogs[n].Line - b.Cogs[n].Line; b.Spokes == nil && b.Rotor == nil && (by > movedAtAll || b.Cogs[n].Teeth > w.b.Cogs[n].Teeth) {
		add("wheel", max(by, 0))
	}
	if b.Tyre == nil && w.b.Rings[0].Line-b.Rings[0].Line > movedAtAll {
		add("tyre", 0)
	}
	return out
}

// mostNeeded is up to where a room that is needed is looked for, mm: what no reading in doubt and no flex takes up
// (assumption).
const mostNeeded = 6.0

// need returns how much of a room has to be left for parts to touch on no more than the share of
// bikes that may be, with the doubt of a plain reading: what is measured, mm; 0: not worked out.
func (w *adviser) need(name string) float64 {
	if x, known := w.needs[name]; known {
		return x
	}
	w.needs[name] = 0
	c := w.c.clone()
	c.Riding, c.Symptoms, c.Observations = nil, nil, nil
	given := func(v float64) Quantity { q := Q(v); q.Step = 0.1; return q }
	var k sim.Concern
	var put func(b *sim.Bike, room float64)
	switch name {
	case "chainstay":
		k, c.Chainstay = sim.MeetsStay, &Stay{Gap: given(3)}
		put = func(b *sim.Bike, room float64) {
			s := *b.Stay
			s.Face = b.RingFace() - room
			b.Stay = &s
		}
	case "dropout":
		k, c.Rear.Dropout = sim.MeetsDropout, given(3)
		put = func(b *sim.Bike, room float64) { b.Dropout = &sim.Dropout{Face: b.CogFace() + room} }
	case "wheel":
		last := &w.b.Cogs[len(w.b.Cogs)-1]
		face := last.Line - last.Thickness()/2
		k, c.Rotor = sim.MeetsWheel, &Rotor{Line: given(face - 3), Radius: Q(last.TipRadius(w.b.Chain.Pitch) + 5)}
		put = func(b *sim.Bike, room float64) {
			r := *b.Rotor
			r.Line = face - room
			b.Rotor = &r
		}
	default:
		return 0
	}
	v, err := c.prepare(false)
	if err != nil {
		return 0
	}
	lo, hi := 0.0, mostNeeded
	for range 10 {
		mid := (lo + hi) / 2
		b := *v.Base
		put(&b, mid)
		all, err := v.Means([]sim.Design{{Bike: &b, Links: v.Links}})
		if err != nil {
			return 0
		}
		if slices.MaxFunc(all[0], func(x, y sim.Chances) int { return cmp.Compare(x[k], y[k]) })[k] > mostTouch {
			lo = mid
		} else {
			hi = mid
		}
	}
	w.needs[name] = hi
	return hi
}

// kept lists what a change leaves of the rooms that it takes from.
func (w *adviser) kept(e *Expected) (out []Kept) {
	b := e.Bike
	add := func(name string, left float64, k sim.Concern) {
		touch := 0.0
		for g := range e.Chances {
			touch = max(touch, e.Chances[g][k])
		}
		out = append(out, Kept{name, left, touch})
	}
	last := len(w.b.Rings) - 1
	if b.Stay != nil && w.b.Stay != nil && (w.b.RingFace()-b.RingFace() > movedAtAll || b.Rings[last].Teeth > w.b.Rings[last].Teeth) {
		add("chainstay", b.RingStayGap().MM+b.Stay.Flex, sim.MeetsStay)
	}
	if b.Dropout != nil && w.b.Dropout != nil && b.CogFace()-w.b.CogFace() > movedAtAll {
		add("dropout", b.Dropout.Face-max(b.CogFace(), b.Cogs[0].Line+b.Chain.Width/2), sim.MeetsDropout)
	}
	return out
}
