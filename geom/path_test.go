package geom_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"chainpath/geom"
)

// wheels draws a closed path that exists: wheels on a big circle in order, far
// enough apart for every tangent, turning either way.
func wheels(t *rapid.T) []geom.Wheel {
	n := rapid.IntRange(2, 6).Draw(t, "wheels")
	w := make([]geom.Wheel, n)
	for i := range w {
		a := 2 * math.Pi * (float64(i) + rapid.Float64Range(-0.1, 0.1).Draw(t, "place")) / float64(n)
		w[i] = geom.Wheel{
			Centre: r2.Vec{X: 300 * math.Cos(a), Y: 300 * math.Sin(a)},
			Radius: rapid.Float64Range(1, 60).Draw(t, "radius"),
			Sense:  rapid.SampledFrom([]geom.Sense{geom.Anticlockwise, geom.Clockwise}).Draw(t, "sense"),
		}
	}
	return w
}

// path is a closed band over wheels in the order of travel: spans[i] runs from wheel i to
// the next one, the last back to wheel 0; wraps[i] is the angle over which it lies on wheel i.
type path struct {
	wheels []geom.Wheel
	spans  []geom.Span
	wraps  []float64
}

// closed returns the closed band over the wheels.
func closed(t require.TestingT, w []geom.Wheel) path {
	n := len(w)
	p := path{w, make([]geom.Span, n), make([]float64, n)}
	for i := range w {
		require.NoError(t, p.spans[i].Between(&w[i], &w[(i+1)%n]))
	}
	for i := range w {
		p.wraps[i] = geom.Wrap(w[i].Sense, p.spans[(i+n-1)%n].Dir, p.spans[i].Dir)
	}
	return p
}

// length returns the length of the band: its spans and its arcs.
func (p *path) length() (sum float64) {
	for i, s := range p.spans {
		sum += s.Length + p.wheels[i].Radius*p.wraps[i]
	}
	return sum
}

// tangent returns the span from a to b.
func tangent(a, b geom.Wheel) (s geom.Span, err error) {
	err = s.Between(&a, &b)
	return s, err
}

func TestTangentTouchesBothCirclesAtRightAngles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := closed(t, wheels(t))
		for i, s := range p.spans {
			for k, pt := range []r2.Vec{s.From, s.To} {
				w := p.wheels[(i+k)%len(p.wheels)]
				arm := r2.Sub(pt, w.Centre)
				assert.InDelta(t, w.Radius, r2.Norm(arm), 1e-9)
				assert.InDelta(t, 0, r2.Dot(arm, s.Dir), 1e-9)
				// A wheel that turns with its sense carries the band forward.
				assert.InDelta(t, w.Radius*float64(w.Sense), r2.Cross(arm, s.Dir), 1e-9)
			}
			assert.InDelta(t, s.Length, r2.Norm(r2.Sub(s.To, s.From)), 1e-9)
			assert.InDelta(t, 1, r2.Norm(s.Dir), 1e-12)
		}
	})
}

func TestLengthAndWrapsKeepUnderReversingMirroringScalingTurning(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := closed(t, wheels(t))
		n := len(p.wheels)

		back := reversed(t, &p)
		assert.InDelta(t, p.length(), back.length(), 1e-8)
		for i := range p.wraps {
			assertAngle(t, p.wraps[i], back.wraps[n-1-i])
		}

		k := rapid.Float64Range(0.1, 10).Draw(t, "scale")
		turn := rapid.Float64Range(0, 6).Draw(t, "turn")
		m := make([]geom.Wheel, n)
		for i, w := range p.wheels {
			w.Centre = r2.Rotate(r2.Scale(k, w.Centre), turn, r2.Vec{})
			w.Centre = r2.Vec{X: -w.Centre.X, Y: w.Centre.Y}
			w.Radius *= k
			w.Sense = -w.Sense
			m[i] = w
		}
		q := closed(t, m)
		assert.InDelta(t, k*p.length(), q.length(), 1e-8*k)
		assert.InDelta(t, turning(&p), -turning(&q), 1e-9)
		for i := range p.wraps {
			assertAngle(t, p.wraps[i], q.wraps[i])
		}
	})
}

