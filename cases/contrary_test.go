package cases

import (
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func withSeen(t *testing.T, lines ...string) *Case {
	c, err := Parse("bike.yaml", []byte(bikeForParts+"symptoms: [{what: noise, cogs: [44, 51]}, {what: drop, direction: backwards}]\n"))
	require.NoError(t, err)
	for _, line := range lines {
		o, err := ParseSeen(line)
		require.NoError(t, err)
		require.NoError(t, c.AddSeen(o), line)
	}
	return c
}

// What is seen and not seen in the same gear is said, with both entries and their gears, and
// warned of; what only looks so is not.
func TestContradictionsAreSaid(t *testing.T) {
	for _, x := range []struct{ lines, words string }{
		{"32/38: quiet|32/38,32/32: noise", `"32/38 riding: quiet" and "32/38,32/32 riding: noise" contradict each other: noise is seen and not seen in 32/38. Both count. Look again`},
		{"32/38: noise|*/*: fine", `noise is seen and not seen in 32/38`},
		{"*/51: quiet", `"*/51 riding: quiet" and "symptom 1, riding: noise" contradict each other: noise is seen and not seen in 32/51.`},
		{"32/44 backwards: off|32/44 backwards: off 0 of 29", "chain drop when back-pedalling is seen and not seen in 32/44"},
		{"32/44 backwards: off|32/44 backwards: off 0 of 28", ""}, // ten clean tries leave one in ten open
		{"32/44 backwards: off 3 of 10|32/44 backwards: off", ""},
		{"32/44 backwards: off 3 of 10|32/44 backwards: off 0 of 10", ""}, // three of twenty
		{"32/44 backwards: off 3 of 10|32/44 backwards: off 0 of 80", "chain drop when back-pedalling is seen and not seen in 32/44"},
		{"32/38: quiet|32/32: noise", ""},
		{"32/38: noise|32/38: noise", ""},
		{"32/38: quiet|32/38: fine", ""},
		{"32/32 backwards: off|32/32: fine", ""},
		{"32/44 backwards: fine", ""}, // symptom 2 names no gear: in one at least
	} {
		c := withSeen(t, strings.Split(x.lines, "|")...)
		list, err := c.Contrary()
		require.NoError(t, err)
		warned, err := c.Warnings()
		require.NoError(t, err)
		if x.words == "" {
			assert.Empty(t, list, x.lines)
			continue
		}
		if assert.NotEmpty(t, list, x.lines) {
			assert.Contains(t, list[0].Words, x.words)
			assert.True(t, slices.ContainsFunc(warned, func(w Warning) bool { return w.Path == list[0].Path && w.Words == list[0].Words }))
		}
	}
	list, err := withSeen(t, "32/38: quiet", "32/38: noise", "32/38: quiet").Contrary()
	require.NoError(t, err)
	assert.Len(t, list, 2)
	assert.Equal(t, "observations[1]", list[0].Path)
	assert.Equal(t, "observations[2]", list[1].Path)
}

// One list of words for symptoms and observations: what both have is understood in both, and
// what only one has is told where it belongs.
func TestOneListOfWords(t *testing.T) {
	parse := func(text string) (*Case, error) {
		return Parse("bike.yaml", []byte(strings.Replace(bikeForParts, "rear: {", "rear: {dropout_gap: 3, ", 1)+"tyre: {size: 57-622, width: 58}\nspokes: {flange_radius: 29, flange_line: 20}\n"+text))
	}
	for symptom, seen := range map[string]string{"drop": "off", "tyre_mark": "rubs_tyre", "stay_mark": "meets_stay", "dropout_mark": "meets_dropout", "spoke_mark": "meets_wheel", "noise": "noise", "rubs_next_cog": "rubs_next_cog"} {
		for _, word := range []string{symptom, seen} {
			c, err := parse("symptoms: [{what: '" + word + "'}]\nobservations: [{gears: '32/38', what: '" + word + "'}]\n")
			require.NoError(t, err, word)
			assert.Equal(t, symptom, c.Symptoms[0].What)
			assert.Equal(t, seen, c.Observations[0].What)
			o, err := ParseSeen("32/38: " + word)
			require.NoError(t, err)
			assert.Equal(t, seen, o.What)
			assert.Contains(t, SymptomNames(), word)
			assert.Contains(t, ObservationNames(), word)
		}
	}
	_, err := parse("symptoms: [{what: quiet}]\n")
	assert.ErrorContains(t, err, `symptoms[0].what: "quiet" is told under observations`)
	_, err = parse("observations: [{gears: '32/38', what: skips}]\n")
	assert.ErrorContains(t, err, `observations[0].what: "skips" is told under symptoms`)
	_, err = parse("symptoms: [{what: rattle}]\n")
	assert.ErrorContains(t, err, `"rattle", want one of noise, drop,`)
	c := withSeen(t)
	assert.ErrorContains(t, c.AddSeen(Observation{Gears: "32/38", What: "loose_top"}), `"loose_top" is told under symptoms in the bike file`)
	// The bike file's help has every word once.
	text, err := os.ReadFile("../cmd/internal/reference/casefile.md")
	require.NoError(t, err)
	_, section, ok := strings.Cut(string(text), "## Symptoms and observations")
	require.True(t, ok)
	section, _, _ = strings.Cut(section, "\n## ")
	for _, word := range append(SymptomNames(), ObservationNames()...) {
		assert.Regexp(t, `\b`+word+`\b`, section)
	}
}

// The learned block says above its numbers what it is and how to renew it, and is read and
// taken out again with that.
func TestLearnedBlockExplainsItself(t *testing.T) {
	text := []byte(bikeForParts)
	for range 2 {
		c, err := Parse("bike.yaml", WithoutLearned(text))
		require.NoError(t, err)
		if len(c.Observations) == 0 {
			require.NoError(t, c.AddSeen(Observation{Gears: "32/38", What: "quiet"}))
		}
		l, err := c.Learn("test", nil)
		require.NoError(t, err)
		text, err = l.Text(text)
		require.NoError(t, err)
		_, err = Parse("bike.yaml", text)
		require.NoError(t, err)
		assert.Equal(t, 1, strings.Count(string(text), "# Fitted by chainpath to the symptoms and observations of this file"))
		before, _, _ := strings.Cut(string(text), "sets: [")
		assert.Contains(t, before, "chainpath learn FILE --write FILE")
	}
	assert.NotContains(t, string(WithoutLearned(text)), "Fitted by")
}

// A word that is nearly one is guessed, in the bike file and on the command line.
func TestNearWordsAreGuessed(t *testing.T) {
	_, err := Parse("bike.yaml", []byte(bikeForParts+"symptoms: [{what: drops}]\n"))
	assert.ErrorContains(t, err, `symptoms[0].what: "drops", did you mean drop? One of noise, drop, off,`)
	assert.ErrorContains(t, withSeen(t).AddSeen(Observation{Gears: "32/38", What: "noisy"}), `"noisy", did you mean noise? One of `)
	assert.ErrorContains(t, withSeen(t).AddSeen(Observation{Gears: "32/38", What: "xyzzy"}), `"xyzzy", want one of `)
}
