package decide

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Two options, two sets, by hand: without a test 0.5 either way; a sure test leaves 0.1,
// one that errs one time in five 0.2·0.9 + 0.8·0.1 = 0.26.
func TestWorthByHand(t *testing.T) {
	c := Choice{Trouble: [][]float64{{0.1, 0.9}, {0.9, 0.1}}, Weight: []float64{1, 1}}
	require.NoError(t, c.Valid())
	_, before := c.Best()
	assert.InDelta(t, 0.5, before, 1e-15)
	assert.InDelta(t, 0.4, c.Perfect(), 1e-15)
	w, err := c.Worth(Experiment{{0.8, 0.2}, {0.2, 0.8}})
	require.NoError(t, err)
	assert.InDelta(t, 0.5-0.26, w.Avoided, 1e-15)
	assert.InDelta(t, 0.5, w.Turns, 1e-15, "after the one outcome the other option is better")
	w, err = c.Worth(Experiment{{0.3, 0.3}, {0.7, 0.7}})
	require.NoError(t, err)
	assert.Equal(t, Worth{}, w, "what all sets foretell alike tells nothing")
}

// A test is worth something from nothing to what certainty is worth, and a coarser reading
// of it never more than itself. (That outcomes turn the choice is in the test by hand.)
func TestWorthIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sets, options, outcomes := rapid.IntRange(1, 9).Draw(t, "sets"), rapid.IntRange(1, 5).Draw(t, "options"), rapid.IntRange(2, 5).Draw(t, "outcomes")
		row := func(name string) []float64 {
			return rapid.SliceOfN(rapid.Float64Range(0.01, 1), sets, sets).Draw(t, name)
		}
		c := Choice{Weight: row("weight")}
		for range options {
			c.Trouble = append(c.Trouble, row("trouble"))
		}
		e := make(Experiment, outcomes)
		for o := range e {
			e[o] = row("outcome")
		}
		for k := range sets {
			sum := 0.0
			for o := range e {
				sum += e[o][k]
			}
			for o := range e {
				e[o][k] /= sum
			}
		}
		w, err := c.Worth(e)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, w.Avoided, 0.0)
		assert.LessOrEqual(t, w.Avoided, c.Perfect()+1e-12)
		assert.True(t, w.Turns >= 0 && w.Turns <= 1+1e-12)

		both := make([]float64, sets)
		for k := range both {
			both[k] = e[0][k] + e[1][k]
		}
		coarse, err := c.Worth(append(Experiment{both}, e[2:]...))
		require.NoError(t, err)
		assert.LessOrEqual(t, coarse.Avoided, w.Avoided+1e-12)
	})
}

// Sets may weigh nothing, but not all of them; trouble may be nothing.
func TestWeightsOfNothing(t *testing.T) {
	c := Choice{Trouble: [][]float64{{0, 0.9}, {0.9, 0.1}}, Weight: []float64{1, 0}}
	require.NoError(t, c.Valid())
	best, trouble := c.Best()
	assert.Zero(t, best)
	assert.Zero(t, trouble)
	c.Weight = []float64{0, 0}
	require.ErrorIs(t, c.Valid(), ErrChoice)
	assert.ErrorContains(t, c.Valid(), "weights sum to 0")
	c.Weight = []float64{0.25, 0.25}
	assert.NoError(t, c.Valid(), "in any unit")
}

func TestChoiceRefuses(t *testing.T) {
	for _, c := range []Choice{
		{}, {Trouble: [][]float64{{1}}}, {Trouble: [][]float64{{1, 2}}, Weight: []float64{1}},
		{Trouble: [][]float64{{math.NaN()}}, Weight: []float64{1}}, {Trouble: [][]float64{{1}}, Weight: []float64{0}},
		{Trouble: [][]float64{{1}}, Weight: []float64{-1}},
	} {
		assert.ErrorIs(t, c.Valid(), ErrChoice)
	}
	c := Choice{Trouble: [][]float64{{1, 2}}, Weight: []float64{1, 1}}
	for _, e := range []Experiment{{{1}}, {{0.5, 0.5}, {0.5, 0.4}}, {{2, 1}, {-1, 0}}} {
		_, err := c.Worth(e)
		assert.ErrorIs(t, err, ErrChoice)
	}
}

// What is to be expected of an option, and the best of them, with weights in any unit; of alike ones the first.
func TestExpectedByHand(t *testing.T) {
	c := Choice{Trouble: [][]float64{{0.1, 0.9}, {0.3, 0.2}, {0.3, 0.2}}, Weight: []float64{30, 10}}
	assert.InDelta(t, 0.3, c.Expected(0), 1e-15)
	assert.InDelta(t, 0.275, c.Expected(1), 1e-15)
	option, trouble := c.Best()
	assert.Equal(t, 1, option)
	assert.InDelta(t, 0.275, trouble, 1e-15)
	// Knowing the set: 0.1 and 0.2, three times in four the first.
	assert.InDelta(t, 0.275-0.125, c.Perfect(), 1e-15)
}
