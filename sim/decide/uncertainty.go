package decide

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sort"
	"sync/atomic"

	"chainpath/sim"
	"chainpath/sim/budget"
)

// Risk is one thing that can be wrong with a gear, for which a probability is
// given.
type Risk struct {
	Kind      sim.Kind
	Direction sim.Direction
}

// Risks are the risks of each gear, in the order of GearDoubt.P.
var Risks = []Risk{
	{sim.ToQuiet, sim.Riding}, {sim.ToQuiet, sim.Backwards},
	{sim.ToClimb, sim.Riding}, {sim.ToClimb, sim.Backwards},
	{sim.ToCog, sim.Riding}, {sim.ToCog, sim.Backwards},
	{sim.ToRing, sim.Riding}, {sim.ToRing, sim.Backwards},
	{sim.ToTyre, sim.Riding}, {sim.ToStay, sim.Riding},
	{sim.ToSlack, sim.Backwards}, {sim.ToClose, sim.Riding},
}

// none stands for the margin of a risk a gear does not have: far from zero in
// any unit, and finite.
const none = 1e6

// BendUncertainty is a bend with its uncertainty, rad.
type BendUncertainty struct {
	Value       float64
	U           float64    // combined standard uncertainty, first order
	First       [2]float64 // 95 % interval, first order
	Monte       [2]float64 // 95 % interval, Monte Carlo
	firstResult budget.Result
}

// GearUncertainty is a gear's doubt.
type GearUncertainty struct {
	Ring, Cog   int
	Top, Bottom BendUncertainty
	P           []float64 // probability of each of Risks; 0 for one the gear does not have
}

// InputShare is what an uncertain input does.
type InputShare struct {
	Input   budget.Input
	OnBends float64 // its mean share of the variance of all top and bottom bends, 0 to 1
	OnDoubt float64 // its share of the variance of the margin that decides the most doubtful verdict
}

// Uncertainty is the uncertainty of a bike's results.
type Uncertainty struct {
	Gears  []GearUncertainty
	Shares []InputShare // by OnBends, largest first
	// The most doubtful verdict: the gear and risk whose probability is nearest
	// to one half; Gear is -1 when every verdict is certain.
	Gear, Risk int
	Draws      int
	Redrawn    int // draws made again, because such a bicycle cannot be
	Seed       uint64
}

// Maker returns a bike for values of the uncertain inputs; each is for one
// goroutine.
type Maker func(x []float64) (*sim.Bike, error)

