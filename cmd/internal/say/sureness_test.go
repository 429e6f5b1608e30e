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
	assert.Equal(t, "Every chain angle is known to ±0.18° or better. By the readings one limit is most in doubt: a chain drop when back-pedalling in 32/51 passes it in 66 % of the draws. Most of that doubt comes from chain.bevel (60 %).", s.Words())
	for code, words := range map[string]string{"next_ring_riding": "touching the next chainring when riding", "close_riding": "a chain that does not fit when riding", "some_thing": "some thing", "x": "x"} {
		assert.Equal(t, words, limitWords(code))
	}
}
