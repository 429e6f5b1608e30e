package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A quick look leaves chances of rubbing as they are, but for tiny ones, which are no less than they are
// and tiny still, whichever of cog and chainring is the softer.
func TestAQuickLookChangesTinyChancesAlone(t *testing.T) {
	tiny, plain := map[Concern]int{}, map[Concern]int{}
	for _, front := range []float64{28, 34, 40, 46} {
		b := double()
		y := RingLines(front, 6.6, 2)
		b.Rings[0].Line, b.Rings[1].Line = y[0], y[1]
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		n := len(b.Rings) * len(b.Cogs)
		for _, soft := range [][2]float64{{0.5, 0.02}, {0.02, 0.5}, {0.15, 0.15}} {
			for _, off := range []float64{-0.4, 0, 0.4} {
				f := &Free{Seat: 0.1, Spread: 0.05, SoftCog: soft[0], SoftRing: soft[1], Room: off, Pins: -off, NoiseSoft: 0.01, NoiseSoftPull: 1}
				exact, quick := make([]Chances, n), make([]Chances, n)
				require.NoError(t, new(Odds).Gears(exact, b, f, links))
				require.NoError(t, (&Odds{Coarse: true}).Gears(quick, b, f, links))
				for g := range exact {
					for _, k := range []Concern{RubsNextCog, RubsNextRing} {
						if exact[g][k] == quick[g][k] {
							plain[k]++
							continue
						}
						tiny[k]++
						assert.GreaterOrEqual(t, quick[g][k], exact[g][k], "%s in gear %d, soft %v", k, g, soft)
						assert.LessOrEqual(t, quick[g][k], coarse+1e-12, "%s in gear %d, soft %v", k, g, soft)
					}
				}
			}
		}
	}
	for _, k := range []Concern{RubsNextCog, RubsNextRing} {
		assert.True(t, tiny[k] > 3 && plain[k] > 3, "%s: %d tiny, %d as they are", k, tiny[k], plain[k])
	}
}
