package cli

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
)

// newMeasure turns readings of chainlines, chain, teeth and hanger into numbers of a bike file.
func newMeasure(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "measure",
		Short: "Turn caliper, gauge and tape readings into numbers",
		Long: `measure turns readings into numbers of a bike file, with their doubt, and shows the arithmetic.
Write ± behind a reading for its tolerance, or name the instrument as in a bike file.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	for _, of := range []*cobra.Command{newLine(s), newBench(s)} {
		for _, sub := range of.Commands() {
			of.RemoveCommand(sub)
			c.AddCommand(sub)
		}
	}
	c.AddCommand(newSlack(s))
	return c
}

// newCase is what is done with bike files themselves.
func newCase(s streams) *cobra.Command {
	c := &cobra.Command{
		Use:   "case",
		Short: "List, copy or check bike files; show defaults",
		Long:  `case lists the shipped bikes, prints one as a start for your own, checks bike files, and shows what holds where they are silent.`,
		Args:  cobra.NoArgs,
		RunE:  func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newCases(s), newCheck(s), newDefaults(s), newSchema(s))
	return c
}

// earlier returns a command under the name that it had, which works and is not shown.
func earlier(c *cobra.Command, use string) *cobra.Command {
	c.Hidden = true
	if use != "" {
		c.Use = use
	}
	return c
}

// earlierCommands are the names that commands had.
func earlierCommands(s streams) []*cobra.Command {
	return []*cobra.Command{
		earlier(newLine(s), ""), earlier(newBench(s), ""), earlier(newSlack(s), "slack"), earlier(newDraw(s), ""), earlier(newChart(s), ""),
		earlier(newCases(s), "cases [NAME]"), earlier(newCheck(s), ""), earlier(newDefaults(s), ""), earlier(newSchema(s), ""), earlier(newManual(s), ""),
	}
}

// allFlag is the option for everything that the default answer leaves out.
func allFlag(c *cobra.Command, all *bool) {
	c.Flags().BoolVar(all, "all", false, "print everything, not one screen")
}

// typed returns a case's name for the next command; none for standard input.
func typed(name string) string {
	if name == "-" {
		return ""
	}
	return name
}

// checkOwn is what to type when something was written into a bike file.
const checkOwn = "case check bike.yaml"

// then is what to type next about cases, without the tool's name; "" for standard input.
func then(command string, names ...string) string {
	if slices.Contains(names, "-") {
		return ""
	}
	return cases.Printable(strings.Join(append([]string{command}, names...), " "))
}
