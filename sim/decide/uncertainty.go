package decide

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"

	"chainpath/sim"
	"chainpath/sim/budget"
)

// BendUncertainty is a bend with its uncertainty, rad.
type BendUncertainty struct {
	Value float64
	U     float64    // combined standard uncertainty, first order
	First [2]float64 // 95 % interval, first order
	Monte [2]float64 // 95 % interval, Monte Carlo
}

// GearUncertainty is how uncertain a gear's bends are.
type GearUncertainty struct {
	Ring, Cog   int
	Top, Bottom BendUncertainty
}

// InputShare is an uncertain input with its mean share of the variance of all top and bottom bends,
// 0 to 1.
type InputShare struct {
	Input budget.Input
	Share float64
}

// Uncertainty is how uncertain a bike's bends are.
type Uncertainty struct {
	Gears   []GearUncertainty
	Shares  []InputShare // in the order of the inputs
	Draws   int
	Redrawn int // draws made again, because such a bicycle cannot be
	Seed    uint64
}

// Maker returns a bike for values of the uncertain inputs; each is for one
// goroutine.
type Maker func(x []float64) (*sim.Bike, error)

// Propagate propagates the inputs to the bends of every gear, to first order and with n
// Monte Carlo draws on so many workers, for a chain of links links. The result is
// the same for any number of workers. done, where it is not nil, counts the draws.
// When the context ends first, the doubt by the draws so far comes with ErrStopped.
func Propagate(ctx context.Context, newMaker func() Maker, in []budget.Input, links, n int, seed uint64, workers int, done *atomic.Int64) (*Uncertainty, error) {
	b, err := newMaker()(nominal(in))
	if err != nil {
		return nil, err
	}
	gears := len(b.Rings) * len(b.Cogs)
	model := func() budget.Model {
		m := newMaker()
		var e sim.Outcomes
		return func(x, y []float64) error {
			b, err := m(x)
			if err != nil {
				return fmt.Errorf("%w: %w", budget.ErrCannot, err)
			}
			_, err = e.Bends(y[:0], b, links)
			if errors.Is(err, sim.ErrOverlap) {
				return fmt.Errorf("%w: %w", budget.ErrCannot, err)
			}
			return err
		}
	}
	first, err := budget.FirstOrder(model(), in, 2*gears)
	if err != nil {
		return nil, err
	}
	s, err := budget.MonteCarlo(ctx, model, in, 2*gears, n, seed, workers, done)
	stopped := errors.Is(err, budget.ErrStopped)
	if stopped && len(s.Y) == 0 {
		return nil, ErrStopped
	}
	if err != nil && !stopped {
		return nil, err
	}
	d := &Uncertainty{Draws: len(s.Y), Redrawn: s.Redrawn, Seed: seed}
	for g := range gears {
		o := 2 * g
		d.Gears = append(d.Gears, GearUncertainty{Ring: g / len(b.Cogs), Cog: g % len(b.Cogs), Top: bendDoubt(first[o], s, o), Bottom: bendDoubt(first[o+1], s, o+1)})
	}
	d.share(in, first)
	if stopped {
		return d, ErrStopped
	}
	return d, nil
}

// nominal returns the inputs' values.
func nominal(in []budget.Input) []float64 {
	x := make([]float64, len(in))
	for i, p := range in {
		x[i] = p.Value
	}
	return x
}

func bendDoubt(r budget.Result, s *budget.Sample, j int) BendUncertainty {
	e := r.Expanded(0.95)
	b := BendUncertainty{Value: r.Value, U: r.U, First: [2]float64{r.Value - e, r.Value + e}}
	b.Monte[0], b.Monte[1] = s.Interval(j, 0.95)
	return b
}

// share tells what each input does to the bends.
func (d *Uncertainty) share(in []budget.Input, first []budget.Result) {
	d.Shares = make([]InputShare, len(in))
	for i := range in {
		d.Shares[i].Input = in[i]
	}
	for _, r := range first {
		for _, s := range r.Shares {
			d.Shares[s.Input].Share += s.Fraction / float64(len(first))
		}
	}
}
