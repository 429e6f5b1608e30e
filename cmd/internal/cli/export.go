package cli

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"chainpath/cmd/internal/exchange"
)

func newExport(s streams) *cobra.Command {
	var as, out string
	var gears []string
	c := &cobra.Command{
		Use:   "export CASE",
		Short: "True-scale geometry for CAD",
		Long: `export writes the geometry of a bike in mm: chainlines, sprockets, the chain's path in each gear,
tyre and chainstay. x is forward, y to the drive side, z up, from the middle of the bottom bracket
on the frame centreline. help cad says what each format holds.`,
		Example: `  chainpath export trail --as dxf -o trail.dxf
  chainpath export trail --as gltf --gear 32/51 -o trail.gltf`,
		Args:              cobra.ExactArgs(1),
		ValidArgsFunction: completeCases,
		RunE: func(_ *cobra.Command, args []string) error {
			if !slices.Contains(exchange.Formats, as) {
				return usagef("--as %q, want %s", as, strings.Join(exchange.Formats, ", "))
			}
			if out != "" {
				if _, err := placeOf(out); err != nil {
					return err
				}
			}
			c, b, r, err := evaluate(s, args[0], nil)
			if err != nil {
				return err
			}
			pick := make([]int, len(r.Gears))
			for i := range pick {
				pick[i] = i
			}
			if len(gears) > 0 {
				if pick, err = (&figureOptions{gears: gears, flag: "gear"}).pick(r); err != nil {
					return err
				}
			}
			data, err := exchange.Draw(c.Title, b, r, pick).Write(as)
			if err != nil {
				return err
			}
			if out == "" {
				_, err = s.out.Write(data)
				return err
			}
			return writeFile(out, data)
		},
	}
	c.Flags().StringVar(&as, "as", "dxf", "dxf, svg, gltf or csv")
	c.Flags().StringVarP(&out, "out", "o", "", "file to write; left out, standard output")
	c.Flags().StringSliceVar(&gears, "gear", nil, "gears as RING/COG; left out, all")
	_ = c.RegisterFlagCompletionFunc("as", cobra.FixedCompletions(exchange.Formats, cobra.ShellCompDirectiveNoFileComp))
	return c
}
