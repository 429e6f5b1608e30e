package main

import (
	"fmt"
	"math"

	"chainpath/sim"
	"chainpath/sim/score"
)

// numbers fills in for every answer the number that a rule of one number judges by: the
// top run's bend, °, for noise and riding drops; the same backwards where it pulls
// the chain off the cog outboard, else 0; gaps to neighbours and tyre, mm; the top run's
// tension backwards, N. It stays 0 where no number tells.
func (p *panel) numbers() error {
	gears := make([][]sim.Gear, len(p.bikes))
	for i, b := range p.bikes {
		bike, err := b.Case.Bike()
		if err != nil {
			return err
		}
		r, err := bike.Evaluate()
		if err != nil {
			return fmt.Errorf("%s: %w", b.Case.Title, err)
		}
		gears[i] = r.Gears
	}
	for j := range p.answers {
		a := &p.answers[j]
		a.number = number(&gears[a.bike][a.gear], a.concern)
	}
	return nil
}

func number(g *sim.Gear, k sim.Concern) float64 {
	nearer := func(gaps [2]sim.Gap) float64 { return math.Min(gaps[0].MM, gaps[1].MM) }
	switch k {
	case sim.NoiseRiding, sim.DropRiding:
		return sim.Degrees(g.Top.Bend)
	case sim.DropBackwards:
		if g.Top.Across < 0 {
			return 0
		}
		return sim.Degrees(g.Top.Bend)
	case sim.RubsNextCog:
		return nearer(g.Clearances.NextCog)
	case sim.RubsNextRing:
		return nearer(g.Clearances.NextRing)
	case sim.RubsTyreAt:
		return g.Clearances.Tyre.MM
	case sim.TopSlackBackwards:
		return g.Tensions.Top[sim.Backwards]
	}
	return 0
}

// rivals are what chances are compared with: a rule of one number and always the base
// rate, each fitted to all outcomes, and fitted without each group in turn.
type rivals struct {
	rule, rate       score.Tally
	ruleOut, rateOut score.Tally
}

func rivalsOf(o []score.Prediction) (r rivals, err error) {
	rule := func(rest []score.Prediction) (func(score.Prediction) float64, error) {
		l, err := score.FitLogistic(rest, score.Weak)
		return func(x score.Prediction) float64 { return l.Chance(x.X) }, err
	}
	rate := func(rest []score.Prediction) (func(score.Prediction) float64, error) {
		p := score.BaseRate(rest)
		return func(score.Prediction) float64 { return p }, nil
	}
	for _, x := range []struct {
		fit         func([]score.Prediction) (func(score.Prediction) float64, error)
		fitted, out *score.Tally
	}{{rule, &r.rule, &r.ruleOut}, {rate, &r.rate, &r.rateOut}} {
		f, err := x.fit(o)
		if err != nil {
			return r, err
		}
		if *x.fitted, err = count(o, func(i int) float64 { return f(o[i]) }); err != nil {
			return r, err
		}
		p, err := score.HoldOut(o, func(x score.Prediction) string { return x.Group }, x.fit)
		if err != nil {
			return r, err
		}
		if *x.out, err = count(o, func(i int) float64 { return p[i] }); err != nil {
			return r, err
		}
	}
	return r, nil
}

// count tallies outcomes with other chances.
func count(o []score.Prediction, chance func(i int) float64) (score.Tally, error) {
	other := make([]score.Prediction, len(o))
	for i, x := range o {
		x.P = chance(i)
		other[i] = x
	}
	return score.Count(other, score.Cut)
}
