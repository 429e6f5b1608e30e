package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A cog that is shifted to from one side alone has room without end on the other: the outermost outboard
// or inboard, whichever way shifts come, the inmost the other way; those between have both ends.
func TestRoomsOfCogsWithoutEnd(t *testing.T) {
	s, err := mustParse(t, matched(10, "", nil)).Shifting()
	require.NoError(t, err)
	require.Len(t, s.Cogs, 10)
	open := map[int]int{}
	for k, r := range s.Cogs {
		for i := range 3 {
			assert.False(t, math.IsInf(r.From[i], 1) || math.IsInf(r.To[i], -1), "cog %d", k)
			if math.IsInf(r.From[i], -1) {
				open[k]--
			}
			if math.IsInf(r.To[i], 1) {
				open[k]++
			}
		}
		if open[k] == 0 {
			assert.Less(t, r.From[1], r.To[1], "cog %d", k)
		}
	}
	assert.Len(t, open, 2)
	assert.Equal(t, 3, max(open[0], open[9]))
	assert.Equal(t, -3, min(open[0], open[9]))
}

// A case from standard input is read to its last byte: one as large as may be, and one byte more is
// refused.
func TestLargestCaseFromStandardInput(t *testing.T) {
	text := learner
	text += "#" + strings.Repeat("x", MaxSize-len(text)-1)
	require.Len(t, text, MaxSize)
	file, got, err := Text("-", strings.NewReader(text))
	require.NoError(t, err)
	assert.Equal(t, "standard input", file)
	assert.Equal(t, MaxSize, len(got))
	_, err = Load("-", strings.NewReader(text))
	require.NoError(t, err)
	_, got, err = Text("-", strings.NewReader(text+strings.Repeat("x", 50)))
	require.NoError(t, err)
	assert.Equal(t, MaxSize+1, len(got))
	_, err = Load("-", strings.NewReader(text+"x"))
	assert.ErrorContains(t, err, "standard input: too many bytes")
}

// Cogs between two ends take a tooth a step at least: just as many as there is room for, and no more.
func TestEvenCogsWithNoRoomLeft(t *testing.T) {
	cogs, err := evenCogs(11, 15, 5)
	require.NoError(t, err)
	assert.Equal(t, []int{11, 12, 13, 14, 15}, cogs)
	cogs, err = evenCogs(11, 12, 2)
	require.NoError(t, err)
	assert.Equal(t, []int{11, 12}, cogs)
	for _, bad := range [][3]int{{11, 14, 5}, {11, 11, 2}, {15, 11, 5}, {11, 15, 1}} {
		cogs, err = evenCogs(bad[0], bad[1], bad[2])
		assert.ErrorContains(t, err, "no room for", "%v", bad)
		assert.Nil(t, cogs)
	}
}
