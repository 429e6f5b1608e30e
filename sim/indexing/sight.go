package indexing

import (
	"math"

	"chainpath/sim/elementary"
)

// Sight is something that was seen of a bicycle's shifts.
type Sight interface {
	// Log returns the log likelihood of it, of a bicycle with these margins, ring by ring.
	Log(r *Rear, on []*Margins) float64
}

// unsure keeps a chance that one draw gives off 0 and 1: reports err.
func unsure(p float64) float64 { return math.Max(0.02, math.Min(p, 0.98)) }

// alike is how many tries of one step tell as much as any more of them: what makes one late
// makes the next late too (assumption).
const alike = 10

// Tries are tries of one step, counted; with Of 0 it was seen late (Late 1) or fine (Late 0).
type Tries struct {
	Shift    Shift
	Ring     int
	Late, Of int
	Sure     float64 // chance that it was seen right; 0: 1
}

// Log is binomial in the step's own margin, mixed with any count alike where it was seen wrong. That
// a gear at its end ticks is another sight: with the pulleys too far inboard a step to a larger cog is
// quick, and it would not be called late.
func (t Tries) Log(_ *Rear, on []*Margins) float64 {
	p := unsure(Late(on[t.Ring].Own(t.Shift)))
	if t.Of == 0 {
		if t.Late == 0 {
			p = 1 - p
		}
		return math.Log(t.mixed(p, 1-p))
	}
	log := float64(t.Late)*math.Log(p) + float64(t.Of-t.Late)*math.Log(1-p)
	log *= min(1, alike/float64(t.Of))
	if t.Sure <= 0 || t.Sure >= 1 {
		return log // but for how many ways there are, which is alike for every bicycle
	}
	a, _ := math.Lgamma(float64(t.Of + 1))
	b, _ := math.Lgamma(float64(t.Late + 1))
	c, _ := math.Lgamma(float64(t.Of - t.Late + 1))
	return math.Log(t.mixed(elementary.Exp(a-b-c+log), 1/float64(t.Of+1)))
}

func (t Tries) mixed(right, wrong float64) float64 {
	if t.Sure <= 0 {
		return right
	}
	return t.Sure*right + (1-t.Sure)*wrong
}

// Skipping is the sight of a gear that ticks or skips at the next larger cog, or that runs free of
// it.
type Skipping struct {
	Ring, Cog int
	Yes       bool
}

// Log goes by the gear's own margin.
func (s Skipping) Log(_ *Rear, on []*Margins) float64 {
	p := unsure(Late(on[s.Ring].Ticks(s.Cog)))
	if !s.Yes {
		p = 1 - p
	}
	return math.Log(p)
}

// Counted is the adjuster's range: clicks from the first slow step with the pulleys inboard to
// the first one outboard, and which steps those were; of a pair -1: not told.
type Counted struct {
	Clicks         float64
	Inboard, Outer int // pairs: whose outboard step went first, whose inboard step
}

// Of a counted range: half a click either way at both ends and what a mechanic calls slow
// (assumption), and how often another step than the first by the model is named.
const (
	clickSpread = 0.7
	misnamed    = 0.15
	nearly      = 0.06 // mm within which two steps go at once
)

// Log holds the width and the two first steps against the window, on the first ring.
func (c Counted) Log(r *Rear, on []*Margins) float64 {
	m := on[0]
	if r.Click <= 0 {
		return 0
	}
	x := (math.Max(0, m.Width())/r.Click - c.Clicks) / clickSpread
	log := -x * x / 2
	n := float64(len(m.Inn))
	named := func(pair int, of []float64, least float64) {
		if pair < 0 || pair >= len(of) {
			return
		}
		first, sum := elementary.Exp(-(of[pair]-least)/nearly), 0.0
		for _, y := range of {
			sum += elementary.Exp(-(y - least) / nearly)
		}
		log += math.Log((1-misnamed)*first/sum + misnamed/n)
	}
	named(c.Inboard, m.Out, -m.Low)
	named(c.Outer, m.Inn, m.High)
	return log
}

// Told is a rider's words of steps that are late, or of gears that skip: of named ones each, of
// others about as many as say so.
type Told struct {
	Shifts []Shift
	Cogs   []int
	Each   bool    // named: every one of them
	One    bool    // just one of them, of which it is not said which
	Others []Shift // not complained of: they mostly go
}

// imagined is the chance that somebody tells of what is not there.
const imagined = 0.004

// Log of words, on the first ring.
func (t Told) Log(_ *Rear, on []*Margins) float64 {
	m := on[0]
	none, each, sum, odds := 1.0, 1.0, 0.0, 0.0
	n := 0
	take := func(p float64) {
		p = math.Max(imagined, math.Min(p, 1-imagined)) // what brings somebody to a workshop is hardly imagined
		none *= 1 - p
		each *= p
		odds += p / (1 - p)
		sum += p
		n++
	}
	for _, s := range t.Shifts {
		take(Late(m.Own(s)))
	}
	for _, k := range t.Cogs {
		take(Late(m.Ticks(k)))
	}
	p := 1.0
	switch {
	case n == 0:
	case t.Each:
		p = each
	case t.One:
		p = none * odds
	default:
		p = sum / float64(n)
	}
	log := math.Log(math.Max(p, 1e-6))
	if len(t.Others) > 0 {
		late := 0.0
		for _, s := range t.Others {
			late += Late(m.Own(s))
		}
		log += math.Log(unsure(1 - late/float64(len(t.Others))))
	}
	return log
}
