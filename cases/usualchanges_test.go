package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Every shipped bike has usual changes, each of which it can have.
func TestUsualChangesFit(t *testing.T) {
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		cat, err := c.UsualChanges(nil)
		require.NoError(t, err, name)
		k, err := cat.For(c)
		require.NoError(t, err, name)
		assert.GreaterOrEqual(t, len(k.Plan.Options), 4, name)
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
		cat, err := c.UsualChanges(nil)
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
	cat, err := c.UsualChanges(nil)
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
	assert.Less(t, left["chainring 1.5 mm inboard by spacers under its bolts"], was)
	assert.Greater(t, left["chainring 1.5 mm outboard by spacers under its bolts"], was)
}

// The table for one ring, as a mechanic reads it: spacers to 2 mm, farther by another offset.
func TestUsualChangesByName(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	require.Equal(t, []int{32}, c.Front.Rings)
	var rings []string
	for _, u := range c.usualRings() {
		rings = append(rings, u.text())
	}
	assert.Equal(t, []string{
		"  - {name: \"chainring 1 mm inboard by spacers under its bolts\", price: 8, minutes: 30, final: false, add: {front.line: -1}}\n",
		"  - {name: \"chainring 1 mm outboard by spacers under its bolts\", price: 8, minutes: 30, final: false, add: {front.line: 1}}\n",
	}, rings[:2])
	assert.Contains(t, rings, "  - {name: \"chainring 6 mm inboard by another offset\", price: 60, minutes: 30, final: false, add: {front.line: -6}}\n")
	assert.Contains(t, rings, "  - {name: \"30-tooth chainring\", price: 50, minutes: 30, final: false, set: {front.rings: [30]}}\n")
	assert.Len(t, rings, 12)
	two, err := c.Set("front.rings", "26, 36")
	require.NoError(t, err)
	rings = nil
	for _, u := range two.usualRings() {
		rings = append(rings, u.name)
	}
	assert.Contains(t, rings, "chainrings 3 mm inboard by another spindle")
	assert.Contains(t, rings, "24 and 34-tooth chainrings")
}

// A shop's change takes the place of the usual one of its name, its others stand beside them.
func TestShopsChangesOverride(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	shop, err := ParseCatalogue("shop.yaml", []byte(`chainpath_parts: 1
changes:
  - {name: 30-tooth chainring, price: 12, minutes: 5, set: {front.rings: [30]}}
  - {name: chainring of our own, price: 70, add: {front.line: -4.5}}
`))
	require.NoError(t, err)
	cat, err := c.UsualChanges(shop)
	require.NoError(t, err)
	usual, err := c.UsualChanges(nil)
	require.NoError(t, err)
	assert.Len(t, cat.Changes, len(usual.Changes)+1)
	assert.Equal(t, 12.0, cat.Changes[0].Price.Value)
	n := 0
	for _, x := range cat.Changes {
		if x.Name == "30-tooth chainring" {
			n++
		}
	}
	assert.Equal(t, 1, n)
}
