package budget

import (
	"context"
	"errors"
	"math"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// JCGM 100:2008, H.1, calibration of an end gauge, lengths in nm, temperatures
// in °C: l = ls + d - ls(δα·θ + αs·δθ). Inputs from memory of the table H.1;
// results as printed: 50.000838 mm, uc 32 nm (unrounded 31.711 by this project's
// reference), νeff 16, U99 93 nm; with second-order terms uc is 34 nm.
func TestEndGaugeBudget(t *testing.T) {
	in := []Input{
		{Name: "ls", Value: 50.000623e6, U: 25, DOF: 18},
		{Name: "d", Value: 215, U: 9.7, DOF: 25.6},
		{Name: "δα", Value: 0, U: 0.58e-6, DOF: 50},
		{Name: "θ", Value: -0.1, U: 0.41},
		{Name: "αs", Value: 11.5e-6, U: 1.2e-6},
		{Name: "δθ", Value: 0, U: 0.029, DOF: 2},
	}
	f := func(x, y []float64) error {
		y[0] = x[0] + x[1] - x[0]*(x[2]*x[3]+x[4]*x[5])
		return nil
	}
	r, err := FirstOrder(f, in, 1)
	require.NoError(t, err)
	assert.InDelta(t, 50.000838e6, r[0].Value, 0.5)
	assert.InDelta(t, 31.711, r[0].U, 0.05)
	assert.Equal(t, 16.0, math.Floor(r[0].DOF))
	assert.InDelta(t, 93, r[0].Expanded(0.99), 0.6)
	assert.Equal(t, "ls", in[r[0].Shares[0].Input].Name, "the reference standard leads the budget")
	sum := 0.0
	for _, s := range r[0].Shares {
		sum += s.Fraction
	}
	assert.InDelta(t, 1, sum, 1e-12)
	second, err := secondOrder(f, in, 1)
	require.NoError(t, err)
	assert.InDelta(t, 34, second[0], 0.5)
}

func sum4() Model {
	return func(x, y []float64) error {
		y[0] = x[0] + x[1] + x[2] + x[3]
		return nil
	}
}

// JCGM 101:2008, 9.2.2 (four normal inputs, u = 1 each), 9.2.3 (four
// rectangular) and 9.2.4 (one of them with u = 10): 95 % intervals to first order
// and by Monte Carlo.
func TestFourInputs(t *testing.T) {
	for _, c := range []struct {
		name         string
		dist         Dist
		u4           float64
		first, monte float64
		tol          float64
	}{
		{"9.2.2 normal", Normal, 1, 3.92, 3.92, 0.03},
		{"9.2.3 rectangular", Rectangular, 1, 3.92, 3.88, 0.03},
		{"9.2.4 one of them ten times as wide", Rectangular, 10, 19.9, 17.0, 0.1},
	} {
		t.Run(c.name, func(t *testing.T) {
			var in []Input
			for i := range 4 {
				u := 1.0
				if i == 3 {
					u = c.u4
				}
				in = append(in, Input{Name: "x", U: u, Dist: c.dist})
			}
			r, err := FirstOrder(sum4(), in, 1)
			require.NoError(t, err)
			assert.InDelta(t, c.first, r[0].Expanded(0.95), 0.05)
			s, err := MonteCarlo(context.Background(), sum4, in, 1, 200000, 7, 2, nil)
			require.NoError(t, err)
			lo, hi := s.Interval(0, 0.95)
			assert.InDelta(t, c.monte, hi, c.tol)
			assert.InDelta(t, -c.monte, lo, c.tol)
			assert.InDelta(t, 0, s.Mean(0), 0.1)
		})
	}
}

func TestMonteCarloIsTheSameOnAnyNumberOfWorkers(t *testing.T) {
	in := []Input{{Name: "a", U: 1}, {Name: "b", U: 2, Dist: Rectangular}, {Name: "c", U: 1, Dist: Triangular}, {Name: "d", U: 1, Dist: Repeated, DOF: 3}}
	one, err := MonteCarlo(context.Background(), sum4, in, 1, 1000, 42, 1, nil)
	require.NoError(t, err)
	for _, w := range []int{2, 3, 7} {
		more, err := MonteCarlo(context.Background(), sum4, in, 1, 1000, 42, w, nil)
		require.NoError(t, err)
		assert.Equal(t, one, more) // bit for bit
	}
	other, err := MonteCarlo(context.Background(), sum4, in, 1, 1000, 43, 1, nil)
	require.NoError(t, err)
	assert.NotEqual(t, one, other)
}

// Each shape has the standard uncertainty it says; Student's t that times
// √(ν/(ν-2)).
func TestShapesHaveTheirStandardUncertainty(t *testing.T) {
	for _, c := range []struct {
		d    Dist
		want float64
	}{{Normal, 2}, {Rectangular, 2}, {Triangular, 2}, {Repeated, 2 * math.Sqrt(9.0/7)}} {
		f := func() Model { return func(x, y []float64) error { y[0], y[1] = x[0], x[0]*x[0]; return nil } }
		s, err := MonteCarlo(context.Background(), f, []Input{{Name: "x", U: 2, Dist: c.d, DOF: 9}}, 2, 100000, 1, 2, nil)
		require.NoError(t, err)
		assert.InDelta(t, 0, s.Mean(0), 0.03)
		assert.InDelta(t, c.want, math.Sqrt(s.Mean(1)), 0.03, c.d.String())
	}
	assert.InDelta(t, 1/math.Sqrt(3), FromHalfWidth(Rectangular, 1), 1e-12)
	assert.InDelta(t, 1/math.Sqrt(6), FromHalfWidth(Triangular, 1), 1e-12)
	assert.InDelta(t, 0.5, FromHalfWidth(Normal, 1), 1e-12)
}

// Worked by hand: mean 3, s² = 2.5, u = √(2.5/5) (formula of JCGM 100, 4.2.3).
func TestRepeatedReadings(t *testing.T) {
	in, err := FromReadings("gap", []float64{1, 2, 3, 4, 5})
	require.NoError(t, err)
	assert.InDelta(t, 3, in.Value, 1e-12)
	assert.InDelta(t, math.Sqrt(0.5), in.U, 1e-12)
	assert.Equal(t, 4.0, in.DOF)
	_, err = FromReadings("gap", []float64{1})
	require.ErrorIs(t, err, ErrInput)
}

func TestBadInputs(t *testing.T) {
	for _, in := range []Input{{Value: math.NaN()}, {U: -1}, {U: math.Inf(1)}, {DOF: -1}, {Dist: Repeated}} {
		_, err := FirstOrder(sum4(), []Input{in}, 1)
		assert.ErrorIs(t, err, ErrInput)
		_, err = MonteCarlo(context.Background(), sum4, []Input{in}, 1, 10, 1, 1, nil)
		assert.ErrorIs(t, err, ErrInput)
	}
	boom := errors.New("boom")
	bad := func() Model { return func(x, y []float64) error { return boom } }
	_, err := MonteCarlo(context.Background(), bad, []Input{{U: 1}}, 1, 200, 1, 2, nil)
	assert.ErrorIs(t, err, boom)
	nan := func(x, y []float64) error { y[0] = math.NaN(); return nil }
	_, err = FirstOrder(nan, []Input{{U: 1}}, 1)
	assert.ErrorContains(t, err, "output 0 is NaN")
	assert.Zero(t, Result{}.Expanded(0.95))
}

// Stopped early, the draws so far are the first ones of the whole run.
func TestMonteCarloStops(t *testing.T) {
	in := []Input{{Name: "x", U: 2}}
	model := func() Model { return func(x, y []float64) error { y[0] = x[0]; return nil } }
	whole, err := MonteCarlo(context.Background(), model, in, 1, 5000, 3, 2, nil)
	require.NoError(t, err)
	ctx, cancel := context.WithCancel(context.Background())
	defer cancel()
	var done atomic.Int64
	stopping := func() Model {
		return func(x, y []float64) error {
			if y[0] = x[0]; done.Load() > 1000 {
				cancel()
			}
			return nil
		}
	}
	part, err := MonteCarlo(ctx, stopping, in, 1, 5000, 3, 2, &done)
	require.ErrorIs(t, err, ErrStopped)
	require.Greater(t, len(part.Y), 1000)
	require.Less(t, len(part.Y), 5000)
	assert.EqualValues(t, len(part.Y), done.Load())
	assert.Equal(t, whole.Y[:len(part.Y)], part.Y)
}

// Between bounds a normal is the truncated normal: mean and variance by its closed
// form (from memory after Johnson, Kotz and Balakrishnan, Continuous Univariate
// Distributions 1, 1994), at μ = 1, σ = 2 on [0, 3].
func TestBoundsTruncate(t *testing.T) {
	f := func() Model { return func(x, y []float64) error { y[0], y[1] = x[0], x[0]*x[0]; return nil } }
	s, err := MonteCarlo(context.Background(), f, []Input{{Value: 1, U: 2, Hi: 3}}, 2, 200000, 9, 2, nil)
	require.NoError(t, err)
	phi := func(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }
	cum := func(z float64) float64 { return 0.5 * math.Erfc(-z/math.Sqrt2) }
	a, b := -0.5, 1.0
	z := cum(b) - cum(a)
	d := (phi(a) - phi(b)) / z
	mean, variance := 1+2*d, 4*(1+(a*phi(a)-b*phi(b))/z-d*d)
	assert.InDelta(t, mean, s.Mean(0), 0.006)
	assert.InDelta(t, variance, s.Mean(1)-s.Mean(0)*s.Mean(0), 0.012)
	lo, hi := s.Interval(0, 1)
	assert.GreaterOrEqual(t, lo, 0.0)
	assert.LessOrEqual(t, hi, 3.0)
	// At a bound the derivative is taken from inside.
	r, err := FirstOrder(func(x, y []float64) error {
		if x[0] < 0 {
			return ErrCannot
		}
		y[0] = 3 * x[0]
		return nil
	}, []Input{{U: 0.5, Hi: 3}}, 1)
	require.NoError(t, err)
	assert.InDelta(t, 1.5, r[0].U, 1e-12)
	_, err = FirstOrder(f(), []Input{{Value: 4, U: 1, Lo: 1, Hi: 3}}, 2)
	assert.ErrorIs(t, err, ErrInput)
}

// Draws that cannot be are made again, and counted.
func TestDrawsThatCannotBe(t *testing.T) {
	f := func() Model {
		return func(x, y []float64) error {
			if x[0]+x[1] > 0 {
				return ErrCannot
			}
			y[0] = x[0] + x[1]
			return nil
		}
	}
	s, err := MonteCarlo(context.Background(), f, []Input{{U: 1}, {U: 1}}, 1, 20000, 2, 2, nil)
	require.NoError(t, err)
	assert.InDelta(t, -math.Sqrt2*math.Sqrt(2/math.Pi), s.Mean(0), 0.02, "half of a normal of √2")
	assert.InDelta(t, 20000, s.Redrawn, 600)
	_, err = MonteCarlo(context.Background(), func() Model { return func(x, y []float64) error { return ErrCannot } }, []Input{{U: 1}}, 1, 100, 2, 2, nil)
	assert.ErrorIs(t, err, ErrCannot)
}

// secondOrder returns the standard uncertainty with the next terms of the series
// for independent, symmetrical inputs (JCGM 100, 5.1.2, note):
//
//	u² = Σ ci²ui² + ΣΣ [½ cij² + ci cijj] ui² uj²
//
// with mixed derivatives by central differences. Only the square terms are kept
// where a third derivative would be needed (cijj): it is left out.
func secondOrder(f Model, in []Input, m int) ([]float64, error) {
	first, err := FirstOrder(f, in, m)
	if err != nil {
		return nil, err
	}
	x, _ := values(in)
	sum := make([]float64, m)
	for j := range sum {
		sum[j] = first[j].U * first[j].U
	}
	y := make([]float64, m)
	at := func(i, j int, a, b float64) ([]float64, error) {
		x[i] += a
		x[j] += b
		err := call(f, x, y)
		x[i] -= a
		x[j] -= b
		return append([]float64(nil), y...), err
	}
	const wide = 1.0 // a whole standard uncertainty, so that rounding does not drown the curvature
	for i := range in {
		for j := range in {
			hi, hj := wide*in[i].U, wide*in[j].U
			if hi == 0 || hj == 0 {
				continue
			}
			var d [4][]float64
			for k, s := range [4][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
				if d[k], err = at(i, j, s[0]*hi, s[1]*hj); err != nil {
					return nil, err
				}
			}
			for o := range sum {
				cij := (d[0][o] - d[1][o] - d[2][o] + d[3][o]) / (4 * hi * hj)
				if i == j { // ±h twice on one input is ±2h
					cij = (d[0][o] - 2*first[o].Value + d[3][o]) / (4 * hi * hi)
				}
				sum[o] += cij * cij * hi * hi * hj * hj / 2
			}
		}
	}
	for j := range sum {
		sum[j] = math.Sqrt(sum[j])
	}
	return sum, nil
}

// Mean returns an output's mean.
func (s *Sample) Mean(j int) float64 {
	sum := 0.0
	for _, y := range s.Y {
		sum += y[j]
	}
	return sum / float64(len(s.Y))
}
