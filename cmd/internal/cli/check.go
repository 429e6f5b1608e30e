package cli

import (
	"fmt"

	"github.com/spf13/cobra"

	"chainpath/cases"
)

func newCheck(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "check CASE...",
		Short: "Check case files without printing results",
		Long: `check reads cases and computes them, and prints one line for each. It stops at
the first mistake with exit code 2.`,
		Example:           "  chainpath check bike.yaml\n  chainpath check trail road",
		Args:              cobra.MinimumNArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			for _, name := range args {
				c, _, r, err := evaluate(s, name, nil)
				if err != nil {
					return err
				}
				if _, err := fmt.Fprintf(s.out, "%s: good: %s, %d gears, %d links\n", cases.Printable(name), c.Title, len(r.Gears), r.Links); err != nil {
					return err
				}
			}
			return nil
		},
	}
}
