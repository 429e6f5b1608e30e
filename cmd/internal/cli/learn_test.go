package cli

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// What learn writes keeps the case as it stood, is read back, and is what gears goes by;
// learning again from the same is the same, byte for byte.
func TestLearnedCaseIsGoneBy(t *testing.T) {
	ofText(t)
	file := filepath.Join(t.TempDir(), "bike.yaml")
	seen := []string{"--seen", "32/51 backwards: off 0 of 10", "--seen", "32/44 backwards: fine"}
	code, out, errs := run(append([]string{"learn", "trail", "--write", file, "--format", "json"}, seen...)...)
	require.Equal(t, ExitDone, code, errs)
	var doc show.Learning
	require.NoError(t, json.Unmarshal([]byte(out), &doc))
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	whole, err := cases.ShippedText("trail")
	require.NoError(t, err)
	assert.True(t, strings.HasPrefix(string(text), string(whole)), "comments and readings are kept")

	code, out, errs = run("gears", file, "--format", "json")
	require.Equal(t, ExitDone, code, errs)
	var gears show.Gears
	require.NoError(t, json.Unmarshal([]byte(out), &gears))
	for i, g := range gears.Gears {
		assert.Equal(t, doc.Gears[i].After, g.Chance)
	}
	last := len(doc.Gears) - 1
	assert.Less(t, *doc.Gears[last].After["drop_backwards"], *doc.Gears[last].Before["drop_backwards"])
	assert.Contains(t, gears.Answer.Words, "Fitted to your bike")

	again := filepath.Join(t.TempDir(), "again.yaml")
	code, _, errs = run("learn", file, "--write", again)
	require.Equal(t, ExitDone, code, errs)
	same, err := os.ReadFile(again)
	require.NoError(t, err)
	assert.Equal(t, string(text), string(same))

	// More is seen: the block of before is no hindrance.
	more := strings.Replace(string(text), "what: fine}", "what: fine}, {gears: 32/38, what: quiet}", 1)
	require.NotEqual(t, string(text), more)
	require.NoError(t, os.WriteFile(file, []byte(more), 0o644))
	code, _, errs = run("gears", file)
	assert.Equal(t, ExitBadInput, code)
	assert.Contains(t, errs, "learn")
	code, _, errs = run("learn", file, "--write", file)
	assert.Equal(t, ExitDone, code, errs)
	code, _, errs = run("gears", file)
	assert.Equal(t, ExitDone, code, errs)
}

// What was seen to be fine is told as well, with what was learned and before.
func TestWhatIsFineIsTold(t *testing.T) {
	bike := "chainpath: 1\nframe: {stay: 435}\nfront: {line: 54, rings: [32]}\nrear: {line: 48, cogs: [11, 13, 15, 51]}\n"
	file := filepath.Join(t.TempDir(), "bike.yaml")
	require.NoError(t, os.WriteFile(file, []byte(bike), 0o600))
	plain := func(args ...string) string {
		code, out, errs := run(args...)
		require.Equal(t, ExitDone, code, errs)
		return strings.Join(strings.Fields(out), " ")
	}
	assert.Contains(t, plain("learn", file, "--seen", "32/13: fine"), "You saw no fault on the 13.")
	assert.NotContains(t, plain("learn", file, "--seen", "32/13: fine"), "not learned yet")
	assert.NotContains(t, plain("gears", file), "not learned yet")
	require.NoError(t, os.WriteFile(file, []byte(bike+"observations: [{gears: 32/51, direction: backwards, what: fine}, {gears: '*/13', direction: backwards, what: fine}]\n"), 0o600))
	assert.Contains(t, plain("gears", file), "You saw no fault on the 13 and 51 when you back-pedal. What you saw is not learned yet: chainpath learn.")
	require.NoError(t, os.WriteFile(file, []byte(bike+"observations: [{gears: 32/11>13, what: late}]\n"), 0o600))
	assert.NotContains(t, plain("gears", file), "not learned yet", "shifts have no chance to learn")
	require.NoError(t, os.WriteFile(file, []byte(bike+"observations: [{gears: 32/51, what: fine}]\n"), 0o600))
	plain("learn", file, "--write", file)
	assert.NotContains(t, plain("gears", file), "not learned yet")
}

func TestLearnRefusesNonsense(t *testing.T) {
	for _, c := range []struct{ seen, says string }{
		{"nonsense", "want GEARS"},
		{"32/51: no rub", "WHAT is one of quiet, noise"},
		{"32/99: quiet", "99"},
		{"32/51 backwards: off 11 of 10", "11"},
		{"32/51: sings", "sings"},
		{"32/51: quiet sure 2", "0.5 to 0.99"},
	} {
		file := filepath.Join(t.TempDir(), "none.yaml")
		code, out, errs := run("learn", "trail", "--seen", c.seen, "--write", file)
		assert.Equal(t, ExitBadInput, code, c.seen)
		assert.Contains(t, errs, c.says)
		assert.Empty(t, out)
		assert.NoFileExists(t, file)
	}
}

// What to type next keeps what was learned as it was learned: with the shop's memory that it began with, and in the
// shipped bike's own file.
func TestWhatToTypeAfterLearning(t *testing.T) {
	seen := seenFlags{lines: []string{"32/51 backwards: drop 3 of 10"}}
	for want, o := range map[string]learnOptions{
		"learn bike.yaml --seen '32/51 backwards: drop 3 of 10' --write bike.yaml":                  {seen: seen},
		"learn bike.yaml --seen '32/51 backwards: drop 3 of 10' --from shop.yaml --write bike.yaml": {seen: seen, from: "shop.yaml"},
		"learn bike.yaml --from shop.yaml --write bike.yaml":                                        {from: "shop.yaml"},
		"gears kept.yaml": {seen: seen, from: "shop.yaml", write: "kept.yaml"},
	} {
		assert.Equal(t, want, o.next("bike.yaml"))
	}
	assert.Equal(t, "learn trail --from shop.yaml --write trail.yaml", (&learnOptions{from: "shop.yaml"}).next("trail"))
}
