package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A change that does not fit the bike is left out, with why; the rest goes on, and what needs it
// goes with it.
func TestChangesThatDoNotFitAreLeftOut(t *testing.T) {
	k, err := partsFor(`  - {name: spacers, group: g, steps: {path: front.line, from: -60, to: -10, step: 25}}
  - {name: wide tyre, add: {tyre.width: 3}}
  - {name: odd, set: {front.rings: [33], front.form: wide_narrow}}
  - {name: with it, needs: [odd], add: {front.line: 1}}
  - {name: and that, needs: [with it], add: {front.line: 1}}
  - {name: gap, add: {"rear.spacers[40]": 1}}
  - {name: hub, excludes: [odd], add: {rear.line: 1}}
`)
	require.NoError(t, err)
	var names []string
	for _, o := range k.Plan.Options {
		names = append(names, o.Name)
	}
	assert.Equal(t, []string{"spacers -35", "spacers -10", "hub"}, names)
	assert.Equal(t, [][]int{{0, 1}, {2}}, k.Plan.Groups)
	assert.Empty(t, k.Plan.Options[2].Excludes)
	assert.Equal(t, []LeftOut{
		{"spacers -60", "front.line becomes -8 mm, want 0 mm to 300 mm"},
		{"wide tyre", "tyre.width is not given in the case, nothing to add to"},
		{"odd", "front.rings: chainring of 33 teeth: narrow-wide teeth need an even number"},
		{"gap", "this bike has no rear.spacers[40]"},
		{"with it", "it needs odd"},
		{"and that", "it needs with it"},
	}, k.LeftOut)
}

// Where nothing is left, and where the list itself is wrong, the mistake is told as it was.
func TestListsWithNothingLeft(t *testing.T) {
	_, err := partsFor("  - {name: wide tyre, add: {tyre.width: 3}}\n  - {name: b, needs: [wide tyre], add: {front.line: 1}}\n")
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Contains(t, e.Error(), "parts.yaml:3:28: changes[0].add: tyre.width is not given in the case")
	for _, wrong := range []string{"  - {name: a, add: {front.lien: 1}}\n", "  - {name: a, set: {frame.stay: 4}}\n", "  - {name: a, add: {\"front.lien[3]\": 1}}\n"} {
		_, err := partsFor(wrong + "  - {name: hub, add: {rear.line: 1}}\n")
		assert.Error(t, err, "a mistake of the list: %s", wrong)
	}
}
