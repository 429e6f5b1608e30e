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
		if c == decide.OfFault(indexing.AsTold) {
			continue
		}
		x := ToLook{Cause: c}
		assert.NotEmpty(t, x.Words(), c.Code())
		none := c == decide.AsMeasured || c == decide.NotModelled || c == decide.OfFault(indexing.ChainLine)
		assert.Equal(t, none, x.Check() == "", c.Code())
		assert.False(t, seen[x.Words()], c.Code())
		seen[x.Words()] = true
	}
}

// The likeliest is always told, others from one in ten on, and three at most.
func TestLookForByHand(t *testing.T) {
	hanger := decide.OfFault(indexing.BentHanger)
	list := []ToLook{{decide.BadCog, 0.5, "14"}, {decide.AsMeasured, 0.2, ""}, {hanger, 0.12, ""}, {decide.WornChain, 0.11, ""}}
	assert.Equal(t, "If all that you told has one cause, it may be a bad 14-tooth cog (look at the cog's teeth and watch it turn), the chainline as you measured it or a bent hanger (gauge the hanger).", LookFor(list))
	list[1].Share = 0.09
	assert.Equal(t, "If all that you told has one cause, it may be a bad 14-tooth cog (look at the cog's teeth and watch it turn) or a bent hanger (gauge the hanger).", LookFor(list[:3]))
	assert.Empty(t, LookFor(nil))
}

// What can be looked at is told with its cause, from one in ten on.
func TestCheckCausesByHand(t *testing.T) {
	list := []ToLook{{decide.AsMeasured, 0.5, ""}, {decide.BadCog, 0.3, "14"}, {decide.ChainLength, 0.1, ""}, {decide.StiffLink, 0.09, ""}}
	assert.Equal(t, "What you told can have another cause. Before you change anything, look at the cog's teeth and watch it turn (a bad 14-tooth cog); count the chain's links (a chain of the wrong length).", CheckCauses(list))
	assert.Empty(t, CheckCauses(list[:1]))
}
