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
	s := &windowSearch{ctx: t.Context(), bike: b, links: links, eval: sim.Evaluator{}, signs: sim.Evaluator{Signs: true}}
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

// A window narrower than the steps in which it is looked for is found all the same: noise from
// 0.02° on leaves a straight run L tan 0.02° to either side.
func TestNarrowWindowIsFound(t *testing.T) {
	for _, line := range []float64{47.37, 46.5, 48.02} {
		b := bike()
		b.NoiseFrom = sim.Radians(0.02)
		b.Cogs = b.Cogs[4:]
		b.Cogs[0].Line = line
		w, _ := window(t, b)
		r, err := b.Evaluate()
		require.NoError(t, err)
		half := r.Gears[0].Top.Length * math.Tan(sim.Radians(0.02))
		require.Less(t, 2*half, 0.4)
		found := 0
		for _, bar := range w.Bars {
			if bar.Kind == sim.ToQuiet && bar.Direction == sim.Riding {
				found++
				assert.False(t, bar.Empty)
				assert.InDelta(t, line-half, bar.Lo.Line, 1e-3)
				assert.InDelta(t, line+half, bar.Hi.Line, 1e-3)
			}
		}
		assert.Equal(t, 1, found)
	}
}

// Each bar has its name in output and its words, which say the direction where it matters.
func TestNamesOfBars(t *testing.T) {
	for _, c := range []struct {
		bar         Bar
		name, words string
	}{
		{Bar{Kind: sim.ToClimb, Direction: sim.Backwards}, "no climbing, backwards", "no chain drop, back-pedalling"},
		{Bar{Kind: sim.ToQuiet, Direction: sim.Riding}, "quiet, riding", "no noise, riding"},
		{Bar{Kind: sim.ToCog, Direction: sim.Riding}, "clear of next cog, riding", "clear of the next cog, riding"},
		{Bar{Kind: sim.ToRing, Direction: sim.Backwards}, "clear of next ring, backwards", "clear of the next chainring, back-pedalling"},
		{Bar{Kind: sim.ToTyre, Both: true}, "clear of tyre", "clear of the tyre"},
		{Bar{Kind: sim.ToStay, Both: true}, "clear of chainstay", "clear of the chainstay"},
	} {
		assert.Equal(t, c.name, c.bar.Name())
		assert.Equal(t, c.words, c.bar.Words())
	}
}
