package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is kept of cogs' guide runs makes no difference: cassettes that come again, more of them than are
// kept, and other rooms and tensioners between give the windows of a fresh look each.
func TestKeptGuideRunsMakeNoDifference(t *testing.T) {
	b := double()
	b.Cogs = b.Cogs[:4]
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	n := len(b.Rings) * len(b.Cogs)
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Spread: 0.05, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1}
	var used Odds
	line, gap := b.Cogs[1].Line, b.Tensioner.Gap
	looks, moved := 0, map[IndexWindow]bool{}
	look := func(step int, room, away float64) {
		b.Cogs[1].Line, f.Room = line+0.02*float64(step), room
		b.Tensioner.Gap = [2]float64{gap[0] + away, gap[1]}
		got, want := make([]IndexWindow, n), make([]IndexWindow, n)
		require.NoError(t, used.Index(got, b, f, links))
		require.NoError(t, new(Odds).Index(want, b, f, links))
		assert.Equal(t, want, got, "step %d, room %g, %g away", step, room, away)
		looks++
		moved[got[1]] = true
	}
	for _, step := range []int{0, 3, 0, 3, 1, 0} {
		look(step, 0, 0)
	}
	for step := range mostGuided + 4 { // some are let go of
		look(step, 0, 0)
	}
	for _, step := range []int{0, mostGuided, 2, mostGuided + 3} {
		look(step, 0, 0)
		look(step, 0.2, 0)
		look(step, 0.2, 1)
	}
	assert.Greater(t, len(moved), mostGuided, "they differ, in %d looks", looks)
}
