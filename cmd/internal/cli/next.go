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
		Short: "What to try or measure next, before the ring is moved or a part is bought",
		Long: `next ranks what can be tried in a minute or measured with a hand tool by what it is
worth before the choice at hand: where the ring is to stand, or with a catalogue which
change to make. A test is worth the trouble that choosing after it avoids, on average over
the drawn sets; most tests turn nothing, and then nothing more is worth finding out. What
was seen already (observations:) is not asked for again; it counts once it is learned
(chainpath learn --write).

` + cautions,
		Example: `  chainpath next trail
  chainpath next trail trail-parts --weight drop_backwards=5`,
		Args:              cobra.RangeArgs(1, 2),
		ValidArgsFunction: completeCaseThenCatalogue,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args) },
	}
	formatFlag(c, &o.format)
	c.Flags().IntVar(&o.top, "top", 6, "how many tests to show, 1 to 100; JSON and CSV have all")
	c.Flags().Float64Var(&o.effort, "effort", ask.Effort, "what trouble a change must avoid to be worth its work and price, 0 to 10")
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
	out := output{d, show.NextHeader, d.Rows, func(w io.Writer) error { return show.NextTable(w, d, o.top) }}
	return out.print(s, o.format, nil)
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
