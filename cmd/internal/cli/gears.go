package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
)

type gearsOptions struct {
	format, failOn string
	why, wide      bool
	load           loadFlags
	figures        figureOptions
}

func newGears(s streams) *cobra.Command {
	var o gearsOptions
	c := &cobra.Command{
		Use:   "gears CASE",
		Short: "Bend, chances, clearances and verdict of every gear",
		Long: `gears computes every gear of a case: how far the chain is bent riding and
pedalling backwards, how likely it is noisy, comes off or rubs, the clearances and the
verdicts. CASE is a file, the name of a shipped case, or - for
standard input.

` + cautions,
		Example: `  chainpath gears trail
  chainpath gears trail --why --figures figures
  chainpath gears bike.yaml --power 250 --cadence 90 --format json
  chainpath gears bike.yaml --fail-on climb
  chainpath gears bike.yaml --fail-on danger:0.1`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	c.Flags().BoolVar(&o.why, "why", false, "print the reason of every verdict")
	c.Flags().BoolVar(&o.wide, "wide", false, "print every column, however wide")
	c.Flags().StringVar(&o.failOn, "fail-on", "", "exit with 3 when a gear has it with a chance of 0.35 or more, or of :CHANCE: climb (comes off), clatter (that or noise), danger (comes off riding, or pushed back on a fixed or coaster cog, or meets the tyre), or a name of chance")
	_ = c.RegisterFlagCompletionFunc("fail-on", cobra.FixedCompletions(failNames(), cobra.ShellCompDirectiveNoFileComp))
	c.Flags().StringVar(&o.figures.dir, "figures", "", "also draw the figures into this folder")
	o.figures.addFlags(c)
	o.load.add(c)
	return c
}

func (o *gearsOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	fail, err := parseFailOn(o.failOn)
	if err != nil {
		return err
	}
	if err := o.figures.check(); err != nil {
		return err
	}
	c, b, r, err := evaluate(s, name, &o.load)
	if err != nil {
		return err
	}
	shares, err := c.Shares(b)
	if err != nil {
		return err
	}
	doc, err := show.FromResult(c, b, r, shares)
	if err != nil {
		return err
	}
	if err := doc.AddChances(c, b, r); err != nil {
		return err
	}
	if o.format != "table" || o.wide {
		if err := doc.AddBends(c, b); err != nil {
			return err
		}
	}
	out := output{doc, show.CSVHeader, doc.Rows, func(w io.Writer) error {
		return show.GearTable(w, &doc, b, r, show.GearView{Why: o.why, Wide: o.wide, Colour: s.colour()})
	}}
	err = out.print(s, o.format, func() error {
		if o.figures.dir == "" {
			return nil
		}
		return o.figures.write(s, c, b, r)
	})
	if err != nil {
		return err
	}
	return fail.verdict(&doc)
}
