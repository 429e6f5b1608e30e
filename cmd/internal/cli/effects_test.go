package cli

import (
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// Shares of a grid's variance by hand. Of a in {0, 1}, b in {0, 1} and z = 2a + b the means by a
// are 0.5 and 2.5, of variance 1; those by b 1 and 2, of variance 1/4; all in all 5/4. Rows
// without a number do not count.
func TestSharesByHand(t *testing.T) {
	nan := math.NaN()
	rows := &table{names: []string{"design", "a_mm", "b_mm", "z_mm", "other_mm"}, vary: 2, x: [][]float64{
		{0, 1, 2, 3, 4}, {0, 0, 1, 1, 7}, {0, 1, 0, 1, 7}, {0, 1, 2, 3, nan}, {9, 1, 8, 2, 5}}}
	got, err := (&chartOptions{effects: "z_mm"}).shares(rows, "some/rows.csv")
	require.NoError(t, err)
	assert.Equal(t, show.Effects{From: "rows.csv", Result: "z_mm", Designs: 4, Effects: []show.Effect{
		{Of: "a_mm", Share: 0.8}, {Of: "b_mm", Share: 0.2}, {Of: "a_mm", With: "b_mm", Share: 0}}}, got)
	_, err = (&chartOptions{effects: "y_mm"}).shares(rows, "rows.csv")
	assert.Error(t, err)
}

// The numbers that chances draw, as table and as CSV: what the panel leaves of each, in order.
func TestUnknownsAsTheyAre(t *testing.T) {
	left, err := cases.Posterior([3]float64{0.05, 0.5, 0.95})
	require.NoError(t, err)
	code, text, errs := run("defaults", "--unknowns", "--format", "csv")
	require.Equal(t, ExitDone, code, errs)
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	rows = rows[1:]
	code, table, errs := run("defaults", "--unknowns")
	require.Equal(t, ExitDone, code, errs)
	require.Len(t, rows, len(left)+len(cases.ShiftNumbers()))
	told := strings.Join(strings.Fields(table), " ")
	for i, f := range cases.FreeNumbers() {
		c := rows[i]
		assert.Equal(t, f.Name, c[0])
		for j, want := range []float64{f.Low, f.Up, f.Standing, left[i][0], left[i][1], left[i][2]} {
			got, err := strconv.ParseFloat(c[1+j], 64)
			require.NoError(t, err)
			assert.InDelta(t, want, got, 5e-3*math.Abs(want), "%s, column %d", f.Name, 1+j)
		}
		assert.Contains(t, told, fmt.Sprintf(" %s to %s %s %s %s ", c[1], c[2], c[4], c[5], c[6]), f.Name)
	}
}
