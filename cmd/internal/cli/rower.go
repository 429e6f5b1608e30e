package cli

import (
	"context"
	"fmt"
	"math"
	"strings"
	"sync"
	"sync/atomic"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/loss"
	"chainpath/sim/sweep"
)

// rower computes rows.
type rower struct {
	w      *cases.Sweep
	format *show.SweepFormat
	o      *sweepOptions
	links  int // 0: each design's own

	okay  atomic.Bool // whether a design could be
	mu    sync.Mutex
	first struct { // of the designs that cannot be
		design int
		why    string
	}
}

// count notes a row's status until one is ok.
func (r *rower) count(row *show.SweepRow) {
	if r.okay.Load() {
		return
	}
	if row.Status == "ok" {
		r.okay.Store(true)
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.first.why == "" || row.Design < r.first.design {
		r.first.design, r.first.why = row.Design, row.Status
	}
}

// allFailed reports whether designs were computed and none of them can be, with the
// reason of the first.
func (r *rower) allFailed() (why string, all bool) {
	return fmt.Sprintf("%d: %s", r.first.design, r.first.why), !r.okay.Load() && r.first.why != ""
}

// worker returns what one goroutine does with a block.
func (r *rower) worker() sweep.Worker {
	d := r.w.Designer()
	e := new(sim.Outcomes)
	x := make([]float64, len(r.w.Plan.Variables))
	var scratch []byte
	row := &show.SweepRow{Values: x}
	return func(ctx context.Context, buf []byte, b sweep.Block) ([]byte, int) {
		for n := b.From; n < b.To; n++ {
			if ctx.Err() != nil {
				return buf, n
			}
			r.compute(row, d, e, n)
			r.count(row)
			if r.kept(row, scratch) {
				buf = r.format.Append(buf, row)
			}
		}
		return buf, b.To
	}
}

// row returns the row of one design.
func (r *rower) row(n int) []byte {
	row := &show.SweepRow{Values: make([]float64, len(r.w.Plan.Variables))}
	r.compute(row, r.w.Designer(), new(sim.Outcomes), n)
	return r.format.Append(nil, row)
}

// compute fills a row with a design.
func (r *rower) compute(row *show.SweepRow, d *cases.Designer, e *sim.Outcomes, n int) {
	r.w.Plan.Design(row.Values, n)
	row.Design, row.Status = n, "ok"
	err := r.outcome(row, d, e)
	if err != nil {
		row.Status = strings.TrimPrefix(strings.TrimPrefix(err.Error(), "sim: "), "bike: ")
	}
}

func (r *rower) outcome(row *show.SweepRow, d *cases.Designer, e *sim.Outcomes) (err error) {
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
	if r.o.shifts {
		row.Index.Worst(&row.Shift, row.Bike)
	}
	if !r.o.bare {
		if err := r.chances(row, d); err != nil {
			return err
		}
	}
	if r.o.shifts && !r.o.bare && row.Shift.Valid {
		late, err := d.LateShifts()
		if err != nil {
			return err
		}
		row.AnyLate, row.LateMost = late.Any, late.Most
	}
	if r.o.loss {
		result, err := row.Bike.Evaluate()
		if err != nil {
			return err
		}
		row.Loss, row.Wear = math.NaN(), math.NaN()
		friction := d.Case().Friction()
		for i := range result.Gears {
			if !result.Gears[i].Fit.Mounts() {
				continue
			}
			l, err := loss.Of(row.Bike, &result.Gears[i], friction)
			if err != nil {
				return err
			}
			if share, ok := l.Share(); ok && !(row.Loss >= 100*share) {
				row.Loss = 100 * share
			}
			if !(row.Wear >= l.Wear) {
				row.Wear = l.Wear
			}
		}
	}
	return nil
}

// chances fills a row's largest chances and trouble; the chain is the design's.
func (r *rower) chances(row *show.SweepRow, d *cases.Designer) error {
	gears, err := d.Chances(r.links)
	if err != nil {
		return err
	}
	share, err := d.Case().Shares(row.Bike)
	if err != nil { // the profile names a gear that this design has not: all are alike
		share = nil
	}
	carried, err := d.Case().Carried()
	if err != nil {
		return err
	}
	t, err := decide.Expect(gears, share, &decide.Usual, carried)
	if err != nil {
		return err
	}
	row.Trouble, row.Most = t.Sum, gears[0]
	for _, g := range gears[1:] {
		for k, p := range g {
			row.Most[k] = math.Max(row.Most[k], p)
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
