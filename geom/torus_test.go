package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A torus's gap beside the strip, by a scan in small steps: a strip that passes the axis well
// inside the circle, as a chain beside a tyre does, and ends inside it, on it or beyond.
func TestTorusGapByScan(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	u := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	for i := range 400 {
		major, minor, at := u(60, 110), u(5, 25), u(-10, 10)
		s := Strip{Height: u(0, 50), Half: u(1, 9), Start: at + u(-60, 60), Drift: u(-0.1, 0.1), From: u(-120, 0), To: u(1, 120)}
		got, where := s.TorusGap(major, minor, at)
		least := math.Inf(1)
		const n, rows = 1500, 60
		for k := range n + 1 {
			v := s.From + (s.To-s.From)*float64(k)/n
			y := s.Start + s.Drift*v - at
			for r := range rows + 1 {
				h := s.Height - s.Half + 2*s.Half*float64(r)/rows
				least = math.Min(least, math.Hypot(math.Hypot(v, h)-major, y)-minor)
			}
		}
		assert.InDelta(t, least, got, 0.12, "%d: %+v", i, s)
		assert.LessOrEqual(t, got, least+1e-9, "%d: never farther than a point of it", i)
		assert.True(t, where >= s.From-1e-9 && where <= s.To+1e-9)
		if s.TorusBeyond(major, minor, at, got+1e-6) {
			t.Errorf("%d: said to be beyond its own gap", i)
		}
	}
}

// The least of a parabola and of one with a corner, wherever it lies, at an end too, to the
// share of the interval that golden promises, looking nowhere else.
func TestGoldenFindsTheLeast(t *testing.T) {
	const lo, hi = -3.0, 17.0
	for at := lo; at <= hi; at += 0.37 {
		for _, f := range []func(x float64) float64{
			func(x float64) float64 { return (x-at)*(x-at) + 2 },
			func(x float64) float64 { return math.Max(3*(x-at), at-x) + 2 },
		} {
			looks := 0
			x, fx := golden(func(x float64) float64 {
				looks++
				assert.True(t, x >= lo && x <= hi)
				return f(x)
			}, lo, hi)
			assert.InDelta(t, at, x, 1e-5*(hi-lo))
			assert.Equal(t, f(x), fx)
			assert.LessOrEqual(t, looks, 30)
		}
	}
}
