package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Blocks of the first level end where the next key or a comment at the margin begins, or with the
// text; deeper keys and comments are theirs.
func TestBlocksOfATextByHand(t *testing.T) {
	const text = "# head\nrear:\n  learned: 3\nlearned:\n  tool: x\n  # inside\n  sets:\n    - a\n# between\nobservations:\n  - {gears: 1}\n\ntyre: {size: 57-622}\nlast: 1"
	for key, want := range map[string]string{
		"learned":      "learned:\n  tool: x\n  # inside\n  sets:\n    - a\n",
		"observations": "observations:\n  - {gears: 1}\n\n",
		"rear":         "rear:\n  learned: 3\n",
		"tyre":         "tyre: {size: 57-622}\n",
		"last":         "last: 1",
		"nothing":      "",
		"learn":        "",
		"sets":         "",
	} {
		assert.Equal(t, want, string(block([]byte(text), key)), key)
		assert.Equal(t, strings.Replace(text, want, "", 1), string(without([]byte(text), key)), key)
	}
	assert.Nil(t, block([]byte(text), "nothing"))
	assert.Equal(t, "a: 1\n", string(block([]byte("a: 1\n"), "a")), "all of it")
	assert.Empty(t, without([]byte("a: 1\n"), "a"))
	assert.Empty(t, without(nil, "a"))
	from, to := blockAt([]byte("b: 1\nb: 2\n"), "b")
	assert.Equal(t, [2]int{0, 5}, [2]int{from, to}, "the first")
	from, _ = blockAt(nil, "b")
	assert.Negative(t, from)

	assert.Equal(t, strings.Replace(text, "learned:\n  tool: x\n  # inside\n  sets:\n    - a\n", "", 1), string(WithoutLearned([]byte(text))))
	seen := string(WithoutSeen([]byte(text)))
	assert.Equal(t, "# head\nrear:\n  learned: 3\n# between\ntyre: {size: 57-622}\nlast: 1", seen)
	mine := []byte("learned: 1\na: 2\n")
	_ = WithoutLearned(mine)
	assert.Equal(t, "learned: 1\na: 2\n", string(mine), "what was handed in stays")
}

// A lesson's text is the case's with both blocks at its end, whatever stood there before, and reads
// back; a text without a last line end gets one.
func TestTextOfALesson(t *testing.T) {
	c := mustParse(t, twoGears)
	require.NoError(t, c.AddSeen(Observation{Gears: "32/12", What: "quiet"}))
	c.Learned = &Learned{Tool: "t", Version: learnedVersion, Gears: []int{1, 2}, From: fingerprint(setsData), Seen: c.seenPrint(), Sets: inLines(packed(make([]start, 0)))}
	l := &Lesson{Case: c}
	plain := strings.TrimSuffix(twoGears, "\n") // no line end
	got, err := l.Text([]byte(plain))
	require.NoError(t, err)
	whole, err := Format(c)
	require.NoError(t, err)
	want := twoGears + string(block(whole, "observations")) + string(block(whole, "learned"))
	assert.Equal(t, want, string(got))
	again, err := l.Text(got)
	require.NoError(t, err)
	assert.Equal(t, want, string(again), "once, however often it is learned")
	c.Learned = nil
	got, err = l.Text(got)
	require.NoError(t, err)
	assert.Equal(t, twoGears+string(block(whole, "observations")), string(got))
	empty, err := (&Lesson{Case: mustParse(t, twoGears)}).Text([]byte("x"))
	require.NoError(t, err)
	assert.Equal(t, "x", string(empty), "nothing seen, nothing said")
}

// Nothing to learn from is said with an example of the case's own gears.
func TestNothingToLearnFrom(t *testing.T) {
	_, err := mustParse(t, twoGears).Learn("v", nil)
	require.ErrorContains(t, err, "observations: nothing to learn from, want at least one, such as {gears: 32/24, direction: backwards")
}

// Words that readers of YAML 1.1 take for true or false are quoted, as keys and as values.
func TestOldWordsAreQuoted(t *testing.T) {
	c, err := Parse("bike.yaml", []byte("chainpath: 1\ntitle: no\nspeeds: 1\nframe: {stay: 405}\nfront: {line: 44, rings: [44]}\nrear: {line: 42.5, cogs: [17]}\nobservations:\n  - {gears: 44/17, direction: backwards, what: off, off: 2, of: 10}\n"))
	require.NoError(t, err)
	text, err := Format(c)
	require.NoError(t, err)
	assert.Contains(t, string(text), `what: "off", "off": 2, of: 10`)
	assert.Contains(t, string(text), `title: "no"`)
	bare := "chainpath: 1\nspeeds: 1\nframe: {stay: 405}\nfront: {line: 44, rings: [44]}\nrear: {line: 42.5, cogs: [17]} # by hand\n"
	for _, there := range []string{"", "observations:\n  - {gears: 44/17, what: quiet}\n"} { // in a text that stays as it is, too
		c := mustParse(t, bare+there)
		require.NoError(t, c.AddSeen(Observation{Gears: "44/17", Direction: "backwards", What: "off", Off: 2, Of: 10}))
		text, err := Keep([]byte(bare+there), c, nil)
		require.NoError(t, err)
		assert.Contains(t, string(text), bare)
		assert.Contains(t, string(text), `what: "off", "off": 2, of: 10`)
	}
	again, err := Parse("again.yaml", text)
	require.NoError(t, err)
	assert.Equal(t, c.Observations, again.Observations)
}
