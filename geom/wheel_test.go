package geom_test

import (
	"math"
	"math/cmplx"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"chainpath/geom"
)

// A triangle of 3, 4, 5: centres 5 apart and radii that differ by 3 leave a tangent of 4.
func TestTangentOfAnIntegerTriangle(t *testing.T) {
	for _, sense := range []geom.Sense{geom.Anticlockwise, geom.Clockwise} {
		a := geom.Wheel{Centre: r2.Vec{X: 1, Y: 2}, Radius: 7, Sense: sense}
		b := geom.Wheel{Centre: r2.Vec{X: 6, Y: 2}, Radius: 4, Sense: sense}
		s, err := tangent(a, b)
		require.NoError(t, err)
		assert.InDelta(t, 4, s.Length, 1e-12)
		assert.InDelta(t, 0.8, s.Dir.X, 1e-12)
		assert.InDelta(t, 0.6*float64(sense), s.Dir.Y, 1e-12)
		assert.InDelta(t, 1+7*0.6, s.From.X, 1e-12)
		assert.InDelta(t, 2-7*0.8*float64(sense), s.From.Y, 1e-12)
		assert.InDelta(t, 6+4*0.6, s.To.X, 1e-12)
		assert.InDelta(t, 2-4*0.8*float64(sense), s.To.Y, 1e-12)
	}
	// Crossed, the radii add up: 2 + 1 of 5.
	s, err := tangent(geom.Wheel{Radius: 2, Sense: 1}, geom.Wheel{Centre: r2.Vec{X: 3, Y: 4}, Radius: 1, Sense: -1})
	require.NoError(t, err)
	assert.InDelta(t, 4, s.Length, 1e-12)
}

// The tangent is there while the distance is more than the radii's difference, or their sum
// where it crosses over, however little, and an error from there on.
func TestTangentEndsWhereCirclesTouch(t *testing.T) {
	for _, sense := range []geom.Sense{geom.Anticlockwise, geom.Clockwise} {
		a := geom.Wheel{Radius: 5, Sense: geom.Anticlockwise}
		touch := 5 - float64(sense)*3
		for _, far := range []float64{1e-9, 1e-3, 0.1} {
			b := geom.Wheel{Centre: r2.Vec{X: touch + far}, Radius: 3, Sense: sense}
			s, err := tangent(a, b)
			require.NoError(t, err)
			assert.InEpsilon(t, math.Sqrt(far*(2*touch+far)), s.Length, 1e-5)
			b.Centre.X = touch - far
			_, err = tangent(a, b)
			require.ErrorIs(t, err, geom.ErrOverlap)
		}
		_, err := tangent(a, geom.Wheel{Centre: r2.Vec{X: touch}, Radius: 3, Sense: sense})
		require.ErrorIs(t, err, geom.ErrOverlap, "no direction where they touch")
	}
	_, err := tangent(geom.Wheel{Sense: 1}, geom.Wheel{Sense: 1})
	require.ErrorIs(t, err, geom.ErrOverlap)
	s, err := tangent(geom.Wheel{Sense: 1}, geom.Wheel{Centre: r2.Vec{Y: 1e-3}, Sense: -1})
	require.NoError(t, err, "points are wheels of radius 0")
	assert.Equal(t, geom.Span{To: r2.Vec{Y: 1e-3}, Dir: r2.Vec{Y: 1}, Length: 1e-3}, s)
}

// A span that cannot be is left as it was, and a number that is none is told from an overlap,
// on either wheel.
func TestBetweenKeepsTheSpanOnErrors(t *testing.T) {
	good, far := geom.Wheel{Radius: 2, Sense: 1}, geom.Wheel{Centre: r2.Vec{X: 10}, Radius: 3, Sense: 1}
	was := geom.Span{Length: 4, Dir: r2.Vec{X: 1}}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), -1e-9} {
		bad := far
		bad.Radius = x
		for _, w := range [][2]geom.Wheel{{good, bad}, {bad, good}} {
			s := was
			require.ErrorIs(t, s.Between(&w[0], &w[1]), geom.ErrNumber, "radius %g", x)
			assert.Equal(t, was, s)
		}
	}
	s := was
	require.ErrorIs(t, s.Between(&good, &good), geom.ErrOverlap)
	assert.Equal(t, was, s)
}

// The angle from one direction to another by the complex logarithm's argument, all round and
// on the axes.
func TestWrapIsTheAngleBetweenDirections(t *testing.T) {
	unit := func(a float64) r2.Vec { return r2.Vec{X: math.Cos(a), Y: math.Sin(a)} }
	check := func(t require.TestingT, in, out float64, s geom.Sense) {
		got := geom.Wrap(s, unit(in), unit(out))
		want := cmplx.Phase(cmplx.Exp(complex(0, float64(s)*(out-in))))
		if want < -1e-9 {
			want += 2 * math.Pi
		}
		assert.GreaterOrEqual(t, got, 0.0)
		assert.Less(t, got, 2*math.Pi)
		if math.Abs(want) < 1e-9 { // none, or nearly a full turn, by the rounding of the directions
			assert.InDelta(t, 0, math.Remainder(got, 2*math.Pi), 1e-9)
			return
		}
		assert.InDelta(t, want, got, 1e-9, "from %g to %g", in, out)
	}
	for _, s := range []geom.Sense{1, -1} {
		for i := range 24 {
			for j := range 24 {
				check(t, float64(i)*math.Pi/12, float64(j)*math.Pi/12, s)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		check(t, rapid.Float64Range(-7, 7).Draw(t, "in"), rapid.Float64Range(-7, 7).Draw(t, "out"), rapid.SampledFrom([]geom.Sense{1, -1}).Draw(t, "sense"))
	})
	x := r2.Vec{X: 1}
	assert.Zero(t, geom.Wrap(1, x, x))
	assert.Zero(t, geom.Wrap(1, x, r2.Vec{X: 1, Y: -1e-17}), "a turn but for the rounding is none")
	assert.Equal(t, math.Pi, geom.Wrap(1, x, r2.Vec{X: -1}))
	assert.Equal(t, math.Pi/2, geom.Wrap(1, x, r2.Vec{Y: 1}))
	assert.Equal(t, 3*math.Pi/2, geom.Wrap(-1, x, r2.Vec{Y: 1}))
}

// Corners put on the circle lie a side apart, from the triangle to more teeth than any wheel
// has.
func TestPolygonsCornersLieASideApart(t *testing.T) {
	for n := 3; n < 300; n++ {
		r := geom.PolygonRadius(12.7, n)
		corner := cmplx.Rect(r, 2*math.Pi/float64(n))
		assert.InDelta(t, 12.7, cmplx.Abs(corner-complex(r, 0)), 1e-10, "%d corners", n)
	}
	for n := -3; n < 3; n++ {
		assert.Zero(t, geom.PolygonRadius(12.7, n))
	}
	for _, side := range []float64{0, -1, math.Inf(-1)} {
		assert.Zero(t, geom.PolygonRadius(side, 9))
		assert.Zero(t, geom.PolygonRadius(side, 900))
	}
	assert.InEpsilon(t, 1e-6*geom.PolygonRadius(1, 17), geom.PolygonRadius(1e-6, 17), 1e-12)
}

func TestPolygonRadius(t *testing.T) {
	assert.InDelta(t, 10, geom.PolygonRadius(10, 6), 1e-12) // hexagon
	assert.InDelta(t, 10/math.Sqrt2, geom.PolygonRadius(10, 4), 1e-12)
	assert.Zero(t, geom.PolygonRadius(math.NaN(), 9))
	assert.Zero(t, geom.PolygonRadius(math.Inf(1), 9))
}
