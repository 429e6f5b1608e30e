package cli

import (
	"math"

	"github.com/spf13/cobra"

	"chainpath/sim"
)

func newBenchHanger(s streams) *cobra.Command {
	var rim, bottom, front, format string
	c := &cobra.Command{
		Use:   "hanger",
		Short: "How far a derailleur hanger is bent, from readings at the rim",
		Long: `hanger works out the hanger's angles in two planes from how far a straight arm screwed into it is
off the rim at four places. Turn the wheel along, so that you measure the same spot of the rim, each
time from the arm inward. A hanger that is bent back may break: the maker's word and a mechanic
decide.

          12        --bottom-top: reading at 6 o'clock less that at 12
        9    3      --front-back: reading at 3 o'clock less that at 9, seen
           6                      from the drive side, 3 o'clock in front

Within 4 mm at the rim counts as straight (common practice, no published source).`,
		Example: "  chainpath measure hanger --rim 622 --bottom-top '6 ± 1' --front-back '-2 ± 1'",
		Args:    cobra.NoArgs,
		RunE: func(*cobra.Command, []string) error {
			if err := checkFormat(format); err != nil {
				return err
			}
			if bottom == "" && front == "" {
				return usagef("no reading, want --bottom-top, --front-back or both")
			}
			var x sheet
			x.read("rim", rim, "length", 200, 700, 3)
			x.read("bottom-top", bottom, "length", -80, 80, 1)
			x.read("front-back", front, "length", -80, 80, 1)
			d := &benchDoc{Test: "hanger"}
			for _, f := range []struct{ reading, path string }{{"bottom-top", "tensioner.hanger.lean"}, {"front-back", "tensioner.hanger.toe"}} {
				if x.has(f.reading) {
					x.work(d, f.path, "°", "across the rim", func(of func(string) float64) (float64, error) {
						return sim.Degrees(math.Atan(of(f.reading) / of("rim"))), nil
					})
				}
			}
			return x.print(s, d, format, "Lean is outboard going down, toe outboard going forward: where the arm stands farther off the rim the hanger points outboard.")
		},
	}
	c.Flags().StringVar(&rim, "rim", "622", "bead seat diameter (ISO 5775-1) or what the arm's tip goes round, mm")
	c.Flags().StringVar(&bottom, "bottom-top", "", "reading at the bottom less that at the top, mm or with unit, with ±")
	c.Flags().StringVar(&front, "front-back", "", "reading at the front less that at the back, mm or with unit, with ±")
	formatFlag(c, &format)
	return c
}
