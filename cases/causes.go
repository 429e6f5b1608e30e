package cases

import (
	"slices"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/indexing"
	"chainpath/sim/judge"
)

// How a bike is otherwise with a cause, and how often so (assumptions): chainrings that stand elsewhere, mm
// outboard; a chain of so many links more; a freehub that drags, N·m.
var (
	linesOff  = []often{{-1.5, 0.2}, {1.5, 0.2}, {-3, 0.2}, {3, 0.2}, {-4.5, 0.1}, {4.5, 0.1}}
	linksOff  = []often{{-2, 0.2}, {2, 0.2}, {-4, 0.15}, {4, 0.15}, {-6, 0.1}, {6, 0.1}, {-8, 0.05}, {8, 0.05}}
	dragsMost = []often{{0.3, 0.4}, {0.6, 0.3}, {1.2, 0.3}}
)

// often is a number with how often it is that.
type often struct{ x, share float64 }

// Causes ranks what may be behind everything that was told of the bike, symptoms and observations, good
// gears and shifts; nothing that was learned is used, since it is the same that was told. Errors are as of
// Chances.
func (c *Case) Causes(b *sim.Bike, symptoms []decide.Symptom) ([]decide.Ranked, error) {
	plain := c.clone()
	plain.Learned = nil
	told := &decide.Evidence{Rings: len(b.Rings)}
	for _, w := range b.Cogs {
		told.Teeth = append(told.Teeth, w.Teeth)
	}
	for _, s := range symptoms {
		if !slices.Contains(decide.OfShifts, s.Complaint) {
			told.Symptoms = append(told.Symptoms, s)
		}
	}
	var err error
	if told.Spared, err = plain.spared(b); err != nil {
		return nil, err
	}
	shifts, err := plain.likelyShifts(b, len(told.Symptoms) < len(symptoms))
	if err != nil {
		return nil, err
	}
	variants, err := plain.variants(b)
	if err != nil {
		return nil, err
	}
	return decide.Causes(variants, told, shifts), nil
}

// spared returns what was seen not to go wrong, as symptoms that are not there: one each of a complaint and
// a direction.
func (c *Case) spared(b *sim.Bike) (out []decide.Symptom, err error) {
	seen, err := c.Seen()
	if err != nil {
		return nil, err
	}
	for i := range seen {
		s := &seen[i]
		if s.Moved != 0 {
			continue
		}
		not := s.None
		if s.Denies(s.One) {
			not = append(slices.Clone(not), s.One)
		}
		for _, k := range not {
			h := &sim.Hazards[k]
			if len(h.Symptoms) == 0 {
				continue
			}
			way := sim.Riding
			if !h.Ways[way] {
				way = sim.Backwards
			}
			what := decide.Complaint(h.Symptoms[0])
			at := slices.IndexFunc(out, func(x decide.Symptom) bool { return x.Complaint == what && x.Direction == way })
			if at < 0 {
				at = len(out)
				out = append(out, decide.Symptom{Complaint: what, Direction: way, Gears: map[[2]int]bool{}})
			}
			for _, g := range s.Gears {
				out[at].Gears[[2]int{g / len(b.Cogs), g % len(b.Cogs)}] = true
			}
		}
	}
	return out, nil
}

// likelyShifts returns how likely what was told of shifts is under each fault, AsTold's 1; empty where the
// bike has nothing to index, nil where nothing was told.
func (c *Case) likelyShifts(b *sim.Bike, symptoms bool) (map[indexing.Fault]float64, error) {
	if c.shiftable(b) != nil {
		return map[indexing.Fault]float64{}, nil
	}
	if !symptoms && len(c.SeenOfShifts()) == 0 {
		return nil, nil
	}
	s, err := c.Shifting()
	if err != nil || s.Inferred == nil {
		return nil, err
	}
	out, base := map[indexing.Fault]float64{}, 0.0
	for _, x := range s.Inferred.Suspects {
		if out[x.Fault] = x.Like; x.Fault == indexing.AsTold {
			base = x.Like
		}
	}
	for f := range out {
		out[f] /= max(base, 1e-12)
	}
	return out, nil
}

// variants returns the bike as it was measured and with each cause that changes its chances; those that
// cannot be are left out.
func (c *Case) variants(b *sim.Bike) (out []decide.Variant, err error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	lines := []float64{0}
	for _, l := range linesOff {
		lines = append(lines, l.x)
	}
	draws, err := v.BySet(v.Along(lines))
	if err != nil {
		return nil, err
	}
	out = append(out, decide.Variant{Cause: decide.AsMeasured, Share: 1, Sets: setsOf(draws, 0)})
	add := func(cause decide.Cause, share float64, draws []judge.Draw, design int) {
		if sets := setsOf(draws, design); 2*len(sets) > len(draws) {
			out = append(out, decide.Variant{Cause: cause, Share: share, Sets: sets})
		}
	}
	for i, l := range linesOff {
		add(decide.LineOff, l.share, draws, 1+i)
	}
	if b.Tensioner == nil {
		return out, nil
	}
	for _, l := range linksOff {
		if draws, err := v.BySet([]sim.Design{{Bike: v.Base, Links: v.Links + int(l.x)}}); err == nil {
			add(decide.ChainLength, l.share, draws, 0)
		} else if c.Stopped() != nil {
			return nil, err
		}
	}
	if c.Rear.Drive != "" {
		return out, nil
	}
	for _, d := range dragsMost {
		n := c.clone()
		n.Load.FreehubDrag = Q(d.x)
		draws, err := n.draw([]float64{0})
		if err != nil {
			return nil, err
		}
		add(decide.FreehubDrag, d.share, draws, 0)
	}
	return out, nil
}

// setsOf returns what every set that can be gives of a design.
func setsOf(draws []judge.Draw, design int) (out [][]sim.Chances) {
	for _, d := range draws {
		if d.Err == nil {
			out = append(out, d.Chances[design])
		}
	}
	return out
}
