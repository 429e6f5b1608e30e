package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// Trade tables, common practice, no published source: chain width over the
// rivets by speeds, inside widths (nominal 1/8, 3/32, 11/128 in), cog pitch by
// speeds (10 and 11 seen in print, the others from memory).
func TestDefaultsLieInTheTradesTables(t *testing.T) {
	for speeds, width := range map[int][2]float64{8: {7.0, 7.3}, 9: {6.5, 6.7}, 10: {5.84, 6.2}, 11: {5.46, 5.74}, 12: {5.15, 5.25}, 13: {4.9, 4.9}} {
		w := defaultsFor(speeds).of("chain.width")
		assert.True(t, width[0] <= w && w <= width[1], "%d speeds: %g mm", speeds, w)
	}
	for speeds, pitch := range map[int]float64{7: 5.0, 8: 4.8, 9: 4.34, 10: 3.95, 11: 3.78, 12: 3.65, 13: 3.4} {
		assert.Equal(t, pitch, defaultsFor(speeds).of("rear.cog_pitch"), "%d speeds", speeds)
	}
	for speeds, inner := range map[int]float64{1: 3.175, 8: 2.38, 9: 2.18, 12: 2.18} {
		assert.Equal(t, inner, defaultsFor(speeds).of("chain.inner_width"), "%d speeds", speeds)
	}
	for nominal, inner := range map[float64]float64{1. / 8: 3.175, 3. / 32: 2.38, 11. / 128: 2.18} {
		assert.InDelta(t, 25.4*nominal, inner, 0.01)
	}
}

// Chain makers' guidance for industrial drives, 0.1 mm per 100 mm above 0.5 m/s
// and 0.2 below, which the README gives as 0.057° for contrast.
func TestIndustrialAlignmentInDegrees(t *testing.T) {
	assert.InDelta(t, 0.057, math.Atan(0.1/100)*180/math.Pi, 0.0005)
	assert.InDelta(t, 0.115, math.Atan(0.2/100)*180/math.Pi, 0.0005)
}

// A free number that stands in a default's place as it is has that as what is typical.
func TestTypicalIsTheDefault(t *testing.T) {
	n := 0
	for _, f := range freeNumbers {
		v, ok := defaultsFor(12)[f.Name]
		if !ok || f.Low <= 0 || f.Unit == "of the default" {
			continue
		}
		n++
		for speeds := range mostSpeeds + 1 {
			assert.Equal(t, v, defaultsFor(speeds)[f.Name], f.Name)
		}
		assert.Equal(t, v, f.Standing, f.Name)
	}
	assert.Equal(t, 3, n, "stiffness, slack, bevel")
}
