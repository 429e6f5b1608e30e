package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

type shiftsOptions struct {
	format, rows string
	load         loadFlags
	fig          figureOptions
}

func newShifts(s streams) *cobra.Command {
	var o shiftsOptions
	c := &cobra.Command{
		Use:   "shifts CASE",
		Short: "Where to set the cable, and how well each shift works",
		Long: `shifts works out where the guide pulley can sit for every cog and every shift, what one cable
setting allows, and which shift is the hardest. A bent hanger, the pulley's float and shift ramps
count where the bike file has them.`,
		Example: `  chainpath shifts trail
  chainpath shifts road --format csv --rows windows`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	c.Flags().StringVar(&o.rows, "rows", "shifts", "CSV rows: shifts or windows")
	c.Flags().StringVar(&o.fig.dir, "figures", "", "also draw the settings into this folder")
	o.fig.addImage(c)
	o.load.add(c)
	return c
}

func (o *shiftsOptions) run(s streams, name string) error {
	if err := checkFormat(o.format); err != nil {
		return err
	}
	if err := o.fig.check(); err != nil {
		return err
	}
	if o.rows != "shifts" && o.rows != "windows" {
		return usagef("--rows %q, want shifts or windows", o.rows)
	}
	c, err := cases.Load(name, s.in)
	if err != nil {
		return err
	}
	if err := o.load.apply(c); err != nil {
		return err
	}
	b, err := c.Bike()
	if err != nil {
		return err
	}
	got, err := c.Shifting()
	if err != nil {
		return c.Explain(err)
	}
	r, err := b.Evaluate()
	if err != nil {
		return c.Explain(err)
	}
	d := show.FromShifting(got, c, b, r)
	out := output{d, show.ShiftsHeader, d.Rows, func(w io.Writer) error { return show.ShiftsText(w, d) }}
	if o.rows == "windows" {
		out.header, out.rows = show.IndexHeader, d.IndexRows
	}
	return out.print(s, o.format, func() error {
		return o.fig.also(s, shiftsFigure(d))
	})
}
