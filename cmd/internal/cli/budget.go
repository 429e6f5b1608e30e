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
	all    bool
	draws  int
	seed   uint64
	load   loadFlags
}

func newBudget(s streams) *cobra.Command {
	var o budgetOptions
	c := &cobra.Command{
		Use:     "accuracy CASE",
		Aliases: []string{"budget"},
		Short:   "How sure the results are, and what to measure again",
		Long: `accuracy carries the tolerances of your readings through the model: how sure every chain angle
is, which chance is most in doubt, and which reading to take better.`,
		Example: `  chainpath accuracy trail
  chainpath accuracy bike.yaml --draws 20000 --seed 3`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	allFlag(c, &o.all)
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
	look, err := c.Outlook([]float64{0})
	if err != nil {
		return err
	}
	chances, err := c.Chances()
	if err != nil {
		return err
	}
	most, err := look.Doubtful(chances)
	if err != nil {
		return err
	}
	doc := show.FromDoubt(c, b, d, most)
	doc.Partial = partial
	out := output{doc, show.BudgetHeader(), doc.Rows, func(w io.Writer) error { return show.BudgetTable(w, &doc, o.all, then("next", name)) }}
	if err := out.print(s, o.format, nil); err != nil || !partial {
		return err
	}
	return partialResult{fmt.Sprintf("stopped after %d of %d draws: the result is partial", d.Draws, o.draws)}
}

// leastDraws is how many draws say anything.
const leastDraws = 100
