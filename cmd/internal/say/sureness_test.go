package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// How sure results are, with the limit that the readings leave most in doubt where there is one.
func TestSurenessIsSaid(t *testing.T) {
	s := Sureness{Angles: 0.184}
	assert.Equal(t, "Every chain angle is known to ±0.18° or better.", s.Words())
	s.Limit, s.Gear, s.Passed, s.By, s.Share = "climb_backwards", "32/51", 0.66, "chain.bevel", 0.6
	assert.Equal(t, "Every chain angle is known to ±0.18° or better. By the readings one limit is most in doubt: a chain drop when back-pedalling in 32/51 passes it in 66 % of the draws. Most of that doubt (60 %) comes from the bevel of the chain's plates (chain.bevel).", s.Words())
	for code, words := range map[string]string{"next_ring_riding": "touching the next chainring when riding", "close_riding": "a chain that does not fit when riding", "some_thing": "some thing", "x": "x"} {
		assert.Equal(t, words, limitWords(code))
	}
}

// A number that nobody measured is named with how to measure it, or not at all.
func TestWhatToMeasureIsSaid(t *testing.T) {
	assert.Equal(t, "Most of the doubt (88 %) comes from the distance from chainring to chainring, which is assumed: measure it (with calipers, centre to centre of the teeth).", (&Unmeasured{"front.ring_pitch", 0.88}).Words())
	assert.Empty(t, (&Unmeasured{"chain.bevel", 0.88}).Words(), "no tool in a workshop measures it")
	assert.Empty(t, (&Unmeasured{"x", 0.88}).Words())
	assert.Equal(t, "Measure from tooth to tooth of the chainrings (calipers): 7.5 mm is assumed.", RingPitch("7.5 mm"))
	assert.Equal(t, "Chainlines 44.1 and 44.6 mm. Measure between the chainrings: 7.5 mm is assumed.", LinesAndPitch(44.1, 44.6, "7.5 mm"))
	assert.Equal(t, "some.path", Reading("some.path"))
	assert.NotContains(t, Enough, "Nothing")
}
