package decide

import (
	"context"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// lasting is a context that ends once it has been asked so often whether it has.
type lasting struct {
	context.Context
	left, asked int
}

func (l *lasting) Err() error {
	if l.asked++; l.asked > l.left {
		return context.Canceled
	}
	return nil
}

// Walls whose search is given up at any look at the context are told as given up, and none are
// answered; with one look more they are found. The second bike has no place, so that the best one is
// looked for.
func TestWallsGivenUpAreNoWalls(t *testing.T) {
	wide := bike()
	wide.Stay, wide.Tyre.Mud = nil, 60
	for _, b := range []*sim.Bike{bike(), wide} {
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		whole := &lasting{Context: t.Context(), left: math.MaxInt}
		want, err := FindWalls(whole, b, links)
		require.NoError(t, err)
		for left := 0; left < whole.asked; left += 1 + left/16 {
			w, err := FindWalls(&lasting{Context: t.Context(), left: left}, b, links)
			require.ErrorIs(t, err, context.Canceled, "after %d of %d", left, whole.asked)
			assert.Nil(t, w)
		}
		_, err = FindWalls(&lasting{Context: t.Context(), left: whole.asked - 1}, b, links)
		require.ErrorIs(t, err, context.Canceled)
		got, err := FindWalls(&lasting{Context: t.Context(), left: whole.asked}, b, links)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
	bad := bike()
	bad.Tensioner.Gap = [2]float64{-60, -60}
	w, err := FindWalls(t.Context(), bad, 112)
	require.ErrorIs(t, err, sim.ErrOverlap)
	assert.Nil(t, w)
}

// No count or effect is answered beside an error.
func TestNothingIsAnsweredBesideAnError(t *testing.T) {
	p := &Plan{Groups: [][]int{make([]int, 99), make([]int, 99)}}
	n, err := p.Size(9999)
	require.ErrorContains(t, err, "more than 9999 combinations")
	assert.Zero(t, n)
	n, err = p.Size(10000)
	require.NoError(t, err)
	assert.Equal(t, 10000, n)
	for range 3 {
		p.Groups = append(p.Groups, p.Groups...)
	}
	effects, failed, err := Search(t.Context(), p, nil, 1, nil)
	require.ErrorContains(t, err, "combinations")
	assert.Empty(t, effects)
	assert.Zero(t, failed)
}
