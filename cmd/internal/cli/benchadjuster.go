package cli

import (
	"errors"
	"io"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

func newBenchAdjuster(s streams) *cobra.Command {
	var clicks, format string
	var first [2]string
	c := &cobra.Command{
		Use:   "adjuster CASE",
		Short: "Room of the cable's setting, from the adjuster's range counted in clicks",
		Long: `adjuster takes how far you can turn the cable's adjuster with every shift made. That says more of
a bike's shifting than anything else. Keep fingers off chain and cogs.

Shift through all the cogs, both ways, turning a crank by hand. Turn the adjuster out by
single clicks (the pulleys go inboard) until a shift to a smaller cog is slow for the first
time, and note which (--first-inboard). Then turn it in and count the clicks (--clicks)
until a shift to a larger cog is slow for the first time; note that too (--first-outboard).
Set it in the middle.

      first slow shift               first slow shift
      to a smaller cog               to a larger cog
           |<---------- --clicks --------->|
       out, inboard      set here      in, outboard`,
		Example:           "  chainpath measure adjuster road --clicks 4 --first-inboard '28>25' --first-outboard '11>12'",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			if clicks == "" {
				return usagef("--clicks is missing: from the first slow shift inboard to the first slow one outboard")
			}
			q, err := quantityFlag("clicks", clicks, "number", 0, 40)
			if err != nil {
				return err
			}
			c, err := cases.Load(args[0], s.in)
			if err != nil {
				return err
			}
			d, err := adjusterOf(c, q, first)
			if err != nil {
				return err
			}
			return output{d, show.AdjusterHeader, d.Rows, func(w io.Writer) error { return show.AdjusterText(w, d, then("shifts", args[0])) }}.print(s, format, nil)
		},
	}
	c.Flags().StringVar(&clicks, "clicks", "", "from the first slow shift inboard to the first slow one outboard, 0 to 40")
	c.Flags().StringVar(&first[0], "first-inboard", "", "shift that is slow first with the pulleys inboard, such as 12>11")
	c.Flags().StringVar(&first[1], "first-outboard", "", "shift that is slow first with the pulleys outboard, such as 11>12")
	completeIn(c, "first-inboard", stepsIn(true))
	completeIn(c, "first-outboard", stepsIn(false))
	formatFlag(c, &format)
	return c
}

// adjusterOf works out what a count leaves of a case.
func adjusterOf(c *cases.Case, clicks cases.Quantity, first [2]string) (*show.Adjuster, error) {
	was, err := c.Shifting()
	if err != nil {
		return nil, err
	}
	if was.Click <= 0 {
		return nil, usagef("--clicks of a bicycle with electric actuation, which has no adjuster")
	}
	is, err := c.ShiftingCounted(&cases.Counted{Clicks: clicks, Inboard: first[0], Outer: first[1]})
	if err != nil {
		var e *cases.Error
		if errors.As(err, &e) && strings.Contains(e.Path, "adjuster_range.") {
			return nil, usagef("--%s: %s", strings.ReplaceAll(e.Path[strings.LastIndex(e.Path, ".")+1:], "_", "-"), e.Problem)
		}
		return nil, err
	}
	return show.FromAdjuster(was, is), nil
}
