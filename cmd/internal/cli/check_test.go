package cli

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A file whose entries cannot all be true is not said to have no mistakes: 70 links of 12.7 mm are 889 mm, and the
// two runs of a chainstay of 420 mm alone are 840, with half of 42 and of 12 teeth 343 more.
func TestCheckTellsWhatCannotBeTrue(t *testing.T) {
	for links, wrong := range map[string]bool{"70": true, "104": false} {
		name := filepath.Join(t.TempDir(), "bike.yaml")
		text := "chainpath: 1\nframe: {stay: 420}\nfront: {line: 47, rings: [42]}\nrear: {line: 45, cogs: [12, 13, 14, 16, 18, 21, 24]}\nchain: {links: " + links + "}\n"
		require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
		code, out, errs := run("check", name)
		require.Equal(t, ExitDone, code, errs)
		if wrong {
			assert.NotContains(t, out, "no mistakes found")
			assert.Contains(t, out, "warning: A chain of 70 links (chain.links) does not reach round 7 of 7 gears")
		} else {
			assert.Contains(t, out, "no mistakes found")
			assert.NotContains(t, out, "warning")
		}
	}
}
