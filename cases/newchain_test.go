package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// What was learned belongs to the parts it was learned of: with another chain the chain's numbers
// are the shipped ones and nothing is known of offsets; a chainring that moves keeps both.
func TestAnotherChainIsNotTheLearnedOne(t *testing.T) {
	c := taught(t, learner, "32/51 backwards: off 0 of 10", "32/44 backwards: off 0 of 10", "32/51: quiet").Case
	cat, err := ParseCatalogue("parts.yaml", []byte("chainpath_parts: 1\ntitle: invented\nchanges:\n  - {name: new, set: {chain.slack: 0.8}}\n  - {name: moved, add: {front.line: 0}}\n  - {name: longer, set: {chain.links: 120}}\n"))
	require.NoError(t, err)
	k, err := cat.For(c)
	require.NoError(t, err)
	shipped, err := shippedSets()
	require.NoError(t, err)
	learned, err := c.starts()
	require.NoError(t, err)
	stiff, tip := freeNumber("chain.stiffness"), freeNumber("front.tooth.tip_thickness")
	for i, name := range []string{"new", "moved", "longer"} {
		x, _, err := k.build([]int{i})
		require.NoError(t, err)
		sets, err := x.starts()
		require.NoError(t, err)
		for n, s := range sets {
			want := learned[n].set[stiff]
			if name == "new" {
				want = shipped[n][stiff]
			}
			assert.Equal(t, want, s.set[stiff], name)
			assert.Equal(t, learned[n].set[tip], s.set[tip], name)
			assert.Len(t, s.own.offsets, map[string]int{"new": 0, "moved": 2, "longer": 2}[name])
		}
	}
	j, err := k.Judging(func(sim.Concern) bool { return true }, &decide.Usual)
	require.NoError(t, err)
	moved, err := j.Expect([]int{1})
	require.NoError(t, err)
	another, err := j.Expect([]int{0})
	require.NoError(t, err)
	last := len(moved.Chances) - 1
	assert.InDelta(t, j.Before().Chances[last][sim.DropBackwards], moved.Chances[last][sim.DropBackwards], 1e-9)
	assert.Greater(t, another.Chances[last][sim.DropBackwards], moved.Chances[last][sim.DropBackwards]+0.2, "that the old one stayed on says nothing of another")
	assert.True(t, ofChain("speeds") && ofChain("chain.width") && !ofChain("chain.links") && !ofChain("front.line"))
}
