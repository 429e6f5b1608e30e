package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim/decide"
	"chainpath/sim/indexing"
)

// Every cause has words, and everything that can be looked at says how.
func TestEveryCauseHasWords(t *testing.T) {
	seen := map[string]bool{}
	for c := range decide.Cause(decide.NumCauses) {
		x := ToLook{Code: c.Code()}
		if c == decide.OfFault(indexing.AsTold) {
			continue
		}
		assert.NotEmpty(t, x.Words(), x.Code)
		assert.Equal(t, c != decide.AsMeasured && c != decide.NotModelled, x.Check() != "", x.Code)
		assert.False(t, seen[x.Words()], x.Code)
		seen[x.Words()] = true
	}
	assert.Len(t, seen, len(looks))
}

// The likeliest is always told, others from one in ten on, and three at most.
func TestLookForByHand(t *testing.T) {
	list := []ToLook{{"bad_cog", 0.5, "14"}, {"as_measured", 0.2, ""}, {"setting", 0.12, ""}, {"hanger", 0.11, ""}}
	assert.Equal(t, "If all that you told has one cause, it may be a bad cog, the 14: look at the cog's teeth and watch it turn; or the chainline as you measured it; or the cable's setting: turn the adjuster.", LookFor(list))
	list[1].Share = 0.09
	assert.Equal(t, "If all that you told has one cause, it may be a bad cog, the 14: look at the cog's teeth and watch it turn; or the cable's setting: turn the adjuster.", LookFor(list[:3]))
	assert.Empty(t, LookFor(nil))
}

// What can be looked at is told with its cause, from one in ten on.
func TestCheckCausesByHand(t *testing.T) {
	list := []ToLook{{"as_measured", 0.5, ""}, {"bad_cog", 0.3, "14"}, {"chain_length", 0.1, ""}, {"hanger", 0.09, ""}}
	assert.Equal(t, "What you told can have another cause. Before you change anything, look at the cog's teeth and watch it turn (a bad cog, the 14); count the chain's links (a chain of the wrong length).", CheckCauses(list))
	assert.Empty(t, CheckCauses(list[:1]))
}