// assertAngle compares two angles that may differ by a full turn.
func assertAngle(t require.TestingT, want, got float64) {
	assert.InDelta(t, 0, math.Remainder(want-got, 2*math.Pi), 1e-9)
}

// The independent length walks the band in small steps: points of each arc and
// of each span, joined by chords.
func TestLengthAgainstSummedChords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := closed(t, wheels(t))
		n := len(p.wheels)
		const steps = 20000
		sum := 0.0
		for i, w := range p.wheels {
			in, out := p.spans[(i+n-1)%n].To, p.spans[i].From
			a := math.Atan2(in.Y-w.Centre.Y, in.X-w.Centre.X)
			b := math.Atan2(out.Y-w.Centre.Y, out.X-w.Centre.X)
			arc := math.Mod(float64(w.Sense)*(b-a)+4*math.Pi, 2*math.Pi)
			last := in
			for k := 1; k <= steps; k++ {
				c := a + float64(w.Sense)*arc*float64(k)/steps
				pt := r2.Vec{X: w.Centre.X + w.Radius*math.Cos(c), Y: w.Centre.Y + w.Radius*math.Sin(c)}
				sum += math.Hypot(pt.X-last.X, pt.Y-last.Y)
				last = pt
			}
			sum += math.Hypot(last.X-p.spans[i].To.X, last.Y-p.spans[i].To.Y)
		}
		assert.InEpsilon(t, p.length(), sum, 1e-8)
	})
}

func TestTwoEqualWheelsHaveTheTextbookLengths(t *testing.T) {
	a := geom.Wheel{Radius: 50, Sense: geom.Clockwise}
	b := geom.Wheel{Centre: r2.Vec{X: 400}, Radius: 50, Sense: geom.Clockwise}
	open := closed(t, []geom.Wheel{a, b})
	assert.InDelta(t, 2*400+2*math.Pi*50, open.length(), 1e-9)
	assert.InDelta(t, -1, turning(&open), 1e-12)

	b.Sense = geom.Anticlockwise
	crossed := closed(t, []geom.Wheel{a, b})
	// Crossed belt: 2 √(C² - (2r)²) + 2 r (π + 2 asin(2r/C)).
	want := 2*math.Sqrt(400*400-100*100) + 2*50*(math.Pi+2*math.Asin(0.25))
	assert.InDelta(t, want, crossed.length(), 1e-9)
	assert.InDelta(t, 0, turning(&crossed), 1e-12)
}

func TestImpossibleSpansAreErrors(t *testing.T) {
	big := geom.Wheel{Radius: 50, Sense: geom.Clockwise}
	in := geom.Wheel{Centre: r2.Vec{X: 10}, Radius: 20, Sense: geom.Clockwise}
	_, err := tangent(big, in)
	require.ErrorIs(t, err, geom.ErrOverlap)
	_, err = tangent(geom.Wheel{Radius: math.NaN(), Sense: 1}, in)
	require.ErrorIs(t, err, geom.ErrNumber)
	_, err = tangent(geom.Wheel{Radius: -1, Sense: 1}, in)
	require.ErrorIs(t, err, geom.ErrNumber)
	in.Centre.X = math.Inf(1)
	_, err = tangent(big, in)
	require.ErrorIs(t, err, geom.ErrNumber)
}

// turning returns how often a band turns round itself, anticlockwise positive: +1 or -1
// for one that does not cross itself.
func turning(p *path) float64 {
	sum := 0.0
	for i, w := range p.wheels {
		sum += float64(w.Sense) * p.wraps[i]
	}
	return sum / (2 * math.Pi)
}

// reversed returns the same band travelled the other way.
func reversed(t require.TestingT, p *path) path {
	w := slices.Clone(p.wheels)
	slices.Reverse(w)
	for i := range w {
		w[i].Sense = -w[i].Sense
	}
	return closed(t, w)
}