// Propagate propagates the inputs through the model, to first order and with n
// Monte Carlo draws on so many workers, for a chain of links links. The result is
// the same for any number of workers. done, where it is not nil, counts the draws.
// When the context ends first, the doubt by the draws so far comes with ErrStopped.
func Propagate(ctx context.Context, newMaker func() Maker, in []budget.Input, links, n int, seed uint64, workers int, done *atomic.Int64) (*Uncertainty, error) {
	b, err := newMaker()(nominal(in))
	if err != nil {
		return nil, err
	}
	gears := len(b.Rings) * len(b.Cogs)
	per := 2 + len(Risks)
	model := func() budget.Model {
		m := newMaker()
		e := sim.Evaluator{Signs: true}
		var buf []sim.Margin
		return func(x, y []float64) error {
			b, err := m(x)
			if err != nil {
				return fmt.Errorf("%w: %w", budget.ErrCannot, err)
			}
			at := 0
			for ring := range b.Rings {
				for cog := range b.Cogs {
					if buf, err = e.Gear(buf[:0], b, ring, cog, links); errors.Is(err, sim.ErrOverlap) {
						return fmt.Errorf("%w: %w", budget.ErrCannot, err)
					}
					if err != nil {
						return err
					}
					o := y[at*per : (at+1)*per]
					o[0], o[1] = e.Bends()
					leastMargins(o[2:], buf)
					at++
				}
			}
			return nil
		}
	}
	first, err := budget.FirstOrder(model(), in, gears*per)
	if err != nil {
		return nil, err
	}
	s, err := budget.MonteCarlo(ctx, model, in, gears*per, n, seed, workers, done)
	stopped := errors.Is(err, budget.ErrStopped)
	if stopped && len(s.Y) == 0 {
		return nil, ErrStopped
	}
	if err != nil && !stopped {
		return nil, err
	}
	d := &Uncertainty{Gear: -1, Draws: len(s.Y), Redrawn: s.Redrawn, Seed: seed}
	nearest := 0.5
	for g := range gears {
		o := g * per
		gd := GearUncertainty{Ring: g / len(b.Cogs), Cog: g % len(b.Cogs), Top: bendDoubt(first[o], s, o), Bottom: bendDoubt(first[o+1], s, o+1)}
		for k := range Risks {
			j := o + 2 + k
			p := s.Share(func(y []float64) bool { return y[j] < 0 })
			gd.P = append(gd.P, p)
			if off := math.Abs(p - 0.5); off < nearest {
				nearest, d.Gear, d.Risk = off, g, k
			}
		}
		d.Gears = append(d.Gears, gd)
	}
	d.share(in, first, per)
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

// leastMargins writes the least margin of each risk.
func leastMargins(o []float64, ms []sim.Margin) {
	for k, r := range Risks {
		o[k] = none
		for _, m := range ms {
			if m.Kind == r.Kind && m.Direction == r.Direction {
				o[k] = min(o[k], m.Value)
			}
		}
	}
}

func bendDoubt(r budget.Result, s *budget.Sample, j int) BendUncertainty {
	e := r.Expanded(0.95)
	b := BendUncertainty{Value: r.Value, U: r.U, First: [2]float64{r.Value - e, r.Value + e}, firstResult: r}
	b.Monte[0], b.Monte[1] = s.Interval(j, 0.95)
	return b
}

// share ranks the inputs.
func (d *Uncertainty) share(in []budget.Input, first []budget.Result, per int) {
	d.Shares = make([]InputShare, len(in))
	for i := range in {
		d.Shares[i].Input = in[i]
	}
	n := float64(2 * len(d.Gears))
	for _, g := range d.Gears {
		for _, r := range []budget.Result{g.Top.firstResult, g.Bottom.firstResult} {
			for _, s := range r.Shares {
				d.Shares[s.Input].OnBends += s.Fraction / n
			}
		}
	}
	if d.Gear >= 0 {
		for _, s := range first[d.Gear*per+2+d.Risk].Shares {
			d.Shares[s.Input].OnDoubt = s.Fraction
		}
	}
	sort.SliceStable(d.Shares, func(a, b int) bool { return d.Shares[a].OnBends > d.Shares[b].OnBends })
}

// EdgeUncertainty is a window edge with its standard uncertainty, mm.
type EdgeUncertainty struct{ Line, U float64 }

// WindowUncertainty is the safe window with its uncertainty: what is surely inside,
// and what is possibly.
type WindowUncertainty struct {
	Edges          [2]EdgeUncertainty
	Sure, Possible [2]float64      // mm; the sure window may be empty: first past second
	Today          EdgeUncertainty // today's front line
}

// PropagateWindow returns how uncertain the edges of a bike's safe window and
// today's front line are, to first order, 95 %. An edge is where its binding
// margin is zero, so that an input moves it by -(∂m/∂x)/(∂m/∂line). ok is false
// when there is no safe window, or an edge of it is open.
func PropagateWindow(m Maker, in []budget.Input, links int, w *Window) (d WindowUncertainty, ok bool, err error) {
	if w.Safe.Empty {
		return d, false, nil
	}
	today, err := budget.FirstOrder(func(x, y []float64) error {
		b, err := m(x)
		if err == nil {
			y[0] = b.FrontLine()
		}
		return err
	}, in, 1)
	if err != nil {
		return d, false, err
	}
	d.Today = EdgeUncertainty{today[0].Value, today[0].U}
	var wide [2]float64
	for i, e := range [2]Edge{w.Bars[w.Safe.Lo].Lo, w.Bars[w.Safe.Hi].Hi} {
		if e.Open {
			return d, false, nil
		}
		r, err := edgeBudget(m, in, links, e)
		if err != nil {
			return d, false, err
		}
		d.Edges[i] = EdgeUncertainty{e.Line, r.U}
		wide[i] = r.Expanded(0.95)
	}
	lo, hi := w.Safe.From, w.Safe.To
	d.Sure = [2]float64{lo + wide[0], hi - wide[1]}
	d.Possible = [2]float64{lo - wide[0], hi + wide[1]}
	return d, true, nil
}

// edgeBudget returns the first-order budget of an edge's place, mm.
func edgeBudget(m Maker, in []budget.Input, links int, e Edge) (budget.Result, error) {
	var eval sim.Evaluator
	var buf []sim.Margin
	margin := func(b *sim.Bike, line float64) (float64, error) {
		var err error
		if buf, err = eval.Gear(buf[:0], shifted(b, line-b.FrontLine()), e.Margin.Ring, e.Margin.Cog, links); err != nil {
			return 0, err
		}
		v := math.Inf(1)
		for _, x := range buf {
			if x.Kind == e.Margin.Kind && x.Direction == e.Margin.Direction && x.At == e.Margin.At {
				v = min(v, x.Value)
			}
		}
		return v, nil
	}
	b, err := m(nominal(in))
	if err != nil {
		return budget.Result{}, err
	}
	const h = 1e-3 // mm
	more, err := margin(b, e.Line+h)
	if err != nil {
		return budget.Result{}, err
	}
	less, err := margin(b, e.Line-h)
	if err != nil {
		return budget.Result{}, err
	}
	slope := (more - less) / (2 * h)
	if slope == 0 {
		return budget.Result{Value: e.Line}, nil
	}
	r, err := budget.FirstOrder(func(x, y []float64) error {
		b, err := m(x)
		if err != nil {
			return err
		}
		v, err := margin(b, e.Line)
		y[0] = e.Line - v/slope
		return err
	}, in, 1)
	if err != nil {
		return budget.Result{}, err
	}
	return r[0], nil
}
