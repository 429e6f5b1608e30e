package cli

import (
	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/sim"
)

// seenFlags are observations beside those of the file.
type seenFlags struct{ lines []string }

func (f *seenFlags) flag(c *cobra.Command, example string, words func(*cases.Case, *sim.Bike) []string) {
	c.Flags().StringArrayVar(&f.lines, "seen", nil, "one more observation, such as '"+example+"'")
	completeIn(c, "seen", words)
}

// add puts them into a case.
func (f *seenFlags) add(c *cases.Case) error {
	for _, line := range f.lines {
		seen, err := cases.ParseSeen(line)
		if err != nil {
			return usagef("--seen %w", err)
		}
		if err := c.AddSeen(seen); err != nil {
			return ofSeen(line, err)
		}
	}
	return nil
}
