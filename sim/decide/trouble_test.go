package decide_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Trouble is the sum over shares of time; what there is no such thing of counts nothing.
func TestExpect(t *testing.T) {
	chances := make([]sim.Chances, 2)
	for i := range chances {
		for k := range chances[i] {
			chances[i][k] = -1
		}
	}
	chances[0][sim.NoiseRiding], chances[1][sim.NoiseRiding] = 0.2, 0.8
	chances[1][sim.DropRiding] = 0.1
	none := &decide.Carried{Most: 1}
	got, err := decide.Expect(chances, []float64{0.75, 0.25}, &decide.Usual, none)
	require.NoError(t, err)
	assert.InDelta(t, 0.35, got.By[sim.NoiseRiding], 1e-15)
	assert.InDelta(t, 0.025, got.By[sim.DropRiding], 1e-15)
	assert.Zero(t, got.By[sim.RubsNextRing])
	assert.InDelta(t, 0.35+5*0.025, got.Sum, 1e-15)
	even, err := decide.Expect(chances, nil, &decide.Usual, none)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, even.By[sim.NoiseRiding], 1e-15)

	// What every bicycle carries is no trouble, and what is sure counts as much as is told.
	c := &decide.Carried{Most: 0.9}
	c.Least[sim.NoiseRiding], c.Least[sim.DropRiding] = 0.3, 0.02
	chances[0][sim.DoesNotClose] = 1
	over, err := decide.Expect(chances, nil, &decide.Usual, c)
	require.NoError(t, err)
	assert.InDelta(t, 0.25, over.Over[sim.NoiseRiding], 1e-15, "0.2 is below what is carried, 0.8 is 0.5 over it")
	assert.InDelta(t, 0.04, over.Over[sim.DropRiding], 1e-15)
	assert.InDelta(t, 0.25+5*0.04+10*0.45, over.Sum, 1e-14)
	assert.InDelta(t, 0.5, over.By[sim.NoiseRiding], 1e-15, "the share of time stays")
	chances[0][sim.DoesNotClose] = -1

	_, err = decide.Expect(chances, []float64{1}, &decide.Usual, none)
	assert.ErrorIs(t, err, decide.ErrWeights)
	bad := decide.Usual
	bad[sim.RubsTyreAt] = math.NaN()
	_, err = decide.Expect(chances, nil, &bad, none)
	assert.ErrorIs(t, err, decide.ErrWeights)
}

// The best place lies between the walls, whatever trouble lies beyond them.
func TestAlong(t *testing.T) {
	w := decide.Walls{Front: 54.2, Rooms: []decide.Room{
		{Part: "stay", Lo: decide.End{Line: 50.5}, Hi: decide.End{Open: true, Line: 90}},
		{Part: "tyre", Lo: decide.End{Line: 46}, Hi: decide.End{Open: true, Line: 90}},
	}}
	place := func(line, sum float64) decide.Place {
		return decide.Place{Line: line, Trouble: decide.Trouble{Sum: sum}}
	}
	places := []decide.Place{place(50, 0.1), place(51, 0.3), place(52, 0.32), place(53, 0.4), place(54.2, 0.5), place(55, 0.6)}
	a := w.Along(places, &decide.Usual)
	assert.Equal(t, 1, a.Best)
	assert.Equal(t, 4, a.Today)
	assert.Equal(t, [2]int{1, 2}, a.Flat, "within a tenth of the best")
	assert.Equal(t, 50.5, a.From)
	assert.Equal(t, "stay", a.FromBy)
	assert.True(t, math.IsInf(a.To, 1))

	w.Rooms[1].Hi = decide.End{Line: 50.2} // the walls leave no room
	assert.Equal(t, -1, w.Along(places, &decide.Usual).Best)
}
