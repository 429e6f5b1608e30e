package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where chainline readings have a tolerance, nine in ten lines move about those of the case by no more
// than that, both ways; what was seen narrows them no further than to a hundred candidates.
func TestLinesMoveAboutThoseOfTheCase(t *testing.T) {
	text := `chainpath: 1
speeds: 12
frame: {stay: 438, drop: 30}
front: {line: 52 ± 1, rings: [32]}
rear: {line: 44.5 ± 0.5, cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 51]}
tensioner: {cage: 93}
`
	l := taught(t, text, "32/51 backwards: off 10 of 10", "32/44 backwards: off 10 of 10", "32/38 backwards: off 10 of 10")
	require.Greater(t, l.Stages, 1, "they tell so much that they are tempered")
	lines := l.Moves[len(l.Moves)-3:]
	for i, most := range []float64{1, 0.5, 1.5} {
		b := lines[i].Before
		assert.True(t, -most <= b[0] && b[0] < -0.4*most && b[2] > 0.4*most && b[2] <= most, "%s: %v", lines[i].Name, b)
		assert.InDelta(t, 0, b[1], 0.2*most, lines[i].Name)
	}
	assert.Greater(t, lines[0].After[0]+lines[0].After[2], lines[0].Before[0]+lines[0].Before[2], "a chainring farther outboard makes it drop")
	wide := taught(t, strings.Replace(text, "52 ± 1", "52 ± 2", 1), "32/51 backwards: off 10 of 10", "32/44 backwards: off 10 of 10", "32/38 backwards: off 10 of 10")
	front := wide.Moves[len(wide.Moves)-3]
	assert.Greater(t, front.After[1], front.Before[1]+0.1, "and in the middle, where less is known of it")
	assert.False(t, math.IsNaN(lines[2].After[0]))
}
