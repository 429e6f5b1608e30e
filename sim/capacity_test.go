package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The least cage holds the chain in the smallest gear exactly at its folded stop, a shorter
// one leaves it hanging, and a longer one takes it up.
func TestTheLeastCageJustTakesUpTheChain(t *testing.T) {
	held := 0
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		b.Frame.Stay = rapid.Float64Range(405, 470).Draw(t, "stay")
		b.Cogs[0].Teeth = 9
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		links += 2 * rapid.IntRange(0, 6).Draw(t, "more")
		least, err := b.LeastCage(links)
		require.NoError(t, err)
		if least == 0 {
			return
		}
		held++
		require.Less(t, least, 300.0)
		var l Loop
		for by, slack := range map[float64]bool{-0.1: true, 0.1: false} {
			b.Tensioner.Cage = least + by
			fit, err := b.Close(&l, 0, 0, links)
			require.NoError(t, err)
			assert.Equal(t, slack, fit.Slack > 0, "%g mm from %g: %+v", by, least, fit)
			assert.InDelta(t, 0, fit.Excess, 1, "a tenth of a millimetre of cage is little chain")
		}
	})
	assert.Positive(t, held)
	none, err := single().LeastCage(90)
	require.NoError(t, err)
	assert.Zero(t, none, "without a tensioner")
}

// A chain is too long by degrees: more the more is left over, with no jump where the cage
// meets its stop.
func TestTooLongByDegrees(t *testing.T) {
	b := trail()
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	var l Loop
	before, pull := -1.0, 100.0
	for cage := 120.0; cage > 62; cage -= 0.05 {
		b.Tensioner.Cage = cage
		fit, err := b.Close(&l, 0, 0, links+6)
		require.NoError(t, err)
		p := fit.TooLong()
		q, taut := b.pulls(&l, fit)
		if before >= 0 {
			assert.GreaterOrEqual(t, p, before-1e-9, "cage %g", cage)
			assert.Less(t, p-before, 0.02, "cage %g", cage)
			assert.Less(t, pull-q.Bottom[Riding], 0.2, "cage %g", cage)
		}
		assert.GreaterOrEqual(t, taut, q.Top[Backwards])
		before, pull = p, q.Bottom[Riding]
	}
	assert.Greater(t, before, 0.99)
	assert.InDelta(t, 0, pull, 0.1)
	assert.InDelta(t, 0.5, Fit{Slack: looseCage, Excess: looseCage}.TooLong(), 1e-12)
	assert.InDelta(t, 0.5, Fit{Slot: true, Excess: looseSlot}.TooLong(), 1e-12)
	assert.Zero(t, Fit{Short: 2, Missing: 20}.TooLong())
}
