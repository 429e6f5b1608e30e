package plots

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// Of five combinations two are beaten: one by a cheaper one that leaves as little, one by one of its own
// price; the line goes down in steps where the next is paid.
func TestCheapestAndSteps(t *testing.T) {
	all := []Priced{{50, 0.5}, {0, 1}, {80, 0.5}, {50, 0.7}, {120, 0.2}}
	front := cheapest(all)
	assert.Equal(t, []Priced{{0, 1}, {50, 0.5}, {120, 0.2}}, front)
	assert.Equal(t, []r2.Vec{{X: 0, Y: 100}, {X: 50, Y: 100}, {X: 50, Y: 50}, {X: 120, Y: 50}, {X: 120, Y: 20}, {X: 130, Y: 20}}, steps(front, 130))
	assert.Empty(t, steps(nil, 1))
	for _, format := range Formats {
		for _, list := range [][]Priced{all, {{0, 1}}, {{0, 0}, {10, 2}}} {
			data, err := Prices("What it costs", list, []Named{{list[0], "best"}}).Render(format)
			require.NoError(t, err)
			assert.NotEmpty(t, data)
		}
	}
}
