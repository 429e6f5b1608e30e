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

// A window that is given up at any look at the context is told as given up, and none is answered;
// with one look more it is found. The second bike has no window, so that best places are looked for.
func TestAWindowGivenUpIsNoWindow(t *testing.T) {
	never := bike()
	never.Tensioner.IndexError = 2.5
	for _, b := range []*sim.Bike{bike(), never} {
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		whole := &lasting{Context: t.Context(), left: math.MaxInt}
		want, err := FindWindowWithin(whole, b, links)
		require.NoError(t, err)
		for left := 0; left < whole.asked; left += 1 + left/16 {
			w, err := FindWindowWithin(&lasting{Context: t.Context(), left: left}, b, links)
			require.ErrorIs(t, err, context.Canceled, "after %d of %d", left, whole.asked)
			assert.Nil(t, w)
		}
		_, err = FindWindowWithin(&lasting{Context: t.Context(), left: whole.asked - 1}, b, links)
		require.ErrorIs(t, err, context.Canceled)
		got, err := FindWindowWithin(&lasting{Context: t.Context(), left: whole.asked}, b, links)
		require.NoError(t, err)
		assert.Equal(t, want, got)
	}
}

// No margin, edge or best place is answered beside an error, whichever look it comes at.
func TestNothingIsAnsweredBesideAnError(t *testing.T) {
	b := bike()
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	s := &windowSearch{bike: b, links: links, eval: sim.Evaluator{}, signs: sim.Evaluator{Signs: true}}
	for d := -Reach; d <= Reach; d += gridStep {
		m, err := s.signs.Margins(nil, shifted(b, d), links)
		require.NoError(t, err)
		s.at, s.grid = append(s.at, d), append(s.grid, m)
	}
	j, best, out := 0, len(s.at)/2, len(s.at)-1
	for s.grid[0][j].Kind != sim.ToQuiet || s.grid[out][j].Value >= 0 || s.grid[best][j].Value < 0 {
		j++
	}
	for name, ask := range map[string]func() (float64, error){
		"value":  func() (float64, error) { return s.value(j, 0.5) },
		"root":   func() (float64, error) { return s.root(j, s.at[best], s.at[out]) },
		"summit": func() (float64, error) { return s.summit(j, best) },
	} {
		whole := &lasting{Context: t.Context(), left: math.MaxInt}
		s.ctx = whole
		x, err := ask()
		require.NoError(t, err)
		assert.NotZero(t, x, name)
		for left := range whole.asked {
			s.ctx = &lasting{Context: t.Context(), left: left}
			x, err := ask()
			require.ErrorIs(t, err, context.Canceled, name)
			assert.Zero(t, x, "%s after %d of %d", name, left, whole.asked)
		}
	}
	s.ctx, s.bike = t.Context(), bike()
	s.bike.Tensioner.Gap = [2]float64{-60, -60}
	x, err := s.value(j, 0.5)
	require.ErrorIs(t, err, sim.ErrOverlap)
	assert.Zero(t, x)
	s.bike = b
	s.grid[0][j].At = sim.Part(sim.NumParts)
	x, err = s.value(j, 0.5)
	require.ErrorContains(t, err, "margins changed their order")
	assert.Zero(t, x)

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
