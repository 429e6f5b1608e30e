package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// Chances that go by the bend are the same bits where they are asked for alone, and the others are left out.
func TestChancesByBendAreThoseOfAll(t *testing.T) {
	names := []string{"trail", "idler", "fixed"}
	if long {
		names = Shipped()
	}
	shifts := []float64{-7, 0, 4.3}
	for _, name := range names {
		c, err := Load(name, nil)
		require.NoError(t, err)
		s, err := c.Settle()
		require.NoError(t, err)
		want, err := s.v.Means(judge.Along(s.design, shifts))
		require.NoError(t, err)
		got, err := s.ByBendAlong(shifts)
		require.NoError(t, err)
		again, err := s.v.Means(judge.Along(s.design, shifts))
		require.NoError(t, err)
		assert.Equal(t, want, again, "%s: what is left out once is there again", name)
		for i := range want {
			for g := range want[i] {
				for k, p := range want[i][g] {
					if !sim.Hazards[k].ByBend {
						p = -1
					}
					assert.Equal(t, p, got[i][g][k], "%s, %g mm, gear %d, %s", name, shifts[i], g, sim.Concern(k))
				}
			}
		}
	}
}
