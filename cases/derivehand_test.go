package cases

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// How far the axle is looked for, by what is known of stay and chain: where a stay was measured, half of what a pair
// of links moves it, 7 mm, or with a counted chain the 1 mm of its wear, and the stay's own doubt; a usual stay's
// 25 mm with the 7; and with a counted chain alone all that a stay can be, 200 to 2000 mm, about the usual 430.
func TestHowFarTheAxleIsLookedForByHand(t *testing.T) {
	for _, x := range []struct {
		frame, chain string
		want         sim.Slot
	}{
		{"{drop: 60}", "{slack: 0.8}", sim.Slot{Forward: 32, Back: 32}},
		{"{drop: 60}", "{links: 96}", sim.Slot{Forward: 230, Back: 1570}},
		{"{stay: 405 ± 2}", "{slack: 0.8}", sim.Slot{Forward: 9, Back: 9}},
		{"{stay: 405 ± 2}", "{links: 96}", sim.Slot{Forward: 3, Back: 3}},
		{"{stay: 405 ± 0}", "{slack: 0.8}", sim.Slot{Forward: 7, Back: 7}},
		{"{stay: 405 ± 0}", "{links: 96}", sim.Slot{Forward: 1, Back: 1}},
		{"{stay: 405}", "{links: 96}", sim.Slot{Forward: 1.5, Back: 1.5}}, // typed to a millimetre
	} {
		c := mustParse(t, "chainpath: 1\nframe: "+x.frame+"\nfront: {line: 44, rings: [46]}\nrear: {line: 43, cogs: [17]}\nchain: "+x.chain+"\n")
		got := c.axleRoom()
		assert.InDelta(t, x.want.Forward, got.Forward, 1e-9, "%+v", x)
		assert.InDelta(t, x.want.Back, got.Back, 1e-9, "%+v", x)
	}
}

// A cage that nobody measured takes up the bike's chain: with the least one that is told the chain that goes with it
// mounts in every gear and is taken up in each, with one a millimetre shorter it is not; what is taken is a whole number of
// millimetres 4 to 5 beyond that, or the usual one where that is enough. A cage that is given is taken as it is.
func TestACageTakesUpItsChain(t *testing.T) {
	longer := 0
	for _, x := range []struct {
		rings, cogs string
		speeds      int
	}{{"[34, 50]", "11-28", 11}, {"[34, 50]", "11-34", 11}, {"[26, 36, 48]", "11-34", 9}, {"[22, 32, 44]", "11-36", 9}, {"[32]", "10-51", 12}, {"[30, 46]", "11-42", 11}} {
		text := fmt.Sprintf("chainpath: 1\nspeeds: %d\nframe: {stay: 430}\nfront: {line: 46, rings: %s}\nrear: {line: 45, cogs: %s}\n", x.speeds, x.rings, x.cogs)
		c := mustParse(t, text)
		b, err := c.Bike()
		require.NoError(t, err)
		usual := defaultsFor(c.Speeds)["tensioner.cage"]
		cage := b.Tensioner.Cage
		if c.derived.cage == usual || c.derived.cage == 0 {
			assert.Equal(t, usual, cage, text)
		} else {
			longer++
			assert.Greater(t, cage, usual, text)
			assert.Equal(t, math.Trunc(cage), cage, text)
			assert.GreaterOrEqual(t, cage, c.derived.least+4, text)
			assert.Less(t, cage, c.derived.least+5, text)
		}
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		var l sim.Loop
		hangs := func(cage float64) (any bool) {
			of, tensioner := *b, *b.Tensioner
			tensioner.Cage = cage
			of.Tensioner = &tensioner
			for ring := range of.Rings {
				for cog := range of.Cogs {
					fit, err := of.Close(&l, ring, cog, links)
					require.NoError(t, err)
					assert.True(t, fit.Mounts(), "%s: cage %g, %d/%d", text, cage, ring, cog)
					any = any || fit.Excess > 0
				}
			}
			return any
		}
		assert.False(t, hangs(cage), text)
		if cage > usual {
			least, err := b.LeastCage(links)
			require.NoError(t, err)
			assert.False(t, hangs(least+0.01), "%s: %g", text, least)
			assert.True(t, hangs(least-1), "%s: %g", text, least)
		}
		given, err := c.Set("tensioner.cage", "61")
		require.NoError(t, err)
		n, err := given.Bike()
		require.NoError(t, err)
		assert.Equal(t, 61.0, n.Tensioner.Cage)
	}
	assert.Greater(t, longer, 1, "bikes whose cage is not the usual one")
}
