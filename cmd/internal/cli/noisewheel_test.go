package cli

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Riding, the details name the chainring, which noise comes from, with the chain angle that makes
// it, and below it the wheel nearest to a drop where that is another.
func TestDetailsNameTheWheelOfNoise(t *testing.T) {
	for name, other := range map[string]bool{"trail": false, "idler": true} {
		code, out, errs := seeing("gears " + name + " --all")
		require.Equal(t, ExitDone, code, errs)
		_, table, ok := strings.Cut(out, "\nRiding\n")
		require.True(t, ok)
		table, _, _ = strings.Cut(table, "\n\n")
		gears, below := 0, 0
		for _, line := range strings.Split(table, "\n")[2:] {
			cells := strings.Fields(line)
			if strings.Contains(cells[0], "/") {
				gears++
				assert.Equal(t, "chainring", cells[4], line)
				assert.NotEqual(t, "-", cells[6], line)
				continue
			}
			below++
			assert.Equal(t, []string{"idler", "-"}, []string{cells[1], cells[3]}, line)
			assert.NotEqual(t, "-", cells[4], line)
		}
		assert.Greater(t, gears, 5)
		assert.Equal(t, other, below > 0, name)
	}
}
