package cli

import (
	"math"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/loss"
	"chainpath/sim/sweep"
)

// rower computes rows.
type rower struct {
	w        *cases.Sweep
	format   *show.SweepFormat
	o        *sweepOptions
	friction loss.Friction
	links    int // 0: each design's own
}

// worker returns what one goroutine does with a block.
func (r *rower) worker() func(buf []byte, b sweep.Block) []byte {
	d := r.w.Designer()
	e := &sim.Evaluator{Exact: r.o.exact}
	x := make([]float64, len(r.w.Plan.Variables))
	var scratch []byte
	row := &show.SweepRow{Values: x}
	return func(buf []byte, b sweep.Block) []byte {
		for n := b.From; n < b.To; n++ {
			r.compute(row, d, e, n)
			if r.kept(row, scratch) {
				buf = r.format.Append(buf, row)
			}
		}
		return buf
	}
}

// compute fills a row with a design.
func (r *rower) compute(row *show.SweepRow, d *cases.Designer, e *sim.Evaluator, n int) {
	r.w.Plan.Design(row.Values, n)
	row.Design, row.Status = n, "ok"
	err := r.outcome(row, d, e)
	if err != nil {
		row.Status = strings.TrimPrefix(strings.TrimPrefix(err.Error(), "sim: "), "bike: ")
	}
}

func (r *rower) outcome(row *show.SweepRow, d *cases.Designer, e *sim.Evaluator) (err error) {
	if row.Bike, err = d.Bike(row.Values); err != nil {
		return err
	}
	if r.links > 0 {
		row.Bike.Chain.Links = r.links
	}
	links, err := row.Bike.ChooseLinks()
	if err != nil {
		return err
	}
	if err := e.Outcome(&row.Outcome, row.Bike, links); err != nil {
		return err
	}
	if r.o.window {
		w, err := decide.FindWindow(row.Bike, links)
		if err != nil {
			return err
		}
		row.Safe = [2]float64{math.NaN(), math.NaN()}
		if o := w.Safe; !o.Empty {
			if !w.Bars[o.Lo].Lo.Open {
				row.Safe[0] = o.From
			}
			if !w.Bars[o.Hi].Hi.Open {
				row.Safe[1] = o.To
			}
		}
	}
	if r.o.loss {
		result, err := row.Bike.Evaluate()
		if err != nil {
			return err
		}
		row.Loss, row.Wear = 0, 0
		for i := range result.Gears {
			l, err := loss.Of(row.Bike, &result.Gears[i], r.friction)
			if err != nil {
				return err
			}
			row.Loss, row.Wear = math.Max(row.Loss, 100*l.Share()), math.Max(row.Wear, l.Wear)
		}
	}
	return nil
}

// kept reports whether a row is within every bound.
func (r *rower) kept(row *show.SweepRow, scratch []byte) bool {
	for _, b := range r.w.Bounds {
		x, ok := r.format.Value(row, b.Of, scratch)
		if !ok || b.Least.Given && !(x >= b.Least.Value) || b.Most.Given && !(x <= b.Most.Value) {
			return false
		}
	}
	return true
}
