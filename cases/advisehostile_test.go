package cases

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

const shortChained = `chainpath: 1
speeds: 12
frame: {stay: 438, drop: 30}
front: {line: 52, rings: [32]}
rear: {line: 44.5, cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 51]}
tensioner: {cage: 93}
`

// A chain that is too short comes first, by however many links, and whatever was complained of.
func TestAShortChainComesFirst(t *testing.T) {
	ofNumbers(t)
	for _, links := range []int{114, 112, 110, 104} {
		for _, more := range []string{"", "symptoms: [{what: noise, cogs: [51]}]\n", "symptoms: [{what: loose_top, cogs: [51]}]\n"} {
			c := mustParse(t, shortChained+fmt.Sprintf("chain: {links: %d}\n", links)+more)
			a, err := c.Advise(decide.UsualRule(), nil, nil)
			require.NoError(t, err)
			assert.Equal(t, PutRight, a.Verdict, "%d links %s", links, more)
			require.NotEmpty(t, a.Wrong)
			assert.Equal(t, "chain.links", a.Wrong[0].Path)
			assert.Equal(t, float64(116-links), a.Wrong[0].Value)
			if 116-links <= mostLonger {
				require.NotNil(t, a.Do)
				assert.Contains(t, a.Do.Name, fmt.Sprintf("%d links longer", 116-links))
			}
		}
	}
}

// Usual changes that leave a field's range are not sold; bikes at both ends of ranges are advised.
func TestUsualChangesStayInRange(t *testing.T) {
	for _, text := range []string{
		"front: {line: 44, rings: [9]}\nrear: {line: 44.5, cogs: [12, 14, 16]}\ntyre: {size: 20-622, width: 12}\n",
		"front: {line: 44, rings: [34, 46], cage: {inner_width: 29, positions: [10.5, 15]}}\nrear: {line: 44.5, cogs: [12, 14, 16]}\n",
		"front: {line: 44, rings: [32]}\nrear: {line: 44.5, cogs: [12, 14, 16]}\ntensioner: {cage: 195}\n",
	} {
		c := mustParse(t, "chainpath: 1\nframe: {stay: 438}\n"+text)
		_, err := c.Advise(decide.UsualRule(), nil, nil)
		assert.NoError(t, err, text)
	}
}

// A riding profile of single gears goes along by their places with another chainring or cassette, and a change that
// makes another number of gears is left out: never is one bike weighed by two profiles.
func TestAProfileOfGearsGoesAlong(t *testing.T) {
	c := mustParse(t, shortChained+"riding: {shares: [{ring: 32, cog: 51, share: 1}]}\n")
	cat, err := ParseCatalogue("list", []byte("chainpath_parts: 1\nchanges:\n  - {name: ring, set: {front.rings: [30]}}\n  - {name: fewer, set: {rear.cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44]}}\n"))
	require.NoError(t, err)
	k, err := cat.For(c)
	require.NoError(t, err)
	j, err := k.Judging(func(sim.Concern) bool { return true }, &decide.Usual)
	if err != nil { // a complaint may be wanted
		t.Fatal(err)
	}
	ring, err := j.Expect([]int{0})
	require.NoError(t, err)
	assert.Equal(t, j.Before().Share, ring.Share)
	_, err = j.Expect([]int{1})
	assert.ErrorContains(t, err, "no gear 32/51")
}

// Of a symptom that no gear of it can have nothing is learned.
func TestWhatCannotBeIsNotLearnedFrom(t *testing.T) {
	c := mustParse(t, shortChained+"symptoms: [{what: rubs_next_ring}, {what: rubs_next_cog, cogs: [51, 44]}]\n")
	seen, err := c.Seen()
	require.NoError(t, err)
	require.Len(t, seen, 1, "the 51 has no next larger cog, the 44 has")
	assert.Equal(t, []int{10}, seen[0].Gears)
	assert.True(t, strings.Contains(seen[0].Text, "rubs_next_cog"))
}
