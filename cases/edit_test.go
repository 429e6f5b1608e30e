package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestSetChangesACopy(t *testing.T) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	n, err := c.Set("front.line", "50.5")
	require.NoError(t, err)
	was, err := c.Number("front.line")
	require.NoError(t, err)
	assert.InDelta(t, 54.2, was, 1e-12)
	is, err := n.Number("front.line")
	require.NoError(t, err)
	assert.Equal(t, 50.5, is)
	// The stay did not move.
	a, _ := c.Bike()
	b, _ := n.Bike()
	assert.InDelta(t, a.Stay.Face, b.Stay.Face, 1e-9)
	n, err = n.Set("front.rings", "28")
	require.NoError(t, err)
	b, err = n.Bike()
	require.NoError(t, err)
	assert.InDelta(t, a.Stay.Radius, b.Stay.Radius, 1e-9)
	assert.Equal(t, 28, b.Rings[0].Teeth)
	n, err = n.Set("rear.cogs", "11, 13, 15, 18, 21, 24, 28, 32, 36, 42, 46, 50")
	require.NoError(t, err)
	// What Format writes of it reads back the same.
	text, err := Format(n)
	require.NoError(t, err)
	again, err := Parse("x", text)
	require.NoError(t, err)
	x, _ := n.Bike()
	y, _ := again.Bike()
	assert.Equal(t, x, y)
	stay, err := n.Number("frame.stay")
	require.NoError(t, err)
	assert.InDelta(t, 435, stay, 1e-9)
	slack, err := n.Number("chain.slack")
	require.NoError(t, err)
	assert.Equal(t, 0.8, slack)

	for path, want := range map[string]string{
		"front.line":  "front.line: 500 mm is out of range, want 0 mm to 300 mm",
		"front.lin":   `front.lin: no case field "front.lin"`,
		"front.rings": "front.rings: ring of 500 teeth",
		"frame.stay":  "frame.stay:",
	} {
		_, err := c.Set(path, "500")
		if path == "frame.stay" {
			assert.NoError(t, err)
			continue
		}
		if path == "front.rings" {
			assert.ErrorContains(t, err, "500 is out of range")
			continue
		}
		assert.ErrorContains(t, err, want)
	}
	_, err = c.Set("front.line", "{")
	assert.Error(t, err)
	lo, hi, unit, doc, err := Bounds("chain.slack")
	require.NoError(t, err)
	assert.Equal(t, []any{0.05, 5.0, "°"}, []any{lo, hi, unit})
	assert.NotEmpty(t, doc)
	_, _, _, _, err = Bounds("title")
	assert.Error(t, err)
}
