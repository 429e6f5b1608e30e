package cases

import (
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
		want, err := c.Chances()
		require.NoError(t, err)
		got, err := c.Foresee()
		require.NoError(t, err)
		for g := range got {
			assert.Equal(t, want[g], got[g].Chances, name)
			for k, s := range got[g].Sizes {
				assert.True(t, s[0] <= s[1] && s[1] <= s[2], "%s %s %v", name, sim.Concern(k), s)
			}
		}
		v, err := c.prepare(true)
		require.NoError(t, err)
		seen := 0
		require.NoError(t, v.Judge(v.Along([]float64{0, 8}), true, func(_, _, set int, chances []sim.Chances, sizes []sim.Sizes, err error) {
			require.NoError(t, err)
			if set%10 > 0 {
				return
			}
			for g, p := range chances {
				for _, k := range oneSided {
					if s := sizes[g][k]; p.Is(k) && s > -3 {
						seen++
						assert.Equal(t, s > 0, p[k] > 0.5, "%s gear %d %s: %g, %g", name, g, k, s, p[k])
					}
				}
			}
		}))
		assert.Positive(t, seen)
	}
}
