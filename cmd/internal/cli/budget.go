package cli

import (
	"errors"
	"fmt"
	"io"
	"runtime"
	"sync/atomic"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
	"chainpath/sim/decide"
)

type budgetOptions struct {
	format string
	draws  int
	seed   uint64
	load   loadFlags
}

func newBudget(s streams) *cobra.Command {
	var o budgetOptions
	c := &cobra.Command{
		Use:   "budget CASE",
		Short: "How sure the results are, and which reading to take better",
		Long: `budget propagates the tolerances of a case through the model, to first order and
by Monte Carlo: 95 % intervals of the bends, the probability of each verdict, and
the inputs ranked by what they add. Tolerances are what stands behind ±, the shop's
own for a named instrument (caliper, depth_gauge, tape, drawing, catalogue), and the
scatter of repeated readings. A few assumptions of the defaults count as well.`,
		Example:           "  chainpath budget trail\n  chainpath budget bike.yaml --draws 20000 --seed 3 --format json",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	c.Flags().IntVar(&o.draws, "draws", 1000, "Monte Carlo draws, 100 to 1000000")
	c.Flags().Uint64Var(&o.seed, "seed", 1, "seed of the draws; the same seed gives the same result on any machine's cores")
	o.load.add(c)
	return c
}

func (o *budgetOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if o.draws < leastDraws || o.draws > 1000000 {
		return usagef("--draws %d is out of range, want 100 to 1000000", o.draws)
	}
	c, b, r, err := evaluate(s, name, &o.load)
	if err != nil {
		return err
	}
	u, err := c.Uncertain()
	if err != nil {
		return err
	}
	var done atomic.Int64
	end := progress(s, "draws", o.draws, &done)
	d, err := decide.Propagate(s.stoppable(), func() decide.Maker { return u.Vary().Bike }, u.Inputs, r.Links, o.draws, o.seed, runtime.NumCPU(), &done)
	end()
	partial := errors.Is(err, decide.ErrStopped)
	switch {
	case partial && (d == nil || d.Draws < leastDraws):
		return errStopped
	case err != nil && !partial:
		return c.Explain(err)
	}
	doc := show.FromDoubt(c, b, d)
	doc.Partial = partial
	out := output{doc, show.BudgetHeader(), doc.Rows, func(w io.Writer) error { return show.BudgetTable(w, b, &doc) }}
	if err := out.print(s, o.format, nil); err != nil || !partial {
		return err
	}
	return partialResult{fmt.Sprintf("stopped after %d of %d draws: the result is partial", d.Draws, o.draws)}
}

// leastDraws is how many draws say anything.
const leastDraws = 100
