package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/show"
)

func newDiagnose(s streams) *cobra.Command {
	var format string
	var load loadFlags
	c := &cobra.Command{
		Use:   "diagnose CASE",
		Short: "What can be behind the symptoms of a case",
		Long: `diagnose holds the case's symptoms against the model: which cause tells best where
each was seen and where not, by chances over the drawn sets; where none does, which
input moved within its uncertainty would explain it; what else to check, what to
measure next, and what moving the ring between chainstay and tyre would do. A symptom
that names gears says that it was not seen in the others. It is never certain.

` + cautions,
		Example:           "  chainpath diagnose trail",
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			c, b, r, err := evaluate(s, args[0], &load)
			if err != nil {
				return err
			}
			if len(c.Symptoms) == 0 {
				return &cases.Error{File: args[0], Path: "symptoms", Problem: "missing: a list of what was seen or heard, such as {what: drop, direction: backwards, cogs: [51]}"}
			}
			end := progress(s, "diagnose", 0, nil)
			doc, err := ask.Diagnose(c, b, r)
			end()
			if err != nil {
				return err
			}
			out := output{doc, show.DiagnosisHeader, doc.Rows, func(w io.Writer) error { return show.DiagnosisText(w, &doc) }}
			return out.print(s, format, nil)
		},
	}
	formatFlag(c, &format)
	load.add(c)
	return c
}
