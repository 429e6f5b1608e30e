package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A block learned of a bike goes with what is told of gears, and not with what is told of shifts, of
// which nothing is learned.
func TestWhatABlockWasLearnedFrom(t *testing.T) {
	base := learner + "observations:\n  - {gears: 32/51, what: quiet}\nsymptoms:\n  - {what: drop}\n"
	was := mustParse(t, base).seenPrint()
	for add, same := range map[string]bool{
		"  - {what: slow_to_larger}\n":             true,
		"  - {what: after_wheel}\n":                true,
		"  - {what: noise}\n":                      false,
		"  - {what: drop, direction: backwards}\n": false,
	} {
		assert.Equal(t, same, mustParse(t, base+add).seenPrint() == was, add)
	}
	c := mustParse(t, base)
	c.Observations = append(c.Observations, Observation{Gears: "12>14", What: "late"})
	assert.Equal(t, was, c.seenPrint())
	c.Observations[1] = Observation{Gears: "32/12", What: "quiet"}
	assert.NotEqual(t, was, c.seenPrint())
}
