package show

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Where today's line stands in what holds, by hand, at its ends inside; what an end is set by, and what is
// open or nowhere.
func TestBetweenByHand(t *testing.T) {
	b := &sim.Bike{Rings: []sim.Wheel{{Sprocket: sim.Sprocket{Teeth: 30}}, {Sprocket: sim.Sprocket{Teeth: 44}}}, Cogs: []sim.Wheel{{Sprocket: sim.Sprocket{Teeth: 11}}, {Sprocket: sim.Sprocket{Teeth: 32}}}}
	lo, hi := decide.End{Line: 42, Ring: 1}, decide.End{Line: 50, Cog: 1}
	x := between(b, lo, hi, false)
	for front, want := range map[float64]string{42: "inside", 50: "inside", 46: "inside", 41.5: "0.50 mm inboard", 50.25: "0.25 mm outboard"} {
		assert.Equal(t, []string{"x", "42.00", "44/11", "50.00", "30/32", want}, betweenRow("x", front, &x))
	}
	open := between(b, decide.End{Line: 7, Open: true}, decide.End{Line: 87, Open: true}, false)
	assert.Equal(t, []string{"x", "open", "", "open", "", "inside"}, betweenRow("x", 46, &open))
	none := between(b, hi, hi, true)
	assert.Equal(t, Between{FromGear: "30/32", ToGear: "30/32"}, none)
	assert.Equal(t, []string{"x", "", "30/32", "", "", "nowhere"}, betweenRow("x", 46, &none))

	d := Window{Rooms: []Room{{"tyre", "clear of the tyre", x}}, Thresholds: []Threshold{{"noise_riding", "noise", 0.5, open}, {"rubs_tyre", "rubs tyre", 0.1, none}}}
	assert.Equal(t, [][]string{{"tyre", "", "42", "44/11", "50", "30/32", "true"}, {"noise_riding", "0.5", "", "", "", "", "true"}, {"rubs_tyre", "0.1", "", "30/32", "", "30/32", "false"}}, d.Rows())
	assert.Len(t, d.Rows()[0], len(WindowHeader))
	assert.Equal(t, " The front chainline is known to ±0.7 mm.", known(0.7))
	assert.Empty(t, known(0))
}

// Three digits of any size, by hand.
func TestThreeDigits(t *testing.T) {
	for x, want := range map[float64]float64{0: 0, 1: 1, 12.345: 12.3, 0.00123456: 0.00123, 98765: 98800, -12.355: -12.4, 999.6: 1000} {
		assert.InDelta(t, want, digits3(x), 1e-12*(1+want*want), "%g", x)
	}
}
