package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
)

type gearsOptions struct {
	format, failOn string
	all            bool
	load           loadFlags
	figures        figureOptions
}

func newGears(s streams) *cobra.Command {
	var o gearsOptions
	c := &cobra.Command{
		Use:   "gears CASE",
		Short: "What the chain does in every gear, and the chance of each fault",
		Long: `gears answers for every gear: how far the chain is bent sideways, and how likely it is to be
noisy, to drop, to rub or to go slack, riding and back-pedalling. CASE is a bike file, the name
of a shipped bike (chainpath case list), or - for standard input.`,
		Example: `  chainpath gears trail
  chainpath gears bike.yaml --all --figures figures`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	allFlag(c, &o.all)
	for _, was := range []string{"why", "wide"} {
		c.Flags().BoolVar(&o.all, was, false, "")
		_ = c.Flags().MarkHidden(was)
	}
	c.Flags().StringVar(&o.failOn, "fail-on", "", "exit with 3 when a gear has a fault with a chance of 0.35, or :CHANCE: climb (drops), clatter (drops or noise), danger, or a fault's code")
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
	if o.format != "table" || o.all {
		if err := doc.AddBends(c, b); err != nil {
			return err
		}
	}
	out := output{doc, show.CSVHeader, doc.Rows, func(w io.Writer) error {
		return show.GearTable(w, &doc, b, r, show.GearView{All: o.all, Name: typed(name), Colour: s.colour()})
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
