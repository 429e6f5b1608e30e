package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// Nothing jumps: 0.05 mm of front line, or 1 mm of a slack chain's sag, changes no chance by more than
// 0.03, but whether a chain fits.
func TestNoChanceJumps(t *testing.T) {
	const most = 0.03
	names, step := Shipped(), 0.05
	if testing.Short() {
		names = []string{"trail", "idler", "fixed"}
	}
	compare := func(what string, was, is []sim.Chances) {
		for g := range is {
			for k, p := range is[g] {
				if sim.Concern(k) != sim.DoesNotClose && p >= 0 && was[g][k] >= 0 {
					assert.InDelta(t, was[g][k], p, most, "%s gear %d %s", what, g, sim.Concern(k))
				}
			}
		}
	}
	for _, name := range names {
		c, err := Load(name, nil)
		require.NoError(t, err)
		var shifts []float64
		for x := -2.0; x < 2; x += step {
			shifts = append(shifts, x)
		}
		all, err := c.ChancesAlong(shifts)
		require.NoError(t, err)
		for i := 1; i < len(all); i++ {
			compare(name, all[i-1], all[i])
		}
	}
	c, err := Load("fixed", nil)
	require.NoError(t, err)
	var was []sim.Chances
	for sag := 2.0; sag <= 80; sag++ {
		slack := c.clone()
		slack.Load.SlackSide = Quantity{}
		slack.Load.Sag = Q(sag)
		is, err := slack.Chances()
		require.NoError(t, err)
		if was != nil {
			compare("sag", was, is)
		}
		if sag == 80 {
			assert.Greater(t, is[0][sim.DropRiding], 0.5, "80 mm of sag")
		}
		was = is
	}
	assert.False(t, math.IsNaN(was[0][sim.DropRiding]))
}
