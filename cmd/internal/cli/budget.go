package cli

import (
	"io"
	"runtime"

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
	if o.draws < 100 || o.draws > 1000000 {
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
	d, err := decide.FindDoubt(func() decide.Maker { return u.Vary().Bike }, u.Inputs, r.Links, o.draws, o.seed, runtime.NumCPU())
	if err != nil {
		return c.Explain(err)
	}
	doc := show.FromDoubt(c, b, d)
	out := output{doc, show.BudgetHeader(), doc.Rows, func(w io.Writer) error { return show.BudgetTable(w, b, &doc) }}
	return out.print(s, o.format, nil)
}
