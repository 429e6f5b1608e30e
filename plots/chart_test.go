package plots

import (
	"bytes"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// rows are an invented sweep: z falls with x and y; one design has no result.
func rows() (x, y, z Column, ok []bool) {
	x, y, z = Column{Name: "front_line_mm"}, Column{Name: "frame_stay_mm"}, Column{Name: "margin_deg"}
	for i := range 9 {
		for j := range 7 {
			a, b := 45+float64(i), 420+5*float64(j)
			x.X, y.X, z.X = append(x.X, a), append(y.X, b), append(z.X, 2-0.3*float64(i)+0.05*float64(j))
			ok = append(ok, i > 2 && j < 5)
		}
	}
	z.X[10] = math.NaN()
	return x, y, z, ok
}

func TestChartFigures(t *testing.T) {
	x, y, z, ok := rows()
	g := Chart{Title: "rows.csv", Levels: []float64{0, 1}, Feasible: ok, Said: "stay_mm>=0"}
	for _, f := range []Figure{g.Curve(x, z), g.Map(x, y, z), g.Front(x, z, [2]bool{false, true}, []int{0, 6})} {
		for _, format := range Formats {
			a, err := f.Render(format)
			require.NoError(t, err)
			b, err := f.Render(format)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(a, b), f.Name)
			if format == "svg" {
				assert.NoError(t, wellFormed(a))
				assert.Contains(t, string(a), "front chainline, mm")
				assert.NotContains(t, string(a), "front_line_mm")
				assert.Contains(t, string(a), "rows.csv")
			}
		}
	}
}

// Columns are named in words with their units.
func TestColumnWords(t *testing.T) {
	for name, want := range map[string]string{"front_line_mm": "front chainline, mm", "top_bend_deg": "top chain angle, °", "links": "links", "load_torque_nm": "load torque, N·m", "ring_teeth": "ring, teeth"} {
		assert.Equal(t, want, Column{Name: name}.Words())
	}
	assert.Equal(t, "top chain angle", Column{Name: "top_bend_deg"}.plain())
}

// Cells have round steps; two colours only about a zero that lies between two of them.
func TestCellSteps(t *testing.T) {
	from, step, scale := cellSteps(1.2, 4.9)
	assert.InDelta(t, 1, step, 1e-12)
	assert.InDelta(t, 1, from, 1e-12)
	assert.Equal(t, single[:4], scale)
	from, step, scale = cellSteps(-1.3, 0.7)
	assert.InDelta(t, 0.5, step, 1e-12)
	assert.InDelta(t, -1.5, from, 1e-12)
	assert.Len(t, scale, 5)
	middle := shades[len(shades)/2]
	assert.NotContains(t, scale, middle, "no shade of nothing over a step that is not nothing")
	assert.Equal(t, shades[len(shades)/2-1], scale[2], "-0.5 to 0")
	assert.Equal(t, shades[len(shades)/2+1], scale[3], "0 to 0.5")
	_, _, scale = cellSteps(2, 2)
	assert.Len(t, scale, 1)
}

// The line is broken where the chain's length changes.
func TestCurveBreaks(t *testing.T) {
	x, z := Column{Name: "frame_travel_mm", X: []float64{0, 1, 2, 3}}, Column{Name: "top_bend_deg", X: []float64{1, 2, 8, 9}}
	drawn := func(links []float64) string {
		svg, err := Chart{Title: "t", Links: links}.Curve(x, z).Render("svg")
		require.NoError(t, err)
		return string(svg)
	}
	assert.Contains(t, drawn([]float64{114, 114, 116, 116}), "broken where")
	assert.NotContains(t, drawn([]float64{114, 114, 114, 114}), "broken where")
	assert.NotContains(t, drawn(nil), "broken where")
}

func TestFieldAndCells(t *testing.T) {
	x, y, z, ok := rows()
	f := Chart{Feasible: ok}.field(x, y, z)
	require.Len(t, f.x, 9)
	require.Len(t, f.y, 7)
	assert.InDelta(t, 2-0.3*4+0.05*2, f.z[2][4], 1e-12)
	assert.True(t, math.IsNaN(f.z[3][1]), "the design without a result")
	assert.True(t, f.wrong[3][1])
	assert.False(t, f.wrong[2][4])
	assert.True(t, f.wrong[6][4])
	assert.Equal(t, []float64{-0.5, 0.5, 2, 4}, edges([]float64{0, 1, 3}))
	assert.Equal(t, 1, nearestCell([]float64{0, 1, 3}, 1.9))
	assert.Equal(t, 2, nearestCell([]float64{0, 1, 3}, 2.1))
	many := make([]float64, 1000)
	for i := range many {
		many[i] = float64(i)
	}
	assert.Len(t, middles(many), 40)
}

func TestRoundedTicks(t *testing.T) {
	labels := func(lo, hi float64) (out []string) {
		for _, x := range (rounded{}).Ticks(lo, hi) {
			out = append(out, x.Label)
		}
		return out
	}
	assert.Equal(t, []string{"0", "20", "40", "60", "80", "100", "120"}, labels(0, 125))
	assert.Equal(t, []string{"3.29", "3.30", "3.31", "3.32"}, labels(3.286, 3.328))
	assert.Equal(t, []string{"-0.4", "-0.2", "0.0", "0.2"}, labels(-0.5, 0.3))
	assert.Empty(t, labels(1, 1))
}
