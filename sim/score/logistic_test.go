package score

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"
)

// all returns outcomes of the numbers of no, then of yes.
func all(no, yes []float64) (o []Prediction) {
	for _, x := range no {
		o = append(o, Prediction{X: x})
	}
	for _, x := range yes {
		o = append(o, Prediction{X: x, Happened: true})
	}
	return o
}

// The hours of study of twenty students and who passed, in the article "Logistic
// regression" of the English Wikipedia: intercept -4.1, slope 1.5 an hour; chances
// 0.26 at 2 hours, 0.61 at 3, 0.87 at 4. Data and results from memory.
func TestHoursOfStudy(t *testing.T) {
	o := all([]float64{0.5, 0.75, 1, 1.25, 1.5, 1.75, 2, 2.5, 3, 3.5}, []float64{1.75, 2.25, 2.75, 3.25, 4, 4.25, 4.5, 4.75, 5, 5.5})
	l, err := fitLogistic(o, penalty{1e-9, 1e-9})
	require.NoError(t, err)
	assert.InDelta(t, 1.5, l.B/l.Scale, 0.05)
	assert.InDelta(t, -4.1, l.A-l.B*l.Mean/l.Scale, 0.05)
	assert.InDelta(t, 0.26, l.Chance(2), 0.005)
	assert.InDelta(t, 0.61, l.Chance(3), 0.005)
	assert.InDelta(t, 0.87, l.Chance(4), 0.005)
}

// Two numbers: two unknowns, so without a penalty the chances are the shares.
func TestTwoNumbersGiveTheirShares(t *testing.T) {
	o := all([]float64{2, 2, 2, 7}, []float64{2, 7, 7, 7, 7})
	l, err := fitLogistic(o, penalty{1e-9, 1e-9})
	require.NoError(t, err)
	assert.InDelta(t, 1.0/4, l.Chance(2), 1e-8)
	assert.InDelta(t, 4.0/5, l.Chance(7), 1e-8)
	assert.InDelta(t, (3*2+2+7+4*7)/9.0, l.Mean, 1e-14)
}

// One number: the share again, whatever number is asked for. 0.1 has no exact
// binary form, nor has its mean.
func TestOneNumberGivesTheShare(t *testing.T) {
	o := all([]float64{0.1, 0.1}, []float64{0.1})
	l, err := fitLogistic(o, penalty{1e-9, 1e-9})
	require.NoError(t, err)
	assert.Zero(t, l.B)
	for _, x := range []float64{0.1, -50, math.Inf(1), math.NaN()} {
		assert.InDelta(t, 1.0/3, l.Chance(x), 1e-8)
	}
}

// objective is F of FitLogistic written out again, without care for overflow.
func objective(o []Prediction, l logistic, hold penalty, a, b float64) float64 {
	f := (hold.Intercept*a*a + hold.Slope*b*b) / 2
	for _, x := range o {
		p := 1 / (1 + math.Exp(-a-b*(x.X-l.Mean)/l.Scale))
		if x.Happened {
			f -= math.Log(p)
		} else {
			f -= math.Log(1 - p)
		}
	}
	return f
}

func TestFitIsTheMinimumAnotherMethodFinds(t *testing.T) {
	for seed := range uint64(12) {
		o := drawn(seed, 40)
		for _, hold := range []penalty{weak, {0.5, 3}, {4, 0.02}} {
			l, err := fitLogistic(o, hold)
			require.NoError(t, err)
			// Nelder and Mead's simplex uses values alone.
			r, err := optimize.Minimize(optimize.Problem{Func: func(x []float64) float64 {
				return objective(o, l, hold, x[0], x[1])
			}}, []float64{0.3, -0.2}, &optimize.Settings{Converger: &optimize.FunctionConverge{Absolute: 1e-14, Iterations: 200}}, &optimize.NelderMead{})
			require.NoError(t, err)
			assert.InDelta(t, r.X[0], l.A, 1e-5, "seed %d, %v", seed, hold)
			assert.InDelta(t, r.X[1], l.B, 1e-5, "seed %d, %v", seed, hold)
			assert.LessOrEqual(t, objective(o, l, hold, l.A, l.B), r.F+1e-12)
		}
	}
}

