package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// readers are the commands that read a case, which CASE stands for, of each place where one is named.
var readers = []string{"gears CASE", "window CASE", "budget CASE --draws 100", "parts CASE trail-parts", "compare CASE trail", "compare trail CASE",
	"diagnose CASE", "learn CASE --seen 32/51:fine", "learn --shop SHOP CASE trail", "learn --shop SHOP trail CASE", "next CASE", "shifts CASE",
	"march CASE", "sweep CASE --vary front.line=48:50:1 -q", "draw CASE --out OUT", "report CASE -o OUT.html", "report trail CASE -o OUT.html",
	"export CASE --as svg -o OUT.svg", "check CASE"}

// A case that is not there, one that is none and one that cannot be built are refused by every
// command alike: exit code 2, the file's name once, and nothing printed or written.
func TestEveryReaderRefuses(t *testing.T) {
	dir := t.TempDir()
	for name, text := range map[string]string{
		"absent.yaml": "",
		"no.yaml":     "- a list\n",
		"meets.yaml":  "chainpath: 1\nframe: {stay: 200}\nfront: {line: 50, rings: [120]}\nrear: {line: 47, cogs: [11, 50], lines: [55, 40]}\n",
	} {
		file := filepath.Join(dir, name)
		if text != "" {
			require.NoError(t, os.WriteFile(file, []byte(text), 0o644))
		}
		for _, r := range readers {
			args := strings.NewReplacer("CASE", file, "SHOP", filepath.Join(dir, "shop"), "OUT", filepath.Join(dir, "out")).Replace(r)
			code, out, errs := run(fields(args)...)
			assert.Equal(t, ExitBadInput, code, "%s: %s: %s", name, r, errs)
			assert.Empty(t, out, "%s: %s", name, r)
			assert.Contains(t, errs, name, r)
			assert.NotContains(t, errs, "goroutine", r)
		}
	}
	left, err := os.ReadDir(dir)
	require.NoError(t, err)
	assert.Len(t, left, 2, "the two cases")
}

// What trouble weighs is asked alike wherever it is.
func TestWeightsAreRefusedAlike(t *testing.T) {
	out := filepath.Join(t.TempDir(), "out.html")
	for _, args := range []string{"compare trail tourer", "next trail", "parts trail trail-parts", "report trail -o " + out, "window trail"} {
		for _, bad := range []string{"nonsense=1", "drops_riding=-1", "drops_riding=x"} {
			code, text, errs := run(append(fields(args), "--weight", bad)...)
			assert.Equal(t, ExitBadInput, code, "%s %s", args, bad)
			assert.Empty(t, text)
			assert.Contains(t, errs, "weight", "%s %s", args, bad)
		}
	}
	assert.NoFileExists(t, out)
}
