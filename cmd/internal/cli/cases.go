package cli

import (
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
)

func newCases(s streams) *cobra.Command {
	return &cobra.Command{
		Use:     "list [NAME]",
		Aliases: []string{"cases"},
		Short:   "List the shipped bikes, or print one as a start for your own",
		Long: `list shows the bikes and change lists that come with chainpath. With a name it prints that file, a
good start for your own. All are invented, for one teaching workshop.`,
		Example: `  chainpath case list
  chainpath case list trail > bike.yaml`,
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
			_, err := fmt.Fprintf(s.out, "\nChange lists: %s\nAll are invented. Print one as a start for your own:\n%s\n", strings.Join(cases.ShippedCatalogues(), ", "), say.Next("case list trail > bike.yaml"))
			return err
		},
	}
}
