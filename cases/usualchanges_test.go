package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Every shipped bike has usual changes, each of which it can have, and none has a price.
func TestUsualChangesFit(t *testing.T) {
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		cat, err := c.UsualChanges()
		require.NoError(t, err, name)
		k, err := cat.For(c)
		require.NoError(t, err, name)
		assert.GreaterOrEqual(t, len(k.Plan.Options), 4, name)
		for _, o := range k.Plan.Options {
			assert.Zero(t, o.Price)
		}
		size, err := k.Plan.Size(1000)
		require.NoError(t, err)
		assert.Equal(t, 1+len(k.Plan.Options), size, "one at a time")
	}
}

// A worn chain may be changed for a new one, a new one not.
func TestUsualChangesNewChain(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	names := func(c *Case) string {
		cat, err := c.UsualChanges()
		require.NoError(t, err)
		var all []string
		for _, x := range cat.Changes {
			all = append(all, x.Name)
		}
		return strings.Join(all, "\n")
	}
	worn, err := c.Set("chain.slack", "1.4")
	require.NoError(t, err)
	fresh, err := c.Set("chain.slack", "0.5")
	require.NoError(t, err)
	assert.Contains(t, names(worn), "new chain")
	assert.NotContains(t, names(fresh), "new chain")
}

// Of the usual changes those towards the bike's trouble are not the ones found.
func TestUsualChangesGoTheRightWay(t *testing.T) {
	c, err := Load("trail", nil) // its ring stands outboard, and the largest cogs come off
	require.NoError(t, err)
	cat, err := c.UsualChanges()
	require.NoError(t, err)
	k, err := cat.For(c)
	require.NoError(t, err)
	j, err := k.Judging(func(x sim.Concern) bool { return x == sim.DropBackwards }, &decide.Usual)
	require.NoError(t, err)
	left := map[string]float64{}
	for i, o := range k.Plan.Options {
		if e, err := j.Expect([]int{i}); err == nil {
			left[o.Name] = e.Judged.Left
		}
	}
	was := j.Before().Judged.Left
	assert.Less(t, left["chainring 1.5 mm inboard (spacers or another offset)"], was)
	assert.Greater(t, left["chainring 1.5 mm outboard (spacers or another offset)"], was)
}

// All that is usually tried, as a mechanic reads it: to 2 mm by spacers, farther by another
// offset or spindle.
func TestUsualChangesByName(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	c.Chain.Slack = Quantity{Value: 0.9, Given: true}
	line := func(name, what string) string {
		return "  - {name: \"" + name + "\", group: one at a time, " + what + "}\n"
	}
	want := []string{
		line("chainring 6 mm inboard (another offset or spindle)", "add: {front.line: -6}"),
		line("chainring 3 mm inboard (another offset or spindle)", "add: {front.line: -3}"),
		line("chainring 1.5 mm inboard (spacers or another offset)", "add: {front.line: -1.5}"),
		line("chainring 1.5 mm outboard (spacers or another offset)", "add: {front.line: 1.5}"),
		line("chainring 3 mm outboard (another offset or spindle)", "add: {front.line: 3}"),
		line("hub or spacing, cogs 2 mm outboard", "add: {rear.line: 2}"),
		line("chainstay 10 mm longer", "add: {frame.stay: 10}"),
		line("30-tooth chainring", "set: {front.rings: [30]}"),
		line("34-tooth chainring", "set: {front.rings: [34]}"),
		line("new chain", "set: {chain.slack: 0.6}"),
	}
	require.Equal(t, []int{32}, c.Front.Rings)
	assert.Equal(t, want, c.usual())
	c.Chain.Slack = Quantity{Value: 0.6, Given: true}
	assert.Equal(t, want[:9], c.usual(), "new already")
	c.Chain.Slack, c.Front.Rings = Quantity{}, []int{26, 36}
	assert.Equal(t, want[:7], c.usual(), "of two rings none is replaced")
}
