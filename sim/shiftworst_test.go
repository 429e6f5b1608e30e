package sim

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The few numbers are the worst of the many, also on a bike after another.
func TestShiftWorstIsTheWorst(t *testing.T) {
	exact := Evaluator{Exact: true}
	var e Evaluator
	var bikes []*Bike
	for _, room := range []float64{0.9, 0.3, -0.2, -0.6} {
		for aside := -14.; aside <= 14; aside += 4 {
			for _, b := range []*Bike{double(), trail()} {
				for i := range b.Rings {
					b.Rings[i].Line += aside
				}
				b.CogRoom = room
				bikes = append(bikes, b)
				if int(aside)%8 == 2 { // cogs that do not stand where the cable puts the pulley
					u := *b
					u.Cogs = slices.Clone(b.Cogs)
					for i := range u.Cogs {
						u.Cogs[i].Line += 0.5 * float64(i*i%3-1)
					}
					bikes = append(bikes, &u)
				}
			}
		}
	}
	binds := map[Binding]int{}
	for _, b := range bikes {
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		var w ShiftWorst
		var o1, o2 Outcome
		require.NoError(t, e.OutcomeShifts(&o1, &w, b, links))
		require.True(t, w.Valid)
		require.NoError(t, new(Evaluator).Outcome(&o2, b, links))
		assert.Equal(t, o2, o1)
		var exactly ShiftWorst
		require.NoError(t, exact.OutcomeShifts(&o2, &exactly, b, links))
		assert.Equal(t, exactly, w, "nothing of it is read off a table")
		f := Free{Seat: b.Chain.Seat, Allowance: b.Cogs[0].Allowance, Room: b.CogRoom}
		var o Odds
		windows := make([]IndexWindow, len(b.Rings)*len(b.Cogs))
		require.NoError(t, o.Index(windows, b, &f, links))
		narrow := math.Inf(1)
		for _, x := range windows {
			narrow = math.Min(narrow, x.To-x.From)
			binds[x.Binds[0]]++
		}
		assert.Equal(t, narrow, w.Window.Value)
		at := windows[w.Window.Ring*len(b.Cogs)+w.Window.Cog]
		assert.Equal(t, narrow, at.To-at.From)
		lo, hi, _ := Overlap(windows)
		assert.InDelta(t, hi-lo, w.Common, 1e-12)
		var all []Shift
		for ring := range b.Rings {
			s := make([]Shift, 2*(len(b.Cogs)-1))
			require.NoError(t, o.Shifts(s, b, &f, ring, links))
			all = append(all, s...)
		}
		from, to, _ := Setting(all)
		assert.InDelta(t, math.Min(hi, to)-math.Max(lo, from), w.Setting, 1e-12)
		past, wait := math.Inf(-1), 0.0
		for _, s := range all {
			past, wait = math.Max(past, s.Past), math.Max(wait, s.Delay)
			if s.From == w.From && s.To == w.To {
				assert.LessOrEqual(t, s.Past, w.Past)
			}
		}
		assert.Equal(t, past, w.Past)
		assert.Equal(t, wait, w.Wait)
		assert.LessOrEqual(t, w.Setting, w.Common)
	}
	assert.Greater(t, binds[TopMeetsLarger], 100)
	assert.Greater(t, binds[ClimbsInboard]+binds[MeetsLarger], 100)
	var w ShiftWorst
	require.NoError(t, e.OutcomeShifts(new(Outcome), &w, single(), 100))
	assert.Equal(t, ShiftWorst{}, w, "nothing is indexed")
}

// More cogs that come and go than are kept: each gets its own numbers every time.
func TestGuideRunsOfManyCogs(t *testing.T) {
	var used Evaluator
	for range 2 {
		for i := range 3 * mostGuided {
			b := trail()
			b.Cogs[5].Tooth.Tip = 0.6 + 0.01*float64(i%(mostGuided+5))
			b.Cogs[7].Line += 0.02 * float64(i%3)
			var was, alone ShiftWorst
			require.NoError(t, used.OutcomeShifts(new(Outcome), &was, b, 118))
			require.NoError(t, new(Evaluator).OutcomeShifts(new(Outcome), &alone, b, 118))
			require.Equal(t, alone, was, "%d", i)
		}
	}
	for _, k := range used.shift.odds.guides.cogs {
		assert.LessOrEqual(t, len(k.kept), mostGuided)
	}
}

// What a cog's guide run decides is kept while nothing in it changes, and only then: a bike
// after others gets the numbers that it has alone, whatever was changed.
func TestGuideRunsAreFoundAnew(t *testing.T) {
	changes := map[string]func(b *Bike){
		"nothing": func(b *Bike) {}, "stay": func(b *Bike) { b.Frame.Stay += 7 }, "ring": func(b *Bike) { b.Rings[0].Line += 2 },
		"cog": func(b *Bike) { b.Cogs[3].Teeth++ }, "line": func(b *Bike) { b.Cogs[3].Line += 0.1 }, "tip": func(b *Bike) { b.Cogs[4].Tooth.Tip -= 0.1 },
		"guide": func(b *Bike) { b.Tensioner.Guide.Teeth += 2 }, "guide tooth": func(b *Bike) { b.Tensioner.Guide.Tooth.Full -= 0.1 },
		"gap": func(b *Bike) { b.Tensioner.Gap[1] += 2 }, "float": func(b *Bike) { b.Tensioner.Float += 0.2 }, "hanger": func(b *Bike) { b.Tensioner.Hanger.Lean = 0.01 },
		"inner width": func(b *Bike) { b.Chain.InnerWidth += 0.02 }, "outer width": func(b *Bike) { b.Chain.OuterWidth += 0.03 }, "width": func(b *Bike) { b.Chain.Width += 0.1 },
		"bevel": func(b *Bike) { b.Chain.Bevel += 0.05 }, "height": func(b *Bike) { b.Chain.PlateHalfHeight -= 0.2 }, "slack": func(b *Bike) { b.Chain.Slack *= 2 },
		"proud": func(b *Bike) { b.Chain.Proud += 0.05 }, "pin": func(b *Bike) { b.Chain.Pin += 0.4 }, "room": func(b *Bike) { b.CogRoom += 0.2 }, "seat": func(b *Bike) { b.Chain.Seat += 0.05 },
		"allowance": func(b *Bike) { b.Cogs[0].Allowance += 0.05 }, "gates": func(b *Bike) { b.Gates = Gates{Each: []int{0, 2, 2, 3, 3, 3, 4, 4, 4, 4, 4, 4}, Depth: 0.6} },
		"gate depth": func(b *Bike) { b.Gates = Gates{Each: []int{0, 2, 2, 3, 3, 3, 4, 4, 4, 4, 4, 4}, Depth: 0.9} },
	}
	var used Evaluator
	numbers := map[ShiftWorst]string{}
	for name, change := range changes {
		b := trail()
		b.CogRoom = 0.9
		change(b)
		var was, alone ShiftWorst
		require.NoError(t, used.OutcomeShifts(new(Outcome), &was, b, 118), name)
		require.NoError(t, new(Evaluator).OutcomeShifts(new(Outcome), &alone, b, 118), name)
		assert.Equal(t, alone, was, name)
		numbers[alone] = name
		for i := range b.Cogs {
			var l laid
			require.NoError(t, l.lay(b, new(Loop), 0, i, 118, new(near)))
			assert.InDelta(t, l.guide.Length, b.guideLength(i), 1e-9, "%s, cog %d", name, i)
		}
	}
	assert.Greater(t, len(numbers), 8)
}
