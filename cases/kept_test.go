package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim/judge"
)

// Six sets of drawn bikes are kept, however many are made: of a seventh that one makes room that was
// not used for longest, and one that was asked for since stays.
func TestSixSetsOfDrawnBikesAreKept(t *testing.T) {
	var k keptVersions[int]
	sets := make([]judge.Versions, 8)
	for i := range 6 {
		k.put([]int{i, 9}, &sets[i])
	}
	for i := range 6 {
		assert.Same(t, &sets[i], k.get([]int{i, 9}), "%d of six", i)
	}
	assert.Nil(t, k.get([]int{0}))
	assert.Nil(t, k.get(nil))
	assert.Same(t, &sets[0], k.get([]int{0, 9}))
	k.put([]int{6, 9}, &sets[6]) // the second makes room
	k.put(nil, &sets[7])         // and the third
	for i := range 7 {
		if got := k.get([]int{i, 9}); i == 1 || i == 2 {
			assert.Nil(t, got, "%d", i)
		} else {
			assert.Same(t, &sets[i], got, "%d", i)
		}
	}
	assert.Same(t, &sets[7], k.get([]int{}))
	assert.Len(t, k.list, 6)
}
