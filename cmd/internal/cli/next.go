package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/show"
	"chainpath/sim/decide"
)

type nextOptions struct {
	format  string
	weights map[string]string
	load    loadFlags
	top     int
	effort  float64
}

func newNext(s streams) *cobra.Command {
	var o nextOptions
	c := &cobra.Command{
		Use:   "next CASE [CATALOGUE]",
		Short: "What to check before you move or buy anything",
		Long: `next ranks what you can check in minutes by how much it would improve your choice: where the
chainring should sit or, with a change list, which change to make. Often nothing is left to check.
It does not ask again for what you saw already; chainpath learn --write takes that in.`,
		Example: `  chainpath next trail
  chainpath next trail trail-parts --weight drop_backwards=5`,
		Args:              cobra.RangeArgs(1, 2),
		ValidArgsFunction: completeCaseThenCatalogue,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args) },
	}
	formatFlag(c, &o.format)
	c.Flags().IntVar(&o.top, "top", 6, "how many tests to show, 1 to 100; JSON and CSV have all")
	c.Flags().Float64Var(&o.effort, "effort", ask.Effort, "how far a change must lower the fault score to be worth its work and price, 0 to 10")
	weightFlag(c, &o.weights)
	o.load.add(c)
	return c
}

func (o *nextOptions) run(s streams, args []string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if o.top < 1 || o.top > 100 {
		return usagef("--top %d is out of range, want 1 to 100", o.top)
	}
	if !(o.effort >= 0 && o.effort <= 10) {
		return usagef("--effort %g is out of range, want 0 to 10", o.effort)
	}
	weights, err := weightsOf(o.weights)
	if err != nil {
		return err
	}
	c, err := cases.Load(args[0], s.in)
	if err != nil {
		return err
	}
	if err := o.load.apply(c); err != nil {
		return err
	}
	end := progress(s, "next", 0, nil)
	var d *show.Next
	if len(args) == 2 {
		d, err = o.ofParts(s, c, args[1], weights)
	} else {
		d, err = ask.NextOfLine(c, weights, o.effort)
	}
	end()
	if err != nil {
		return c.Explain(err)
	}
	out := output{d, show.NextHeader, d.Rows, func(w io.Writer) error { return show.NextTable(w, d, o.top, o.then(d, args)) }}
	return out.print(s, o.format, nil)
}

// then is what to type next: what a check has shown, or the change that is to be made.
func (o *nextOptions) then(d *show.Next, args []string) string {
	switch {
	case !d.Enough:
		return then("learn --help")
	case len(args) == 2:
		return then("fix", args...)
	}
	return then("report", args...)
}

// ofParts looks at the tests before a change of a catalogue is made.
func (o *nextOptions) ofParts(s streams, c *cases.Case, catalogue string, weights *decide.Weights) (*show.Next, error) {
	all := partsOptions{complaint: []string{"all"}, most: mostCombinations}
	_, p, err := all.judge(s, c, catalogue, weights)
	if err != nil {
		return nil, err
	}
	if p.Partial {
		return nil, errStopped
	}
	return ask.NextOfParts(c, p, o.effort)
}
