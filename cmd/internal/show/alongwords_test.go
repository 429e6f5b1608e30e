package show

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim/decide"
)

// alongLines returns places a millimetre apart from 40 on, with fault scores.
func alongLines(sums ...float64) *decide.Along {
	a := &decide.Along{From: math.Inf(-1), To: math.Inf(1), FromBy: "stay", ToBy: "tyre"}
	for i, s := range sums {
		a.Places = append(a.Places, decide.Place{Line: 40 + float64(i), Trouble: decide.Trouble{Sum: s}})
	}
	return a
}

// placed says where the chainring should sit.
func placed(a *decide.Along) string { return adviceOf(a).Advice() }

// Where the chainring should sit, by hand: left where it is at either end of what is as good, moved
// inboard or outboard to one place or to a range, or away from a wall although that is worse.
func TestWordsOfWhereItSits(t *testing.T) {
	a := alongLines(0.5, 0.2, 0.1, 0.2, 0.6, 0.9)
	a.Best, a.Flat = 2, [2]int{1, 3}
	for today, want := range map[int]string{
		0: "With the chainring 1.0 to 3.0 mm outboard, at 41.0 to 43.0 mm, the fault score is lowest: 0.10 instead of 0.50. Whether that is worth a change: chainpath fix.",
		1: "Leave the chainring where it is. No other position helps by more than the model can resolve (fault score 0.20).",
		3: "Leave the chainring where it is. No other position helps by more than the model can resolve (fault score 0.20).",
		4: "With the chainring 1.0 to 3.0 mm inboard, at 41.0 to 43.0 mm, the fault score is lowest: 0.10 instead of 0.60. Whether that is worth a change: chainpath fix.",
	} {
		a.Today = today
		assert.Equal(t, want, placed(a), "today %d", today)
	}
	a.Today, a.Flat = 5, [2]int{2, 2}
	assert.Equal(t, "With the chainring 3.0 mm inboard, at 42.0 mm, the fault score is lowest: 0.10 instead of 0.90. Whether that is worth a change: chainpath fix.", placed(a))
	a.Today = 0
	assert.Equal(t, "With the chainring 2.0 mm outboard, at 42.0 mm, the fault score is lowest: 0.10 instead of 0.50. Whether that is worth a change: chainpath fix.", placed(a))

	low := alongLines(0.3, 0.3, 0.5)
	low.Best, low.Flat, low.From = 2, [2]int{2, 2}, 41.5
	assert.Equal(t, "The chainring is too close to the chainstay. It clears the chainstay only from 41.5 mm outboard, but there the fault score rises from 0.30 to 0.50. Look at the chainstay first.", placed(low))
	low.Places[2].Sum = 0.3
	assert.Contains(t, placed(low), "rises from 0.30 to 0.30")
	low.Places[2].Sum = 0.29
	assert.Contains(t, placed(low), "With the chainring 2.0 mm outboard")
	high := alongLines(0.5, 0.3, 0.3)
	high.Best, high.Flat, high.To, high.Today = 0, [2]int{0, 0}, 40.5, 2
	assert.Equal(t, "The chain is too close to the tyre. It clears the tyre only from 40.5 mm inboard, but there the fault score rises from 0.30 to 0.50. Look at the tyre first.", placed(high))
	none := alongLines(1)
	none.Best, none.From, none.To = -1, 45, 44
	assert.Equal(t, "The chainring has no place: below 45.0 mm the chainring would be too close to the chainstay, above 44.0 mm the chain would be too close to the tyre.", placed(none))
}

// bySteps has spacers for 1 and 2 mm either way and an offset for 3 mm.
func bySteps(by float64) string {
	switch math.Abs(by) {
	case 1, 2:
		return "spacers"
	case 3:
		return "another offset"
	}
	return ""
}

// The default answer has today's place, those that usual parts reach, the best, the ends of what is
// as good, and those beside the walls, each marked; none more than a millimetre beyond a wall.
func TestPlacesShown(t *testing.T) {
	a := alongLines(make([]float64, 21)...)
	a.Today, a.Best, a.Flat = 10, 15, [2]int{14, 17}
	list := func() (out []int) {
		for i := range a.Places {
			if shown(a, bySteps, i) {
				out = append(out, i)
			}
		}
		return out
	}
	assert.Equal(t, []int{7, 8, 9, 10, 11, 12, 13, 14, 15, 17}, list())
	a.From, a.To = 49, 58
	assert.Equal(t, []int{8, 9, 10, 11, 12, 13, 14, 15, 17, 18}, list(), "49 and 58 stand at the walls themselves, 48 a millimetre beyond")
	a.From, a.To = 49.5, 57.5
	assert.Equal(t, []int{9, 10, 11, 12, 13, 14, 15, 17}, list(), "50 and 57 are the first that clear; spacers reach 49 too, which is the chainstay's")
	marks := map[int]string{}
	for i := range a.Places {
		if m := mark(a, bySteps, i); m != "" {
			marks[i] = m
		}
	}
	want := map[int]string{10: "today", 11: "spacers", 12: "spacers", 13: "another offset", 15: "best", 18: "tyre", 19: "tyre", 20: "tyre"}
	for i := range 10 {
		want[i] = "chainstay"
	}
	assert.Equal(t, want, marks)
	a.Best, a.From, a.To = 10, 50, 60
	assert.Equal(t, "today, best", mark(a, bySteps, 10))
	assert.Empty(t, mark(a, bySteps, 20), "at the wall itself")
	a.Best, a.Today, a.Flat, a.From = 15, 14, [2]int{14, 17}, 40
	assert.Equal(t, "not worth it", mark(a, bySteps, 15), "the advice is to leave it")
	a.Today = 13
	assert.Equal(t, "best, spacers", mark(a, bySteps, 15))
	a.Today, a.From = 10, 50
	a.Best = -1
	assert.NotPanics(t, func() { list() })
	table := alongTable(a, bySteps, true)
	assert.Len(t, table.Rows, 21)
	assert.Equal(t, []string{"40.0", "0.00", "chainstay"}, table.Rows[0])
}

// The document has the walls that there are, the best place and the ends of what is as good.
func TestDocumentOfPlaces(t *testing.T) {
	a := alongLines(0.5, 0.25, 0.3, 0.7)
	a.Best, a.Flat, a.To = 1, [2]int{1, 2}, 42.5
	d := fromAlong(a, bySteps)
	assert.Nil(t, d.From)
	assert.Equal(t, [4]float64{42.5, 41, 41, 42}, [4]float64{*d.To, *d.Best, *d.GoodFrom, *d.GoodTo})
	assert.Len(t, d.Places, 4)
	assert.Equal(t, 0.25, d.Places[1].Trouble.Trouble)
	assert.Equal(t, [4]string{"", "spacers", "spacers", "another offset"}, [4]string{d.Places[0].By, d.Places[1].By, d.Places[2].By, d.Places[3].By})
	rows := d.Rows()
	assert.Len(t, rows[3], len(AlongHeader))
	assert.Equal(t, [2]string{"43", "0.7"}, [2]string{rows[3][0], rows[3][len(AlongHeader)-1]})
	a.Best = -1
	d = fromAlong(a, bySteps)
	assert.True(t, d.Best == nil && d.GoodFrom == nil && d.GoodTo == nil)
}
