package cli

import (
	"io"

	"github.com/spf13/cobra"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
)

func newCompare(s streams) *cobra.Command {
	var format string
	var all bool
	var given map[string]string
	var fig figureOptions
	c := &cobra.Command{
		Use:   "compare CASE CASE...",
		Short: "Two or more set-ups side by side",
		Long: `compare shows set-ups side by side, such as before and after, and says which has the lower fault
score and which gears change.`,
		Example: `  chainpath compare trail trail-short
  chainpath compare before.yaml after.yaml --figures figures`,
		Args:              cobra.MinimumNArgs(2),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			if err := fig.check(); err != nil {
				return err
			}
			if len(args) > plots.MaxSetUps {
				return usagef("%d bikes, want 2 to %d", len(args), plots.MaxSetUps)
			}
			weights, err := weightsOf(given)
			if err != nil {
				return err
			}
			var loaded []*cases.Case
			for _, name := range args {
				c, err := cases.Load(name, s.in)
				if err != nil {
					return err
				}
				loaded = append(loaded, c)
			}
			rider := riderOf(loaded)
			var sets []show.SetUp
			for _, c := range loaded {
				b, r, err := evaluated(c)
				if err != nil {
					return err
				}
				set, err := show.NewSetUp(c.Title, c, b, r)
				if err != nil {
					return err
				}
				sets = append(sets, set)
			}
			doc, err := show.FromSetUps(sets, weights)
			if err != nil {
				return err
			}
			doc.Rider = rider
			out := output{doc, show.ComparisonHeader, doc.Rows, func(w io.Writer) error {
				return show.CompareTable(w, &doc, sets, all, then("chainline", args[doc.Best()]))
			}}
			return out.print(s, format, func() error { return fig.also(s, plots.Compare("Set-ups side by side", drawn(sets))) })
		},
	}
	formatFlag(c, &format)
	allFlag(c, &all)
	c.Flags().StringVar(&fig.dir, "figures", "", "also draw the comparison into this folder")
	fig.addImage(c)
	weightFlag(c, &given)
	return c
}

// riderOf gives bikes without a riding profile that of the first bike that has one for all, and returns that one's
// title; "" where none took it.
func riderOf(list []*cases.Case) (title string) {
	for _, of := range list {
		for _, c := range list {
			if c.RideAs(of) {
				title = of.Title
			}
		}
		if title != "" {
			break
		}
	}
	return title
}

// drawn returns set-ups as the figures take them.
func drawn(sets []show.SetUp) (out []plots.SetUp) {
	for _, s := range sets {
		out = append(out, plots.SetUp{Name: s.Name, Result: s.Result})
	}
	return out
}
