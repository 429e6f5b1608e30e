package cli

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/show"
)

func newDiagnose(s streams) *cobra.Command {
	var format string
	var all bool
	var load loadFlags
	c := &cobra.Command{
		Use:   "diagnose CASE",
		Short: "Likely causes of a noise, a dropped chain or a rub",
		Long: `diagnose looks for the cause of what goes wrong by the bike file, its symptoms and the faults among
its observations: which fault of the model fits the gears, what to check that is not modelled, and
whether moving the chainring would help. The gears that are not named count as free of it.`,
		Example: `  chainpath diagnose trail
  chainpath diagnose bike.yaml --all`,
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
			end := progress(s, "diagnose", 0, nil)
			doc, err := ask.Diagnose(c, b, r)
			end()
			if err != nil {
				return err
			}
			if len(doc.Findings) == 0 {
				return &cases.Error{File: args[0], Path: "symptoms", Problem: fmt.Sprintf("missing: a list of what you saw or heard. Add it: symptoms: [{what: noise, cogs: [%d]}]", b.Cogs[len(b.Cogs)-1].Teeth)}
			}
			out := output{doc, show.DiagnosisHeader, doc.Rows, func(w io.Writer) error {
				return show.DiagnosisText(w, &doc, all, then("chainline", args[0]))
			}}
			return out.print(s, format, nil)
		},
	}
	formatFlag(c, &format)
	allFlag(c, &all)
	load.add(c)
	return c
}
