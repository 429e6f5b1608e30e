package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/indexing"
)

// completeCases completes a case: the shipped ones, beside files.
func completeCases(_ *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
	return cases.Shipped(), cobra.ShellCompDirectiveDefault
}

// completeCaseThenCatalogue completes a case, and behind it a catalogue of changes.
func completeCaseThenCatalogue(c *cobra.Command, args []string, typed string) ([]string, cobra.ShellCompDirective) {
	switch len(args) {
	case 0:
		return completeCases(c, args, typed)
	case 1:
		return cases.ShippedCatalogues(), cobra.ShellCompDirectiveDefault
	}
	return nil, cobra.ShellCompDirectiveNoFileComp
}

// completeIn completes a flag with words of the case that was named: nothing where it cannot
// be read, or stands on standard input.
func completeIn(c *cobra.Command, flag string, words func(*cases.Case, *sim.Bike) []string) {
	_ = c.RegisterFlagCompletionFunc(flag, func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
		if len(args) == 0 || args[0] == "-" {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		bike, err := cases.Load(args[0], strings.NewReader(""))
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		b, err := bike.Bike()
		if err != nil {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return words(bike, b), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveNoSpace
	})
}

// teethOf lists the teeth of wheels, each once.
func teethOf(wheels []sim.Wheel) (out []string) {
	for _, w := range wheels {
		out = append(out, fmt.Sprint(w.Teeth))
	}
	return slices.Compact(out)
}

func ringsIn(_ *cases.Case, b *sim.Bike) []string { return teethOf(b.Rings) }
func cogsIn(_ *cases.Case, b *sim.Bike) []string  { return teethOf(b.Cogs) }

// seenIn lists what may be said of each gear: its name, and that of all rings with a cog.
func seenIn(_ *cases.Case, b *sim.Bike) (out []string) {
	for _, r := range b.Rings {
		for _, c := range b.Cogs {
			out = append(out, fmt.Sprintf("%d/%d:", r.Teeth, c.Teeth), fmt.Sprintf("%d/%d backwards:", r.Teeth, c.Teeth))
		}
	}
	return out
}

// shiftsIn lists the shifts of a case, as --seen has them.
func shiftsIn(_ *cases.Case, b *sim.Bike) (out []string) {
	for _, r := range b.Rings {
		for i, c := range b.Cogs[1:] {
			out = append(out, fmt.Sprintf("%d/%d>%d:", r.Teeth, b.Cogs[i].Teeth, c.Teeth), fmt.Sprintf("%d/%d>%d:", r.Teeth, c.Teeth, b.Cogs[i].Teeth))
		}
	}
	return out
}

// stepsIn lists the shifts to smaller cogs, or to larger ones.
func stepsIn(outward bool) func(*cases.Case, *sim.Bike) []string {
	return func(_ *cases.Case, b *sim.Bike) (out []string) {
		for _, s := range indexing.Shifts(len(b.Cogs)) {
			if s.Outward == outward {
				out = append(out, fmt.Sprintf("%d>%d", b.Cogs[s.From()].Teeth, b.Cogs[s.To()].Teeth))
			}
		}
		return out
	}
}

// fieldsIn lists the fields of a case that a sweep can vary, with what follows them.
func fieldsIn(c *cases.Case, _ *sim.Bike) (out []string) {
	for _, path := range c.Numbers() {
		out = append(out, path+"=")
	}
	return out
}
