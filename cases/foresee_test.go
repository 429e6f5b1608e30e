package cases

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// Chances beside sizes are those of Chances; by one set alone a size above 0 goes with a
// chance above a half, and the points of a size stand in order.
func TestSizesGoWithChances(t *testing.T) {
	oneSided := []sim.Concern{sim.NoiseRiding, sim.RubsNextCog, sim.RubsTyreAt, sim.PulleyMeets, sim.CageMeets}
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		want, err := c.Chances(nil)
		require.NoError(t, err)
		got, err := c.Foresee(nil)
		require.NoError(t, err)
		for g := range got {
			assert.Equal(t, want[g], got[g].Chances, name)
			for k, s := range got[g].Sizes {
				assert.True(t, s[0] <= s[1] && s[1] <= s[2], "%s %s %v", name, sim.Concern(k), s)
			}
		}
		sets, err := c.starts()
		require.NoError(t, err)
		d, err := c.Draws()
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(1, 1))
		var o sim.Odds
		seen := 0
		for range 20 {
			one := d.along(&o, sets[rng.IntN(len(sets))], nil, []float64{0, 8})
			require.NoError(t, one.err)
			for i := range one.chances {
				for g, p := range one.chances[i] {
					for _, k := range oneSided {
						if s := one.sizes[i][g][k]; p.Is(k) && s > -3 {
							seen++
							assert.Equal(t, s > 0, p[k] > 0.5, "%s gear %d %s: %g, %g", name, g, k, s, p[k])
						}
					}
				}
			}
		}
		assert.Positive(t, seen)
	}
}
