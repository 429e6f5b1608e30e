package cli

import (
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
)

func newCheck(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "check CASE...",
		Short: "Check bike files without printing results",
		Long: `check reads and computes every bike file and prints a line for each. It tells up to 20 mistakes of
a file at once, sorted by line; with any the exit code is 2.`,
		Example: `  chainpath case check bike.yaml
  chainpath case check trail road`,
		Args:              cobra.MinimumNArgs(1),
		ValidArgsFunction: completeCases,
		RunE:              func(_ *cobra.Command, args []string) error { return runCheck(s, args) },
	}
}

func runCheck(s streams, names []string) error {
	var bad []error
	for _, name := range names {
		c, _, r, err := evaluate(s, name, nil)
		var wrong *cases.Error
		switch {
		case errors.As(err, &wrong):
			bad = append(bad, err)
			continue
		case err != nil:
			return err
		}
		warnings, err := show.Warnings(c, show.Columns)
		if err != nil {
			return err
		}
		found := "no mistakes found"
		if len(c.Conflicts()) > 0 {
			found = "not all of it can be true"
		}
		line := show.Wrap(fmt.Sprintf("%s: %s: %s, %s, %d links", cases.Printable(name), found, c.Title, show.Plural(float64(len(r.Gears)), "gear"), r.Links), show.Columns)
		if _, err := fmt.Fprintf(s.out, "%s\n%s", line, warnings); err != nil {
			return err
		}
	}
	if len(bad) == 1 {
		return bad[0]
	}
	for _, err := range bad {
		for _, line := range mistakes(err) {
			complain(s.err, line, widthOf(s.err))
		}
	}
	if len(bad) > 0 {
		return usagef("%d of %d files have mistakes", len(bad), len(names))
	}
	if next := then("gears", names[0]); next != "" {
		_, err := fmt.Fprintln(s.out, say.Next(next))
		return err
	}
	return nil
}
