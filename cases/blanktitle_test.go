package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A title of blanks says no more than none, and takes the words that stand for none.
func TestTitleOfBlanksIsNone(t *testing.T) {
	text := func(title string) []byte {
		return []byte("chainpath: 1\ntitle: \"" + title + "\"\nspeeds: 1\nframe: {stay: 405}\nfront: {line: 44, rings: [44]}\nrear: {line: 42.5, cogs: [17]}\n")
	}
	none, err := Parse("bike.yaml", text(""))
	require.NoError(t, err)
	blank, err := Parse("bike.yaml", text("  "))
	require.NoError(t, err)
	assert.NotEmpty(t, strings.TrimSpace(none.Title))
	assert.Equal(t, none.Title, blank.Title)
}