// Derivatives against differences of F at a point that is no minimum.
func TestSlopesAreTheDerivatives(t *testing.T) {
	o, hold, d := drawn(3, 30), penalty{0.7, 0.2}, 1e-5
	l, z := standardised(o)
	at := func(a, b float64) (float64, [2]float64, [3]float64) {
		m := l
		m.A, m.B = a, b
		return m.slopes(o, z, hold)
	}
	f, g, h := at(0.4, -1.1)
	assert.InDelta(t, objective(o, l, hold, 0.4, -1.1), f, 1e-12)
	aUp, gaUp, _ := at(0.4+d, -1.1)
	aDown, gaDown, _ := at(0.4-d, -1.1)
	bUp, gbUp, _ := at(0.4, -1.1+d)
	bDown, gbDown, _ := at(0.4, -1.1-d)
	assert.InDelta(t, (aUp-aDown)/(2*d), g[0], 1e-8)
	assert.InDelta(t, (bUp-bDown)/(2*d), g[1], 1e-8)
	assert.InDelta(t, (gaUp[0]-gaDown[0])/(2*d), h[0], 1e-8)
	assert.InDelta(t, (gaUp[1]-gaDown[1])/(2*d), h[1], 1e-8)
	assert.InDelta(t, (gbUp[1]-gbDown[1])/(2*d), h[2], 1e-8)
}

// Numbers that tell yes from no without fail have no finite fit but for the
// penalty; nor has a set of one answer.
func TestSeparableSetsStayFinite(t *testing.T) {
	for _, o := range [][]Prediction{
		all([]float64{1, 2, 3}, []float64{4, 5, 6}),
		all([]float64{1, 1.0001}, []float64{1.0002}),
		all([]float64{5, 6, 7}, nil),
		all(nil, []float64{5}),
		all([]float64{-1e100}, []float64{1e100}),
		all([]float64{1e-300}, []float64{2e-300}),
		all(make([]float64, 5000), []float64{1}),
	} {
		for _, hold := range []penalty{weak, {1e-9, 1e-9}, {1e9, 1e9}, {1e-9, 1e9}} {
			l, err := fitLogistic(o, hold)
			require.NoError(t, err)
			for _, v := range []float64{l.A, l.B, l.Mean, l.Scale} {
				assert.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", l)
			}
			assert.Positive(t, l.Scale)
			for _, x := range []float64{-1e300, 0, 3.5, 1e300, math.Inf(1), math.Inf(-1), math.NaN()} {
				assert.True(t, chance(l.Chance(x)), "%+v at %g", l, x)
			}
		}
	}
	l, err := fitLogistic(all([]float64{1, 2, 3}, []float64{4, 5, 6}), weak)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, l.Chance(3.5), 1e-12)
	assert.Less(t, l.Chance(3), 0.2)
	assert.Greater(t, l.Chance(4), 0.8)
	assert.Less(t, l.Chance(1), 1e-4)
}

// Unit and origin of the number do not matter; its sign turns the slope; yes and no
// exchanged turn both.
func TestFitFollowsUnitOriginAndNames(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := drawn(rapid.Uint64().Draw(t, "seed"), rapid.IntRange(1, 40).Draw(t, "n"))
		unit, origin := rapid.Float64Range(0.01, 100).Draw(t, "unit"), rapid.Float64Range(-50, 50).Draw(t, "origin")
		moved, turned := append([]Prediction(nil), o...), append([]Prediction(nil), o...)
		for i := range o {
			moved[i].X = origin - unit*o[i].X
			turned[i].Happened = !o[i].Happened
		}
		l, err := fitLogistic(o, weak)
		require.NoError(t, err)
		m, err := fitLogistic(moved, weak)
		require.NoError(t, err)
		n, err := fitLogistic(turned, weak)
		require.NoError(t, err)
		for _, x := range []float64{-2, 1.5, 9} {
			assert.InDelta(t, l.Chance(x), m.Chance(origin-unit*x), 1e-7)
			assert.InDelta(t, l.Chance(x), 1-n.Chance(x), 1e-7)
		}
	})
}
