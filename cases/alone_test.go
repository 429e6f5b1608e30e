package cases

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// What learning leaves out of a possible bicycle, gears of which nothing was seen and neighbours,
// changes no other chance.
func TestWhatLearningLeavesOut(t *testing.T) {
	for _, name := range []string{"trail", "tourer"} {
		c, err := Load(name, nil)
		require.NoError(t, err)
		d, err := c.Draws()
		require.NoError(t, err)
		sets, err := shippedSets()
		require.NoError(t, err)
		var whole, part sim.Odds
		for seed := range 5 {
			b, f, err := d.Bike(sets[seed], rand.New(rand.NewPCG(uint64(seed), 1)).Float64)
			require.NoError(t, err)
			links, err := d.Chain(b)
			require.NoError(t, err)
			n := len(b.Rings) * len(b.Cogs)
			want, got := make([]sim.Chances, n), make([]sim.Chances, n)
			part.Only, part.Alone = make([]bool, n), true
			part.Only[2], part.Only[n-1] = true, true
			require.NoError(t, whole.Gears(want, b, f, links))
			require.NoError(t, part.Gears(got, b, f, links))
			assert.Equal(t, sim.Chances{}, got[0])
			for _, g := range []int{2, n - 1} {
				for k := range want[g] {
					if k := sim.Concern(k); k != sim.RubsNextCog && k != sim.RubsNextRing {
						assert.InDelta(t, want[g][k], got[g][k], 1e-6, "%s %d %s", name, g, k)
					}
				}
			}
		}
	}
}
