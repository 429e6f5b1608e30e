package plots

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// The line of what is left for so much money goes down in steps where the next is paid.
func TestPricesGoDownInSteps(t *testing.T) {
	all := []Priced{{50, 0.5}, {0, 1}, {80, 0.5}, {50, 0.7}, {120, 0.2}}
	assert.Equal(t, []r2.Vec{{X: 0, Y: 100}, {X: 50, Y: 100}, {X: 50, Y: 50}, {X: 120, Y: 50}, {X: 120, Y: 20}, {X: 130, Y: 20}}, steps(all, []int{1, 0, 4}, 130))
	assert.Empty(t, steps(all, nil, 1))
	for _, format := range Formats {
		for _, list := range [][]Priced{all, {{0, 1}}, {{0, 0}, {10, 2}}} {
			data, err := Prices("What it costs", list, []int{0}, []Named{{list[0], "best"}}).Render(format)
			require.NoError(t, err)
			assert.NotEmpty(t, data)
		}
	}
}
