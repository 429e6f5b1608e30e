package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Teeth by the standard, by hand: the middle of the tip circle's bounds d + p(1 - 1.6/z) - d1 and d + 1.25p
// - d1 (ISO 606, from memory) is (2.25 - 1.6/z)p/4 - d1/2 above the pitch circle, with rollers of 7.75 mm.
func TestTeethByTheStandard(t *testing.T) {
	c := mustParse(t, strings.Replace(freed, "cogs: [11, 15, 21, 30]", "cogs: [11, 15, 21, 30], tooth: {profile: iso606}", 1))
	b, err := c.Bike()
	require.NoError(t, err)
	for _, cog := range b.Cogs {
		assert.InDelta(t, (2.25-1.6/float64(cog.Teeth))*12.7/4-7.75/2, cog.TipHeight, 1e-9, "%d teeth", cog.Teeth)
		assert.InDelta(t, 0.93*2.18, cog.Tooth.Full, 1e-9, "of the width inside")
		assert.False(t, math.IsNaN(cog.Tooth.Relief))
	}
	assert.NotEqual(t, b.Cogs[0].Tooth, b.Rings[0].Tooth)
}

// A file of no kind is a case that lacks what a case needs, whatever its first field.
func TestAFileOfNoKind(t *testing.T) {
	for text, want := range map[string]string{
		"speeds: 12\n":                            "f.yaml:1:1: chainpath: missing: version of the case format, 1, want 1",
		"speeds: 12\nchainpath_parts: 1\n":        "f.yaml:2:1: chainpath_parts: this is a change list, as chainpath fix CASE CATALOGUE takes, want a case",
		"chainpath_shop: 1\nchainpath_parts: 1\n": "f.yaml:1:1: chainpath_shop: this is a shop's memory, as chainpath learn CASE --from FILE takes, want a case",
		"- a\n- b\n":                              "f.yaml:1:1: a list, want fields: chainpath",
	} {
		_, err := Parse("f.yaml", []byte(text))
		require.ErrorContains(t, err, want, text)
	}
	_, err := ParseCatalogue("f.yaml", []byte(learner))
	assert.ErrorContains(t, err, "f.yaml:1:1: chainpath: this is a case, want a change list")
}
