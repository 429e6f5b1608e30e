package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

type shiftsOptions struct {
	format, rows string
	all          bool
	load         loadFlags
	seen         seenFlags
	fig          figureOptions
}

func newShifts(s streams) *cobra.Command {
	var o shiftsOptions
	c := &cobra.Command{
		Use:   "shifts CASE",
		Short: "Where to set the cable, and how well each shift works",
		Long: `shifts says first what to do: turn the adjuster so many clicks, straighten the hanger, change a
spacer, match pull and derailleur, clean the cable; each with its chance. Then it says how much room
the cable's setting has, in mm and clicks, and how likely each shift is late. What you saw narrows it:
--seen '32/19>17: late 3 of 10', symptoms such as slow_to_larger, and the adjuster's range, which
chainpath measure adjuster writes down.`,
		Example: `  chainpath shifts trail
  chainpath shifts road --seen '50/19>17: late 3 of 10' --seen '*/11>12: fine'
  chainpath shifts road --format csv --rows windows`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return o.run(s, args[0]) },
	}
	formatFlag(c, &o.format)
	allFlag(c, &o.all)
	c.Flags().StringVar(&o.rows, "rows", "shifts", "CSV rows: shifts or windows")
	c.Flags().StringVar(&o.fig.dir, "figures", "", "also draw the settings into this folder")
	o.fig.addImage(c)
	o.load.add(c)
	o.seen.flag(c, "32/19>17: late 3 of 10", shiftsIn)
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
	if err := o.seen.add(c); err != nil {
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
	var windows []cases.IndexedGear // slower than all the rest, and asked for by programs alone
	if o.format == "json" || o.rows == "windows" {
		if windows, err = c.Windows(); err != nil {
			return c.Explain(err)
		}
	}
	r, err := b.Evaluate()
	if err != nil {
		return c.Explain(err)
	}
	next := then("gears", name)
	if got.Counted == nil && got.Click > 0 {
		next = then("measure adjuster --help")
	}
	d := show.FromShifting(got, windows, c, b, r)
	out := output{d, show.ShiftsHeader, d.Rows, func(w io.Writer) error { return show.ShiftsText(w, d, o.all, next) }}
	if o.rows == "windows" {
		out.header, out.rows = show.IndexHeader, d.IndexRows
	}
	return out.print(s, o.format, func() error {
		return o.fig.also(s, shiftsFigure(d))
	})
}
