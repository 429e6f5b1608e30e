package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The few numbers are the worst of the many, also on a bike after another.
func TestShiftWorstIsTheWorst(t *testing.T) {
	var j ShiftJudge
	for _, b := range []*Bike{double(), trail(), double()} {
		b.CogRoom = 0.9
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		var w ShiftWorst
		ok, err := j.Worst(&w, b, links)
		require.NoError(t, err)
		require.True(t, ok)
		f := Free{Seat: b.Chain.Seat, Allowance: b.Cogs[0].Allowance, Room: 0.9}
		var o Odds
		windows := make([]IndexWindow, len(b.Rings)*len(b.Cogs))
		require.NoError(t, o.Index(windows, b, &f, links))
		narrow := math.Inf(1)
		for _, x := range windows {
			narrow = math.Min(narrow, x.To-x.From)
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
	ok, err := j.Worst(new(ShiftWorst), single(), 100)
	require.NoError(t, err)
	assert.False(t, ok, "nothing is indexed")
}
