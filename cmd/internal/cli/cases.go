package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

func newCases(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "cases [NAME]",
		Short: "List the shipped cases, or print one",
		Long: `cases lists the cases that come with the tool; with a name it prints that case's
YAML, a good start for your own; parts catalogues likewise. All are invented, of one teaching workshop.`,
		Example:           "  chainpath cases\n  chainpath cases trail > bike.yaml",
		Args:              cobra.MaximumNArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			if len(args) == 1 {
				text, err := cases.ShippedText(args[0])
				if err != nil {
					return err
				}
				_, err = s.out.Write(text)
				return err
			}
			t := show.Table{Left: map[int]bool{0: true, 1: true}}
			for _, name := range cases.Shipped() {
				c, err := cases.Load(name, nil)
				if err != nil {
					return err
				}
				t.Rows = append(t.Rows, []string{name, c.Title})
			}
			if err := t.Write(s.out); err != nil {
				return err
			}
			_, err := fmt.Fprintf(s.out, "\nParts catalogues: %s\nAll are invented. Print one with: chainpath cases NAME\n", strings.Join(cases.ShippedCatalogues(), ", "))
			return err
		},
	}
}
