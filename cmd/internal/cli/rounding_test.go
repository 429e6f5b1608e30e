package cli

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A line between two printed ones is rounded alike in every command: 44.95 by arithmetic
// of readings prints as 44.95 that was typed.
func TestLinesAreRoundedAlike(t *testing.T) {
	dir := t.TempDir()
	found := map[string]int{}
	for name, rear := range map[string]string{
		"typed":    "line: 44.95",
		"measured": "measured: {dropouts: 142.2, stack: 40.1, gap: 6.1}", // 71.1 - 6.1 - 20.05
	} {
		file := filepath.Join(dir, name+".yaml")
		require.NoError(t, os.WriteFile(file, []byte("chainpath: 1\nfront: {line: 49.05, rings: [34]}\nrear: {"+rear+", cogs: [17, 24, 42]}\n"), 0o644))
		for _, args := range [][]string{{"gears", file}, {"window", file}, {"compare", file, file}, {"report", file, "-o", filepath.Join(dir, name+".html")}} {
			code, out, errs := run(args...)
			require.Equal(t, ExitDone, code, errs)
			if args[0] == "report" {
				html, err := os.ReadFile(args[3])
				require.NoError(t, err)
				out = string(html)
			}
			for _, m := range regexp.MustCompile(`\b4(?:4\.9|5\.0|9\.0|9\.1)\b`).FindAllString(out, -1) {
				found[m]++
			}
		}
	}
	t.Log(found)
	assert.True(t, (found["44.9"] == 0) != (found["45.0"] == 0), "%v", found)
	assert.True(t, (found["49.0"] == 0) != (found["49.1"] == 0), "%v", found)
}
