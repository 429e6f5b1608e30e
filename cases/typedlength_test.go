package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// The last place of a typed number, and how far one typed so may be off: half of a ruler's place, one of
// calipers', and two hundredths at least.
func TestLastPlaceOfATypedNumber(t *testing.T) {
	for text, want := range map[string]float64{
		"430": 1, "43.5": 0.1, "43.50": 0.01, "16 3/16": 1.0 / 16, "3/4": 0.25, "4.3e2": 10, "43E1": 10, "430e-1": 0.1, "1/0": 0, "1/x": 0, "1/": 0,
	} {
		assert.InDelta(t, want, stepOf(text), 1e-12, text)
	}
	for step, want := range map[float64]float64{10: 5, 1: 0.5, 0.5: 0.25, 0.49: 0.49, 0.1: 0.1, 0.02: 0.02, 0.01: 0.02} {
		assert.InDelta(t, want, typedDoubt(step), 1e-12, "%g", step)
	}
}

// Lengths as they are typed in inches, by hand: decimals, fractions of a ruler beside a whole number,
// without one and below 0; not what no ruler shows.
func TestLengthsInInches(t *testing.T) {
	mm := 25.4 // of an inch, rounded as a reader's numbers are
	for text, v := range map[string][2]float64{
		"17 in": {17 * mm, mm}, "16.5 in": {16.5 * mm, 2.54}, "0.25 in": {0.25 * mm, 0.254},
		"16 3/16 in": {(16 + 3.0/16) * mm, mm / 16}, "0 3/4 in": {0.75 * mm, mm / 4}, "-2 1/2 in": {-2.5 * mm, mm / 2}, "1 63/64 in": {(1 + 63.0/64) * mm, mm / 64},
	} {
		got, ok := inInches(v[0], v[1])
		assert.True(t, ok, text)
		assert.Equal(t, text, got)
	}
	for _, v := range [][2]float64{{16.3 * mm, mm}, {16.3 * mm, mm / 16}, {430, 1}, {mm, mm / 65}, {mm, mm / 1.5}} {
		_, ok := inInches(v[0], v[1])
		assert.False(t, ok, "%v", v)
	}
}
