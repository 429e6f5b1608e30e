package reference

import (
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestEveryPageIsATopic(t *testing.T) {
	list, err := os.ReadDir(".")
	require.NoError(t, err)
	n := 0
	for _, e := range list {
		if name, ok := strings.CutSuffix(e.Name(), ".md"); ok {
			n++
			assert.Contains(t, Topics, name)
		}
	}
	assert.Len(t, Topics, n)
	for _, topic := range Topics {
		title, text := Page(topic)
		assert.NotEmpty(t, title)
		assert.NotEmpty(t, text)
		assert.False(t, strings.HasPrefix(text, "#"), topic)
	}
	title, text := Page("nonsense")
	assert.Empty(t, title+text)
}

func TestPlainByHand(t *testing.T) {
	wrap := func(s string, width int) string { return s }
	got := Plain("One `two`\nthree.\n\n## Head\n\n    code --x\n\n| a | b |\n|---|---|\n| `x\\|y` | **bold** | c |\n\n- an item\n  goes on\n- next\n", 80, wrap)
	assert.Equal(t, "One two three.\n\nHEAD\n\n    code --x\n\n  x|y\n      bold; c\n\n- an item goes on\n- next", got)
}
