package plots

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestShiftingFigureSaysWhatItShows(t *testing.T) {
	end := math.Inf(1)
	none := [2]float64{end, end}
	s := &CableSetting{Answer: "one setting", Common: [2]float64{-0.2, 0.3}, Cogs: []CogSetting{
		{"11", [2]float64{-0.2, end}, [2][2]float64{{-1.4, -0.1}, none}},
		{"13", [2]float64{-0.9, 0.3}, [2][2]float64{{-1.3, -0.6}, {0.1, 1.4}}},
		{"15", [2]float64{0.5, 0.1}, [2][2]float64{{-1.3, -0.6}, {0.7, 1.4}}},
		{"17", [2]float64{-end, 0.1}, [2][2]float64{{-end, -end}, {0.7, 1.4}}},
	}}
	for _, format := range Formats {
		first, err := Shifting("a bike", s).Render(format)
		require.NoError(t, err)
		again, err := Shifting("a bike", s).Render(format)
		require.NoError(t, err)
		assert.Equal(t, first, again)
		if format == "svg" {
			for _, want := range []string{"one setting", "cog, teeth", "shifts to it are made", "all of it", "turn the adjuster out", "set at its best"} {
				assert.Contains(t, string(first), want)
			}
			assert.NotContains(t, string(first), "NaN")
			assert.NotContains(t, string(first), "Inf")
		}
	}
	s.Common, s.Read, s.Trim = [2]float64{0.4, -0.1}, true, true
	svg, err := Shifting("a bike", s).Render("svg")
	require.NoError(t, err)
	assert.NotContains(t, string(svg), "all of it")
	assert.Contains(t, string(svg), "as set")
	assert.Contains(t, string(svg), "trim it inboard")
	assert.NotContains(t, string(svg), "adjuster")
}
