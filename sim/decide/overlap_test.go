package decide

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// Bars overlap by hand: the largest lower edge and the smallest upper one bind, of alike ones
// the first; a bar that is not wanted, or never is, binds nothing.
func TestOverlapByHand(t *testing.T) {
	bar := func(lo, hi float64) Bar { return Bar{Lo: Edge{Line: lo}, Hi: Edge{Line: hi}} }
	all := func(Bar) bool { return true }
	for _, c := range []struct {
		bars []Bar
		want Overlap
	}{
		// The first bar's upper edge stays where later ones lie beyond it.
		{[]Bar{bar(46, 50), bar(44, 55), bar(47, 52)}, Overlap{Lo: 2, Hi: 0, From: 47, To: 50, Never: -1}},
		{[]Bar{bar(40, 60), bar(45, 51), bar(44, 55)}, Overlap{Lo: 1, Hi: 1, From: 45, To: 51, Never: -1}},
		{[]Bar{bar(45, 51), bar(45, 51)}, Overlap{Lo: 0, Hi: 0, From: 45, To: 51, Never: -1}},
		{[]Bar{bar(52, 60), bar(40, 49)}, Overlap{Lo: 0, Hi: 1, From: 52, To: 49, Empty: true, Lacking: 3, Never: -1}},
		{nil, Overlap{Lo: -1, Hi: -1, Empty: true, Never: -1}},
	} {
		assert.Equal(t, c.want, overlap(c.bars, all))
	}
	bars := []Bar{bar(46, 50), {Never: &sim.Margin{}, Lo: Edge{Line: 48}, Hi: Edge{Line: 48}}, bar(47, 48.5)}
	o := overlap(bars, func(b Bar) bool { return b.Hi.Line != 48.5 })
	assert.True(t, o.Empty)
	assert.Equal(t, [3]int{0, 0, 1}, [3]int{o.Lo, o.Hi, o.Never})
}

// The best line of a margin is where it is largest of all lines about it, beside a jump too:
// climbing is judged another way where the chain leans to the side of the larger cog.
func TestSummitIsTheLargest(t *testing.T) {
	b := bike()
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	s := &windowSearch{ctx: t.Context(), bike: b, links: links, eval: sim.Evaluator{Exact: true}, signs: sim.Evaluator{Exact: true, Signs: true}}
	for d := -Reach; d <= Reach; d += gridStep {
		m, err := s.signs.Margins(nil, shifted(b, d), links)
		require.NoError(t, err)
		s.at, s.grid = append(s.at, d), append(s.grid, m)
	}
	looked := 0
	for j, m := range s.grid[0] {
		if m.Kind != sim.ToQuiet && m.Kind != sim.ToClimb {
			continue
		}
		best := 0
		for i := range s.grid {
			if s.grid[i][j].Value > s.grid[best][j].Value {
				best = i
			}
		}
		if best < 2 || best > len(s.grid)-3 {
			continue
		}
		at, err := s.summit(j, best)
		require.NoError(t, err)
		top, err := s.value(j, at)
		require.NoError(t, err)
		most := math.Inf(-1)
		for k := -100; k <= 100; k++ {
			v, err := s.value(j, s.at[best]+gridStep*float64(k)/100)
			require.NoError(t, err)
			most = math.Max(most, v)
		}
		assert.GreaterOrEqual(t, top, most-1e-6, "margin %d", j)
		assert.InDelta(t, s.at[best], at, gridStep)
		looked++
	}
	assert.Greater(t, looked, 4)
}
