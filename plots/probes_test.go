package plots

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every probe has its name with its unit, on a scale from 0 to 100 %.
func TestProbes(t *testing.T) {
	x := Probe{Name: "height of the plates, mm", Values: []float64{7, 8, 9}, Chances: []float64{0.2, 0.6, 0.4}, Today: 8}
	for _, n := range []int{1, 4, 5} {
		var list []Probe
		for range n {
			list = append(list, x)
		}
		for _, format := range Formats {
			data, err := Probes("A bike", "Chance of a drop", list).Render(format)
			require.NoError(t, err)
			if format == "svg" {
				assert.Equal(t, n, strings.Count(string(data), "height of the plates, mm"))
				assert.Equal(t, n, strings.Count(string(data), "chance, %"))
			}
		}
	}
}
