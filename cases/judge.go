package cases

import (
	"errors"
	"math"
	"sync"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// ErrTouches reports a change that brings ring, cogs or chain against frame, wheel or tyre.
var ErrTouches = errors.New("cases: touches frame, wheel or tyre")

// mostTouch is how likely they may touch after a change, in one gear; where it is likelier before,
// no likelier than that (assumption).
const mostTouch = 0.05

// touching are the hazards that this is asked of.
var touching = [...]sim.Concern{sim.MeetsStay, sim.MeetsDropout, sim.MeetsWheel, sim.RubsTyreAt}

// touches reports whether a change makes parts touch that did not.
func touches(before, after []sim.Chances) bool {
	for _, k := range touching {
		was, is := mostTouch, 0.0
		for g := range before {
			was = max(was, before[g][k])
		}
		for g := range after {
			is = max(is, after[g][k])
		}
		if is > was {
			return true
		}
	}
	return false
}

// Expected is what is to be expected of a combination of changes, by chances over the
// drawn sets.
type Expected struct {
	Judged  decide.Judged
	Trouble decide.Trouble
	Case    *Case
	Bike    *sim.Bike
	Result  *sim.Result
	Chances []sim.Chances
	Share   []float64 // of time, by gear; nil: all alike
	Carried *decide.Carried
	Surer   float64 // share of the drawn sets with less trouble than the bike as it is

	mounts []bool    // by gear, whether the chain goes round it
	bySet  []float64 // what is left and new harm, by set; NaN: it cannot be
	late   func() *float64
}

// Late returns the chance that some shift is late, worked out when it is first asked for; nil where
// nothing is shifted.
func (e *Expected) Late() *float64 {
	if e.late == nil {
		return nil
	}
	return e.late()
}

// lateOf is that of a case.
func lateOf(c *Case, b *sim.Bike) func() *float64 {
	return sync.OnceValue(func() *float64 {
		l, err := c.lateShifts(b)
		if err != nil { // there is nothing to shift
			return nil
		}
		return &l.Any
	})
}

// Judging judges a catalogue's changes of one case by the trouble to be expected.
type Judging struct {
	k         *Candidates
	weights   *decide.Weights
	complaint func(sim.Concern) bool
	before    *Expected
	sets      []start
	single    []*decide.Trouble // of the bike as it is, by set; nil: it cannot be
	bikes     judgedBikes
}

// Judging looks at the bike as it is. A complaint names the concerns that are to be cured.
// Errors are *Error, wrap ErrSets or decide.ErrWeights, or come from package sim.
func (k *Candidates) Judging(complaint func(sim.Concern) bool, w *decide.Weights) (*Judging, error) {
	j := &Judging{k: k, weights: w, complaint: complaint}
	j.bikes.j = j
	var err error
	if j.before, err = j.Expect(nil); err != nil {
		return nil, err
	}
	return j, nil
}

// Before returns what is to be expected of the bike as it is.
func (j *Judging) Before() *Expected { return j.before }

// shares returns the riding profile's shares of a changed bike. A profile that lists gears by their teeth is
// carried over by their places where changes make other ones of them, and to nothing where they make another
// number: two bikes are never weighed by two profiles. Errors are *Error.
func (j *Judging) shares(c *Case, b *sim.Bike) ([]float64, error) {
	s, err := c.Shares(b)
	if err == nil || j.before == nil {
		return s, err
	}
	if len(j.before.Share) == len(b.Rings)*len(b.Cogs) {
		return j.before.Share, nil
	}
	return nil, err
}

// Expect judges a combination with every set. The error wraps ErrTouches where parts
// would touch that do not on the bike as it is; others are as of Chances.
func (j *Judging) Expect(picks []int) (*Expected, error) {
	c, b, err := j.k.build(picks)
	if err != nil {
		return nil, err
	}
	e := &Expected{Case: c, Bike: b, late: lateOf(c, b)}
	if e.Share, err = j.shares(c, b); err != nil {
		return nil, err
	}
	if e.Result, err = b.Evaluate(); err != nil {
		return nil, c.Explain(err)
	}
	v, design, err := j.bikes.of(c, b, picks)
	if err != nil {
		return nil, err
	}
	draws, err := v.BySet([]sim.Design{design})
	if err != nil {
		return nil, err
	}
	if e.Chances, err = v.MeanOf(draws, 0, &design); err != nil {
		return nil, err
	}
	e.Judged.Links = e.Result.Links
	if e.Carried, err = c.Carried(); err != nil {
		return nil, err
	}
	if e.Trouble, err = decide.Expect(e.Chances, e.Share, j.weights, e.Carried); err != nil {
		return nil, err
	}
	if e.mounts, err = judge.Mounted(b, design.Links); err != nil {
		return nil, c.Explain(err)
	}
	if j.sets, err = c.starts(); err != nil {
		return nil, err
	}
	if j.before == nil {
		j.before = e
		j.start(draws)
	}
	if touches(j.before.Chances, e.Chances) {
		return nil, ErrTouches
	}
	e.Judged.Left, e.Judged.Harm = e.Trouble.Split(&j.before.Trouble, j.complaint, j.weights)
	e.compare(j, draws)
	return e, nil
}

// start keeps what the sets of others are measured against.
func (j *Judging) start(draws []judge.Draw) {
	j.single = make([]*decide.Trouble, len(draws))
	for k, d := range draws {
		if d.Err == nil {
			t, _ := ofSet(d.Chances[0], j.sets[k].set, j.before.mounts, j.before.Share, j.weights) // these went well with the mean
			j.single[k] = &t
		}
	}
}

// compare counts the sets that have less trouble than with the bike as it is, of those in which
// both can be.
func (e *Expected) compare(j *Judging, draws []judge.Draw) {
	less, of := 0, 0
	e.bySet = make([]float64, len(draws))
	for k, d := range draws {
		e.bySet[k] = math.NaN()
		if d.Err != nil || k >= len(j.single) || j.single[k] == nil {
			continue
		}
		t, err := ofSet(d.Chances[0], j.sets[k].set, e.mounts, e.Share, j.weights)
		if err != nil {
			continue
		}
		left, harm := t.Split(j.single[k], j.complaint, j.weights)
		was, _ := j.single[k].Split(j.single[k], j.complaint, j.weights)
		e.bySet[k] = left + harm
		of++
		if left+harm < was {
			less++
		}
	}
	if of > 0 {
		e.Surer = float64(less) / float64(of)
	}
}

// Choice is the choice between combinations that were judged: the trouble of each under every
// set; sets under which one of them cannot be weigh nothing.
func Choice(list []*Expected) *decide.Choice {
	c := &decide.Choice{Weight: make([]float64, len(list[0].bySet)), Trouble: make([][]float64, len(list))}
	for i := range list {
		c.Trouble[i] = make([]float64, len(c.Weight))
	}
	for k := range c.Weight {
		c.Weight[k] = 1
		for i, e := range list {
			if math.IsNaN(e.bySet[k]) {
				c.Weight[k] = 0
			} else {
				c.Trouble[i][k] = e.bySet[k]
			}
		}
	}
	return c
}

// Screen returns a judge for one goroutine, which finds what Expect finds of a combination but
// for the sets one by one.
func (j *Judging) Screen() decide.Judge {
	bikes := judgedBikes{j: j, alone: true}
	return func(picks []int) (out decide.Judged, err error) {
		c, b, err := j.k.build(picks)
		if err != nil {
			return out, err
		}
		v, design, err := bikes.of(c, b, picks)
		if err != nil {
			return out, err
		}
		all, err := v.Means([]sim.Design{design})
		if err != nil {
			return out, err
		}
		if touches(j.before.Chances, all[0]) {
			return out, ErrTouches
		}
		share, err := j.shares(c, b)
		if err != nil {
			return out, err
		}
		t, err := decide.Expect(all[0], share, j.weights, j.before.Carried)
		if err != nil {
			return out, err
		}
		out.Links = design.Links
		out.Left, out.Harm = t.Split(&j.before.Trouble, j.complaint, j.weights)
		return out, nil
	}
}
