package say

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// How sure results are, with the chance that is most in doubt where there is one, and what spreads it.
func TestSurenessIsSaid(t *testing.T) {
	s := Sureness{Angles: 0.184}
	assert.Equal(t, "Every chain angle is known to ±0.18° or better.", s.Words())
	s.Fault, s.Gear, s.Chance = "chain drop when back-pedalling", "32/51", 0.66
	const most = "Every chain angle is known to ±0.18° or better. Most in doubt: chain drop when back-pedalling in 32/51 (66 %). "
	assert.Equal(t, most+"No single number is behind that.", s.Words())
	s.By, s.Share = "chain.bevel", 0.6
	assert.Equal(t, most+"The number that matters most for it is the bevel of the chain's plates (chain.bevel) (60 % of the spread).", s.Words())
	s.By, s.Share = "drop from", 0.2
	assert.Equal(t, most+`The number that matters most for it is an unpublished one, "drop from" (20 % of the spread).`, s.Words())
}

// A number that nobody measured is named with how to measure it, or not at all.
func TestWhatToMeasureIsSaid(t *testing.T) {
	assert.Equal(t, "One thing that is assumed can be measured: the distance from chainring to chainring (with calipers, centre to centre of the teeth). 16 % of the doubt about one fault (rubs next chainring) comes from it.", (&Unmeasured{"front.ring_pitch", 0.164, "rubs next chainring"}).Words())
	assert.Equal(t, "Measure from tooth to tooth of the chainrings (calipers): 7.5 mm is assumed.", RingPitch("7.5 mm"))
	assert.Equal(t, "Chainlines 44.1 and 44.6 mm. Measure between the chainrings: 7.5 mm is assumed.", LinesAndPitch(44.1, 44.6, "7.5 mm"))
	assert.Equal(t, "some.path", Reading("some.path"))
	assert.True(t, Measurable("front.line") && !Measurable("chain.bevel") && !Measurable("drop from"))
	assert.NotContains(t, Enough, "Nothing")
}
