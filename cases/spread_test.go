package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// What is made of one number is spread by that number: by all of it where it is a line in it, by the product
// of its correlations with the rest where it is one of two; readings, lines without a typed doubt and free numbers
// are all among them. What has nothing to do with any is spread by none.
func TestSpreadNamesWhatSpreads(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nframe: {stay: 430 ± 4}\nfront: {line: 45 ± 0.5, rings: [42]}\nrear: {line: 44, cogs: [16]}\n")
	o, err := c.Outlook([]float64{0})
	require.NoError(t, err)
	bevel := freeNumber("chain.bevel")
	at := func(list []Spread, name string) float64 {
		for _, s := range list {
			if s.Name == name {
				return s.Share
			}
		}
		return 0
	}
	list, err := o.Spread(func(k int) float64 { return 3 - 2*o.starts[k].set[bevel] })
	require.NoError(t, err)
	require.NotEmpty(t, list)
	assert.Equal(t, "chain.bevel", list[0].Name)
	assert.InDelta(t, 1, list[0].Share, 1e-12)
	for i := 1; i < len(list); i++ {
		assert.LessOrEqual(t, list[i].Share, list[i-1].Share)
		assert.GreaterOrEqual(t, list[i].Share, leastSpread)
	}
	for i, name := range []string{"front.line", "rear.line"} {
		list, err = o.Spread(func(k int) float64 { return o.draws[k].Lines[i] })
		require.NoError(t, err)
		assert.InDelta(t, 1, at(list, name), 1e-9, name)
		assert.Zero(t, at(list, []string{"rear.line", "front.line"}[i]))
	}
	list, err = o.Spread(func(int) float64 { return 7 })
	require.NoError(t, err)
	assert.Empty(t, list)

	list, err = o.Spread(func(k int) float64 { return float64(k * 7919 % 101) })
	require.NoError(t, err)
	assert.LessOrEqual(t, len(list), 1)
}

// The chance most in doubt is that nearest to a half; none where all are below a tenth, or nine tenths and more.
func TestDoubtfulIsNearestToAHalf(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: {line: 45, rings: [42]}\nrear: {line: 44, cogs: [14, 16]}\n")
	o, err := c.Outlook([]float64{0})
	require.NoError(t, err)
	chances := make([]sim.Chances, 2)
	chances[0][sim.NoiseRiding], chances[1][sim.NoiseRiding], chances[1][sim.DropBackwards] = 0.2, 0.95, 0.71
	d, err := o.Doubtful(chances)
	require.NoError(t, err)
	assert.Equal(t, 1, d.Gear)
	assert.Equal(t, sim.DropBackwards, d.Concern)
	assert.Equal(t, 0.71, d.Chance)
	chances[0][sim.NoiseRiding], chances[1][sim.DropBackwards] = 0.099, 0.901
	d, err = o.Doubtful(chances)
	require.NoError(t, err)
	assert.Nil(t, d)

	assert.Len(t, o.Sets(), judge.Sets)
	assert.InDelta(t, (o.Sets()[3][0][sim.NoiseRiding]+o.Sets()[3][1][sim.NoiseRiding])/2, o.Mean(3, []int{0, 1}, sim.NoiseRiding), 1e-15)
	assert.Zero(t, o.Mean(3, []int{0}, sim.RubsTyreAt), "there is no tyre")
}

// How well the front line is known: by its own ±, by that of the readings it follows from, or exactly.
func TestFrontLineWithin(t *testing.T) {
	for front, want := range map[string]float64{
		"{line: 45 ± 0.5, rings: [42]}":                                  0.95 * 0.5,
		"{line: 45 ± 0, rings: [42]}":                                    0,
		"{measured: {tube_width: 40 ± 0.3, gap: 25 ± 0.4}, rings: [42]}": 2 * math.Sqrt((0.15*0.15+0.4*0.4)/3),
	} {
		c := mustParse(t, "chainpath: 1\nframe: {stay: 430}\nfront: "+front+"\nrear: {line: 44, cogs: [14, 16]}\n")
		got, err := c.FrontLineWithin()
		require.NoError(t, err)
		assert.InDelta(t, want, got, 1e-6, front)
	}
}
