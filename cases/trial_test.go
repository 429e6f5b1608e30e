package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/engage"
	"chainpath/sim/judge"
)

// A trial's bike carries in its chain and wheels what level 2 takes of the set: the drop
// rule put to them gives the chance that package sim has of the drawn bike.
func TestTrialCarriesItsSet(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	d, err := c.Draws()
	require.NoError(t, err)
	var o sim.Odds
	to := make([]sim.Chances, 12)
	seen := map[float64]bool{}
	for n := range uint64(20) {
		b, f, err := d.Trial(4, n)
		require.NoError(t, err)
		links, err := d.Chain(b)
		require.NoError(t, err)
		require.NoError(t, o.Gears(to, b, f, links))
		for cog := range b.Cogs {
			g, err := b.Gear(0, cog, links)
			require.NoError(t, err)
			if g.Top.Across < 0 && cog < len(b.Cogs)-1 {
				continue // a larger cog stands beside
			}
			chance := func(w engage.Wheel, s sim.Span, pull float64) float64 {
				in, out := w.Beyond(b.Chain.Chain, w.Arrive(b.Chain.Chain, s.Bend, math.Max(pull, 1), s.Length))
				return 1 / (1 + math.Exp(-math.Min(in, out)/f.Spread))
			}
			p := chance(b.Cogs[cog].Entry(b.Chain.Pitch), g.Top, g.Tensions.Top[sim.Backwards])
			q := chance(b.Rings[0].Entry(b.Chain.Pitch), g.Bottom, g.Tensions.Bottom[sim.Backwards])
			assert.InDelta(t, to[cog][sim.DropBackwards], 1-(1-p)*(1-q), 1e-9, "trial %d, cog %d", n, b.Cogs[cog].Teeth)
		}
		seen[b.Rings[0].Line] = true
	}
	assert.Len(t, seen, 20, "readings are drawn anew")
}

// The set is the number modulo the sets there are; readings go by seed and number.
func TestTrialTakesSetsInOrder(t *testing.T) {
	c, err := Load("road", nil)
	require.NoError(t, err)
	d, err := c.Draws()
	require.NoError(t, err)
	bike := func(seed, n uint64) (*sim.Bike, sim.Free) {
		b, f, err := d.Trial(seed, n)
		require.NoError(t, err)
		return b, *f
	}
	b3, f3 := bike(1, 3)
	again, _ := bike(1, 3)
	assert.Equal(t, b3, again)
	b203, f203 := bike(1, 3+judge.Sets)
	assert.Equal(t, f3, f203)
	assert.NotEqual(t, b3.Rings[0].Line, b203.Rings[0].Line)
	other, f := bike(2, 3)
	assert.Equal(t, f3, f)
	assert.NotEqual(t, b3.Rings[0].Line, other.Rings[0].Line)
	_, f4 := bike(1, 4)
	assert.NotEqual(t, f3, f4)
}
