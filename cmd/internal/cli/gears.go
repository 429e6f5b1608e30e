package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

type gearsOptions struct {
	format, failOn string
	why            bool
	load           loadFlags
	figures        figureOptions
}

func newGears(s streams) *cobra.Command {
	var o gearsOptions
	c := &cobra.Command{
		Use:   "gears CASE",
		Short: "Bend, limits, clearances and verdict of every gear",
		Long: `gears computes every gear of a case: how far the chain is bent riding and
pedalling backwards, the limits that the mechanics of the arriving links set, the
clearances and the verdicts. CASE is a file, the name of a shipped case, or - for
standard input.

` + cautions,
		Example: `  chainpath gears trail
  chainpath gears trail --why --figures figures
  chainpath gears bike.yaml --power 250 --cadence 90 --format json
  chainpath gears bike.yaml --fail-on climb`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	c.Flags().BoolVar(&o.why, "why", false, "print the reason of every verdict")
	c.Flags().StringVar(&o.failOn, "fail-on", "", "exit with 3 when a gear may climb (climb), or clatters or worse (clatter)")
	_ = c.RegisterFlagCompletionFunc("fail-on", cobra.FixedCompletions([]string{"climb", "clatter"}, cobra.ShellCompDirectiveNoFileComp))
	c.Flags().StringVar(&o.figures.dir, "figures", "", "also draw the figures into this folder")
	o.figures.addFlags(c)
	o.load.add(c)
	return c
}

func (o *gearsOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if o.failOn != "" && o.failOn != "climb" && o.failOn != "clatter" {
		return usagef("--fail-on %q, want climb or clatter", o.failOn)
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
	out := output{doc, show.CSVHeader, doc.Rows, func(w io.Writer) error { return show.GearTable(w, &doc, b, r, o.why, s.colour()) }}
	err = out.print(s, o.format, func() error {
		if o.figures.dir == "" {
			return nil
		}
		return o.figures.write(s, c, b, r)
	})
	if err != nil {
		return err
	}
	return o.verdict(r)
}

// verdict returns what --fail-on looks for, or nil.
func (o *gearsOptions) verdict(r *sim.Result) error {
	if o.failOn == "" {
		return nil
	}
	worst := sim.Clatters
	if o.failOn == "climb" {
		worst = sim.MayClimb
	}
	n := 0
	for i := range r.Gears {
		for d := sim.Riding; d <= sim.Backwards; d++ {
			if r.Gears[i].Worst(d).Grade >= worst {
				n++
				break
			}
		}
	}
	if n == 0 {
		return nil
	}
	what := map[string]string{"climb": "may climb", "clatter": "clatter or worse"}[o.failOn]
	return verdictFound{fmt.Sprintf("%d of %d gears %s", n, len(r.Gears), what)}
}
