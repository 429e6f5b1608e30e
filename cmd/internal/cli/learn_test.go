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

func TestLearnRefusesNonsense(t *testing.T) {
	for _, c := range []struct{ seen, says string }{
		{"nonsense", "want GEARS"},
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
