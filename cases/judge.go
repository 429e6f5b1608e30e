package cases

import (
	"errors"
	"math"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// ErrMeetsStay reports a change that brings the ring or the chain into the chainstay.
var ErrMeetsStay = errors.New("cases: touches the chainstay")

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
}

// Judging judges a catalogue's changes of one case by the trouble to be expected.
type Judging struct {
	k         *Candidates
	weights   *decide.Weights
	complaint func(sim.Concern) bool
	before    *Expected
	sets      []start
	single    []*decide.Trouble // of the bike as it is, by set; nil: it cannot be
	set       []float64         // the free numbers that are nearest the mean of all
	room      float64           // gap to the chainstay, mm; +Inf: none
}

// Judging looks at the bike as it is. A complaint names the concerns that are to be cured.
// Errors are *Error, wrap ErrSets or decide.ErrWeights, or come from package sim.
func (k *Candidates) Judging(complaint func(sim.Concern) bool, w *decide.Weights) (*Judging, error) {
	j := &Judging{k: k, weights: w, complaint: complaint, room: math.Inf(1)}
	var err error
	if j.before, err = j.Expect(nil); err != nil {
		return nil, err
	}
	return j, nil
}

// Before returns what is to be expected of the bike as it is.
func (j *Judging) Before() *Expected { return j.before }

// shares returns the riding profile's shares; where changes make another number of gears
// than the profile lists, all gears are alike.
func shares(c *Case, b *sim.Bike) []float64 {
	s, err := c.Shares(b)
	if err != nil {
		return nil
	}
	return s
}

// Expect judges a combination with every set. The error wraps ErrMeetsStay where the bike
// as it is does not meet it; others are as of Chances.
func (j *Judging) Expect(picks []int) (*Expected, error) {
	c, b, err := j.k.build(picks)
	if err != nil {
		return nil, err
	}
	e := &Expected{Case: c, Bike: b, Share: shares(c, b)}
	if e.Result, err = b.Evaluate(); err != nil {
		return nil, c.Explain(err)
	}
	if err := j.clearsStay(e.Result); err != nil {
		return nil, err
	}
	draws, err := c.draw(nil, []float64{0})
	if err != nil {
		return nil, err
	}
	all, err := c.mean(draws, 1)
	if err != nil {
		return nil, err
	}
	e.Chances, e.Judged.Links = all[0], e.Result.Links
	if e.Carried, err = c.Carried(); err != nil {
		return nil, err
	}
	if e.Trouble, err = decide.Expect(e.Chances, e.Share, j.weights, e.Carried); err != nil {
		return nil, err
	}
	if e.mounts, err = c.mounts(); err != nil {
		return nil, err
	}
	if j.sets, err = c.starts(); err != nil {
		return nil, err
	}
	if j.before == nil {
		j.before = e
		j.start(draws)
		if err := j.middle(draws); err != nil {
			return nil, err
		}
	}
	e.Judged.Left, e.Judged.Harm = e.Trouble.Split(&j.before.Trouble, j.complaint, j.weights)
	e.compare(j, draws)
	return e, nil
}

// clearsStay remembers the gap of the bike as it is, and refuses what meets the stay anew.
func (j *Judging) clearsStay(r *sim.Result) error {
	least := math.Inf(1)
	for i := range r.Gears {
		if g := r.Gears[i].Clearances.Stay(); g.Valid && g.MM < least {
			least = g.MM
		}
	}
	if j.before == nil {
		j.room = least
	} else if least < 0 && j.room >= 0 {
		return ErrMeetsStay
	}
	return nil
}

// start keeps what the sets of others are measured against.
func (j *Judging) start(draws []drawn) {
	j.single = make([]*decide.Trouble, len(draws))
	for k, d := range draws {
		if d.err == nil {
			t, _ := ofSet(d.chances[0], j.sets[k].set, j.before.mounts, j.before.Share, j.weights) // these went well with the mean
			j.single[k] = &t
		}
	}
}

// middle finds the set whose chances are nearest the mean of all.
func (j *Judging) middle(draws []drawn) error {
	sets, err := j.before.Case.starts()
	if err != nil {
		return err
	}
	near := math.Inf(1)
	for k, d := range draws {
		if d.err != nil {
			continue
		}
		away := 0.0
		for g := range j.before.Chances {
			for c, p := range j.before.Chances[g] {
				x := d.chances[0][g][c] - p
				away += j.weights[c] * x * x
			}
		}
		if away < near {
			near, j.set = away, sets[k].set
		}
	}
	return nil
}

// compare counts the sets that have less trouble than with the bike as it is, of those in which
// both can be.
func (e *Expected) compare(j *Judging, draws []drawn) {
	less, of := 0, 0
	e.bySet = make([]float64, len(draws))
	for k, d := range draws {
		e.bySet[k] = math.NaN()
		if d.err != nil || k >= len(j.single) || j.single[k] == nil {
			continue
		}
		t, err := ofSet(d.chances[0], j.sets[k].set, e.mounts, e.Share, j.weights)
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

// Screen returns a judge for one goroutine that looks at one set alone, the one that is
// nearest the mean of all on the bike as it is, with every reading as it stands.
func (j *Judging) Screen() decide.Judge {
	var o sim.Odds
	var gears []sim.Chances
	judge := func(picks []int) (t decide.Trouble, links int, err error) {
		c, b, err := j.k.build(picks)
		if err != nil {
			return t, 0, err
		}
		if g := b.RingStayGap(); g.Valid && g.MM < 0 && j.room >= 0 {
			return t, 0, ErrMeetsStay
		}
		if links, err = b.ChooseLinks(); err != nil {
			return t, 0, err
		}
		for len(gears) < len(b.Rings)*len(b.Cogs) {
			gears = append(gears, sim.Chances{})
		}
		to := gears[:len(b.Rings)*len(b.Cogs)]
		if err := o.Gears(to, b, c.put(b, j.set), links); err != nil {
			return t, 0, err
		}
		mounts := make([]bool, len(to))
		for g := range to {
			mounts[g] = to[g][sim.DoesNotClose] < 1
		}
		t, err = ofSet(to, j.set, mounts, shares(c, b), j.weights)
		return t, links, err
	}
	before, _, failed := judge(nil)
	return func(picks []int) (out decide.Judged, err error) {
		if failed != nil {
			return out, failed
		}
		t, links, err := judge(picks)
		if err != nil {
			return out, err
		}
		out.Links = links
		out.Left, out.Harm = t.Split(&before, j.complaint, j.weights)
		return out, nil
	}
}
