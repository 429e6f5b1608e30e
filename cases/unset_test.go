package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What is unset is as if it had not been given; of a group that is not there nothing goes.
func TestUnset(t *testing.T) {
	c, err := Parse("k", []byte(kept))
	require.NoError(t, err)
	n, err := c.Unset("tyre")
	require.NoError(t, err)
	assert.Nil(t, n.Tyre)
	assert.NotNil(t, c.Tyre)
	n, err = c.Unset("chain.slack")
	require.NoError(t, err)
	assert.False(t, n.Chain.Slack.Given)
	n, err = c.Unset("chainstay.gap")
	require.NoError(t, err)
	assert.Nil(t, n.Chainstay)
	_, err = c.Unset("frame.stiffness")
	assert.ErrorContains(t, err, `no case field "frame.stiffness"`)
	_, err = c.Unset("rear.cogs")
	assert.ErrorContains(t, err, "cogs")
}

// A field reads as it was said.
func TestSays(t *testing.T) {
	c, err := Parse("k", []byte(kept))
	require.NoError(t, err)
	for path, want := range map[string]string{
		"front.measured.tube_width": "[48.5, 48.6, 48.5]", "front.measured.gap": "29.9 ± 0.3", "rear.line": "48 ± 0.5",
		"tyre.size": "57-622", "chain.bevel": "", "chainstay.gap": "", "speeds": "", "nonsense.x": "", "frame.stay": "431.8 (tape)",
	} {
		if path == "frame.stay" {
			assert.Contains(t, c.Says(path), "431.8")
			continue
		}
		assert.Equal(t, want, c.Says(path), path)
	}
}

// A line told anew takes the place of the one before, measured or not, and the other stays.
func TestMeasure(t *testing.T) {
	c, err := Parse("k", []byte(kept))
	require.NoError(t, err)
	n, said, notes, err := c.Measure("52.5 ± 0.4", "")
	require.NoError(t, err)
	assert.Empty(t, notes)
	assert.Equal(t, map[string]string{"front.line": "52.5 ± 0.4"}, said)
	assert.Nil(t, n.Front.Measured)
	assert.Equal(t, "52.5 ± 0.4", n.Says("front.line"))
	assert.Equal(t, "48 ± 0.5", n.Says("rear.line"))
	n, said, notes, err = n.Measure("tube 34 mm, gap 1 in", "axle 148")
	require.NoError(t, err)
	assert.Len(t, notes, 1)
	assert.Equal(t, "1 in", said["front.measured.gap"])
	front, err := n.FrontLine()
	require.NoError(t, err)
	assert.InDelta(t, 34.0/2+25.4, front, 1e-9)
	rear, err := n.RearLine()
	require.NoError(t, err)
	assert.InDelta(t, 47.5, rear, 4)
	_, _, _, err = c.Measure("tube 34", "")
	assert.ErrorContains(t, err, "want tube with gap")
}
