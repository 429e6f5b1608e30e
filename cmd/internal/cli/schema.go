package cli

import (
	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

func newSchema(s streams) *cobra.Command {
	return &cobra.Command{
		Use:   "schema",
		Short: "JSON Schema of bike files, for editors",
		Long: `schema prints the JSON Schema of bike files. An editor that knows JSON Schema then offers fields
and marks mistakes while you type.`,
		Example: `  chainpath case schema > case.schema.json`,
		Args:    cobra.NoArgs,
		RunE:    func(*cobra.Command, []string) error { return show.JSON(s.out, cases.Schema()) },
	}
}
