package learn

import (
	"math"
	"slices"

	"chainpath/sim"
	"chainpath/sim/await"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
)

// learnt is a possible bicycle, with what the model and what was seen say of it.
type learnt struct {
	*infer.Particle
	set     []float64
	chances []sim.Chances // by the model alone
	faults  [][]float64   // chances of the faults of which something was seen, by gear; NaN: none
}

// run draws possible bicycles by what was seen. The same seed gives the same ones. Errors are
// *Error, or the case's Stopped.
func (l *Learning) run(n int, seed uint64) (*infer.Cloud, []learnt, error) {
	cloud, err := l.cloud(n, seed)
	if err != nil {
		return nil, nil, err
	}
	all := make([]learnt, n)
	var wg await.Group
	for i := range l.drawers {
		wg.Go(func() {
			w := l.Judge(i)
			for k := i; k < n && l.Stopped() == nil; k += len(l.drawers) {
				all[k] = w.learnt(cloud.Particles[k])
			}
		})
	}
	wg.Wait()
	if err := l.Stopped(); err != nil {
		return nil, nil, err
	}
	all = slices.DeleteFunc(all, func(x learnt) bool { return x.chances == nil })
	if 2*len(all) < n {
		return nil, nil, l.Fail("%d of %d possible bikes that fit them cannot be in other gears", n-len(all), n)
	}
	return cloud, all, nil
}

// cloud is run but for what is worked out of every possible bicycle at the end.
func (l *Learning) cloud(n int, seed uint64) (*infer.Cloud, error) {
	var eval []infer.Evaluate
	for i := range l.drawers {
		eval = append(eval, l.Judge(i).evaluate)
	}
	cloud, err := infer.Learn(l.Model, n, seed, eval, l.Stopped)
	switch {
	case l.Stopped() != nil:
		return nil, l.Stopped()
	case err != nil:
		return nil, l.Fail("they leave too little to learn from: %s", err)
	}
	return cloud, nil
}

// learnt judges all gears of a possible bicycle; one that cannot be in gears of which nothing was
// seen has no chances.
func (w *Judge) learnt(p *infer.Particle) learnt {
	x := learnt{Particle: p}
	if _, is := w.Of(p.Numbers, nil); !is {
		return x
	}
	x.set, x.chances = slices.Clone(w.Set), slices.Clone(w.All)
	for h, k := range w.l.faults {
		gears := make([]float64, len(w.All))
		for g := range gears {
			switch {
			case w.l.wanted[g]:
				gears[g] = w.l.Model.FaultAt(p, 0, h, g)
			case w.All[g].Is(k):
				gears[g] = SpreadOf(k).Fault(Unsure(k, w.All[g][k]), p.Offsets[h][g])
			default:
				gears[g] = math.NaN()
			}
		}
		x.faults = append(x.faults, gears)
	}
	return x
}

// at returns the chance of a fault in a gear by all that was seen; below 0: there is none.
func (x *learnt) at(l *Learning, g int, k sim.Concern) float64 {
	if h := slices.Index(l.faults, k); h >= 0 && x.chances[g].Is(k) {
		return x.faults[h][g]
	}
	return x.chances[g][k]
}

// sum returns the chances of all faults that can be observed.
func (x *learnt) sum(l *Learning) (sum float64) {
	for g := range x.chances {
		for k := range sim.NumConcerns {
			if p := x.at(l, g, sim.Concern(k)); p > 0 && sim.Hazards[k].Seen != "" {
				sum += p
			}
		}
	}
	return sum
}

// Kept is a possible bicycle as it is written down.
type Kept struct {
	Set      []float64   // shares of the free numbers
	Readings []float64   // deviates of those that are drawn, 0 to 1
	Offsets  [][]float64 // by how much it is off what the model says, by fault and gear, as of infer.Spread.Fault
}

func (x *learnt) kept(l *Learning) Kept {
	s := Kept{Set: x.set}
	for _, z := range x.Numbers[len(l.Branch):] {
		s.Readings = append(s.Readings, infer.Normal(z))
	}
	for h := range l.faults {
		offsets := slices.Clone(x.Offsets[h])
		for g := range offsets {
			if o, is := x.offset(l, h, g); is {
				offsets[g] = o
			}
		}
		s.Offsets = append(s.Offsets, offsets)
	}
	return s
}

// offset returns the offset of a gear that tells best what is known of a fault of it, as it is and with the
// changes that were tried; false where nothing was seen.
func (x *learnt) offset(l *Learning, h, g int) (float64, bool) {
	k := l.faults[h]
	var levels, faults []float64
	for tried := range 1 + len(l.moved) {
		if f := l.Model.FaultAt(x.Particle, tried, h, g); l.want(tried)[g] && !math.IsNaN(f) {
			levels, faults = append(levels, l.Model.Level(x.Particle, tried, h, g)), append(faults, f)
		}
	}
	switch {
	case len(faults) == 0:
		return 0, false
	case len(l.moved) == 0:
		return SpreadOf(k).OffsetOf(Unsure(k, x.chances[g][k]), faults[0]), true
	}
	return SpreadOf(k).OffsetBetween(levels, faults), true
}

// rates returns what is known of the share of tries in which a fault happens in a gear, with a change
// that was tried or, 0, none; nil where there is no such thing.
func (l *Learning) rates(all []learnt, tried int, k sim.Concern, g int) *infer.Rates {
	h := slices.Index(l.faults, k)
	c := SpreadOf(k).Counter(h >= 0)
	if h >= 0 {
		for _, t := range l.Model.Faults[h].Told {
			if t.Place == g && t.Tried == tried {
				c = t.Table.Counter()
			}
		}
	}
	for i := range all {
		x := &all[i]
		if !x.chances[g].Is(k) {
			return nil
		}
		level := SpreadOf(k).Level(Unsure(k, x.chances[g][k]))
		if tried > 0 {
			if level = l.Model.Level(x.Particle, tried, h, g); math.IsNaN(level) {
				return nil
			}
		}
		if h >= 0 {
			level -= x.Offsets[h][g]
		}
		c.Add(x.Mistake, level)
	}
	return c.Rates()
}

// Faults returns the chances of every gear by all that was seen: means over the possible bicycles,
// kept off 0 and 1.
func (l *Learning) Faults() ([]sim.Chances, error) {
	_, all, err := l.run(Particles, 0)
	if err != nil {
		return nil, err
	}
	return l.means(all), nil
}

// means returns the mean chances over possible bicycles, before they are written down.
func (l *Learning) means(all []learnt) []sim.Chances {
	out := make([]sim.Chances, len(l.wanted))
	for g := range out {
		for k := range sim.NumConcerns {
			sum := 0.0
			for i := range all {
				sum += all[i].at(l, g, sim.Concern(k)) / float64(len(all))
			}
			out[g][k] = judge.Settled(sim.Concern(k), sum)
		}
	}
	return out
}
