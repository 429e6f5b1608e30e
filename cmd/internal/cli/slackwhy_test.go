package cli

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A slack chain that drops is the reason, and not the chainlines.
func TestSlackIsWhyAChainDrops(t *testing.T) {
	code, text, _ := run("cases", "fixed")
	require.Equal(t, ExitDone, code)
	require.Contains(t, text, "sag: ")
	for sag, slack := range map[string]bool{"15": false, "60": true} {
		lines := strings.Split(text, "\n")
		for i, l := range lines {
			if strings.HasPrefix(strings.TrimSpace(l), "sag: ") {
				lines[i] = "  sag: " + sag
			}
		}
		name := filepath.Join(t.TempDir(), "loose.yaml")
		require.NoError(t, os.WriteFile(name, []byte(strings.Join(lines, "\n")), 0o600))
		code, out, errs := run("gears", name)
		require.Equal(t, ExitDone, code, errs)
		out = strings.Join(strings.Fields(out), " ")
		assert.Equal(t, slack, strings.Contains(out, "Why: the chain hangs down 60 mm, and up to 20 mm is usual. A slack chain can drop whatever the chainlines are: tighten it first."), out)
	}
}
