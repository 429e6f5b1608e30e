package cli

import (
	"io"
	"strconv"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// levelOfLimit is the chance that a number may go to where nothing else is said.
const levelOfLimit = 0.35

func newLimit(s streams) *cobra.Command {
	var o struct {
		format, reach string
		chance        float64
	}
	c := &cobra.Command{
		Use:   "limit CASE NUMBER",
		Short: "How far one number may go: tyre, stay, spacing, cassette, ring",
		Long: `limit moves one number of a bike down and up, and says where the first fault gets as likely as a
chance that you give in some gear, and how surely. Faults that are as likely today end nothing.`,
		Example: `  chainpath limit trail tyre.width
  chainpath limit trail front.line --chance 0.1`,
		Args: cobra.ExactArgs(2),
		ValidArgsFunction: func(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
			if len(args) != 1 {
				return completeCases(c, args, typed)
			}
			bike, err := cases.Load(args[0], s.in)
			if err != nil {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return bike.Numbers(), cobra.ShellCompDirectiveNoFileComp
		},
		RunE: func(_ *cobra.Command, args []string) error {
			if err := checkFormat(o.format); err != nil {
				return err
			}
			if !(o.chance >= 0.02 && o.chance <= 0.95) {
				return usagef("--chance %g is out of range, want 0.02 to 0.95", o.chance)
			}
			reach := 0.0
			if o.reach != "" {
				var err error
				if reach, err = strconv.ParseFloat(o.reach, 64); err != nil || !(reach > 0 && reach <= 10000) {
					return usagef("--reach %q, want a number above 0, at most 10000, in the number's unit", o.reach)
				}
			}
			bike, err := cases.Load(args[0], s.in)
			if err != nil {
				return err
			}
			end := progress(s, "limit", 0, nil)
			far, err := bike.Within(s.stoppable()).HowFar(args[1], o.chance, reach)
			end()
			if err != nil {
				return bike.Explain(err)
			}
			doc := show.FromHowFar(bike, far)
			out := output{doc, show.LimitHeader, doc.Rows, func(w io.Writer) error { return show.LimitTable(w, &doc, then("fix", args[0])) }}
			return out.print(s, o.format, nil)
		},
	}
	formatFlag(c, &o.format)
	c.Flags().Float64Var(&o.chance, "chance", levelOfLimit, "chance of a fault in some gear that it may go to, 0.02 to 0.95")
	c.Flags().StringVar(&o.reach, "reach", "", "how far to look either way, in the number's unit (default: six tenths of it)")
	return c
}
