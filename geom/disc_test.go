package geom_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"chainpath/geom"
)

// The independent answer measures between points on the rims and faces of both discs.
func TestDiscGapAgainstPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		a := geom.Disc{Radius: f(5, 40, "r"), Half: f(0.5, 6, "half")}
		b := geom.Disc{Centre: r2.Vec{X: f(0, 90, "x"), Y: f(-90, 90, "y")}, Radius: f(5, 100, "R"), At: f(-25, 25, "at"), Half: f(0.5, 6, "Half")}
		got := a.Gap(b)
		assert.InDelta(t, got, b.Gap(a), 1e-9)
		away := r2.Norm(b.Centre)
		// Along the line of centres, which holds the nearest points of two circles.
		least := math.Inf(1)
		inside := false
		const n = 60
		for i := range n + 1 {
			u := -a.Radius + 2*a.Radius*float64(i)/n
			for j := range n + 1 {
				v := away - b.Radius + 2*b.Radius*float64(j)/n
				for _, y := range [3]float64{-a.Half, a.Half, math.Max(-a.Half, math.Min(b.At, a.Half))} {
					z := math.Max(b.At-b.Half, math.Min(y, b.At+b.Half))
					d := math.Hypot(u-v, y-z)
					least = math.Min(least, d)
				}
			}
		}
		inside = away < a.Radius+b.Radius && math.Abs(b.At) < a.Half+b.Half
		if inside {
			assert.LessOrEqual(t, got, 0.0)
			return
		}
		step := (2*a.Radius + 2*b.Radius) / n
		assert.LessOrEqual(t, got, least+1e-9)
		assert.GreaterOrEqual(t, got, least-step)
	})
	a := geom.Disc{Radius: 10, Half: 1}
	assert.Equal(t, 5.0, a.Gap(geom.Disc{Centre: r2.Vec{X: 16}, Radius: 3, At: 6, Half: 1}), "3, 4, 5")
	assert.Equal(t, -1.0, a.Gap(geom.Disc{Centre: r2.Vec{X: 10}, Radius: 3, At: 1, Half: 1}), "the shorter way out is along the axis")
}
