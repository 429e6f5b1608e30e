package show

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Where today's line stands in a bar, by hand, at its ends inside; what an edge is set by, and what has none.
func TestRoomRowByHand(t *testing.T) {
	b := &sim.Bike{Rings: []sim.Wheel{{Sprocket: sim.Sprocket{Teeth: 34}}}, Cogs: []sim.Wheel{{Sprocket: sim.Sprocket{Teeth: 11}}, {Sprocket: sim.Sprocket{Teeth: 28}}}}
	bar := decide.Bar{Kind: sim.ToStay, Both: true, Lo: decide.Edge{Line: 45, Margin: sim.Margin{Cog: 1}}, Hi: decide.Edge{Line: 50}}
	for front, want := range map[float64]string{45: "inside", 50: "inside", 47: "inside", 44.5: "0.50 mm inboard", 50.25: "0.25 mm outboard"} {
		row := roomRow(b, &decide.Window{Front: front}, &bar)
		assert.Equal(t, []string{bar.Words(), "45.00", "34/28", "50.00", "34/11", want}, row, "%g", front)
	}
	open := decide.Bar{Kind: sim.ToTyre, Both: true, Lo: decide.Edge{Line: 7, Open: true}, Hi: decide.Edge{Line: 87, Open: true}}
	assert.Equal(t, []string{open.Words(), "open", "", "open", "", "inside"}, roomRow(b, &decide.Window{Front: 47}, &open))
	bar.Hi.Line, bar.Empty = 44, true
	assert.Equal(t, "none: lacks 1.00 mm", roomRow(b, &decide.Window{Front: 44}, &bar)[5])
	bar.Never = &sim.Margin{Cog: 1}
	assert.Equal(t, []string{bar.Words(), "", "34/28", "", "", "none"}, roomRow(b, &decide.Window{Front: 44}, &bar))
}

// What bars allow together, by hand: today is inside at the ends, too; open ends and what never is have no line.
func TestOverlapDocumentByHand(t *testing.T) {
	w := &decide.Window{Bars: []decide.Bar{
		{Kind: sim.ToStay, Both: true, Lo: decide.Edge{Line: 45}, Hi: decide.Edge{Line: 87, Open: true}},
		{Kind: sim.ToClimb, Lo: decide.Edge{Line: 7, Open: true}, Hi: decide.Edge{Line: 50}},
	}}
	for front, inside := range map[float64]bool{45: true, 50: true, 44.99: false, 50.01: false} {
		w.Front = front
		o := overlapOf(w, decide.Overlap{Lo: 0, Hi: 1, From: 45, To: 50, Never: -1})
		assert.Equal(t, Overlap{Possible: true, From: ptr(45), FromBy: w.Bars[0].Name(), To: ptr(50), ToBy: w.Bars[1].Name(), Today: inside}, o)
	}
	w.Front = 47
	o := overlapOf(w, decide.Overlap{Lo: 1, Hi: 0, From: 7, To: 87, Never: -1})
	assert.Nil(t, o.From)
	assert.Nil(t, o.To)
	assert.True(t, o.Today)
	o = overlapOf(w, decide.Overlap{Lo: 0, Hi: 1, From: 45, To: 40, Empty: true, Lacking: 5, Never: -1})
	assert.Equal(t, 5.0, *o.Lacking)
	assert.False(t, o.Possible || o.Today)
	o = overlapOf(w, decide.Overlap{Lo: 0, Hi: 1, Empty: true, Never: 1})
	assert.Equal(t, Overlap{FromBy: w.Bars[1].Name(), ToBy: w.Bars[1].Name()}, o)
}

// Three digits of any size, by hand.
func TestThreeDigits(t *testing.T) {
	for x, want := range map[float64]float64{0: 0, 1: 1, 12.345: 12.3, 0.00123456: 0.00123, 98765: 98800, -12.355: -12.4, 999.6: 1000} {
		assert.InDelta(t, want, digits3(x), 1e-12*(1+want*want), "%g", x)
	}
}
