package score

import (
	"errors"
	"fmt"
	"math"

	"chainpath/sim/elementary"
)

// logistic is a rule of one number: the chance 1/(1 + exp(-(a + b z))) with
// z = (x - Mean)/Scale.
type logistic struct {
	Mean, Scale float64 // of the numbers it was fitted on; Scale > 0
	A, B        float64 // log odds at the mean, and their change for one Scale
}

// penalty is how strongly log odds are held towards zero: ½·Intercept·a² +
// ½·Slope·b² is added to the sum of log losses. Each is the inverse of the
// variance of a normal belief about a or b; both > 0.
type penalty struct{ Intercept, Slope float64 }

// weak believes a and b to be 0 ± 10: next to nothing beside a few dozen outcomes
// that disagree, yet enough for a separable set to have a finite fit.
var weak = penalty{Intercept: 0.01, Slope: 0.01}

// ErrFit reports a fit that did not settle.
var ErrFit = errors.New("score: fit did not settle")

// fitLogistic fits the rule to X and Happened. It minimises
//
//	F(a, b) = Σ ln(1 + exp(-s (a + b z))) + ½ Intercept a² + ½ Slope b²
//
// with s = 1 where it happened, else -1. The numbers are standardised first, so
// that unit and origin of X do not matter; where they are all the same b is 0. F
// is strictly convex: its one minimum is found by Newton's method, steps halved
// until F falls enough (Boyd and Vandenberghe, Convex Optimization, 2004, 9.5.2).
// Errors wrap ErrInput or ErrFit.
func fitLogistic(o []Prediction, hold penalty) (logistic, error) {
	if err := validate(o); err != nil {
		return logistic{}, err
	}
	if !held(hold.Intercept) || !held(hold.Slope) {
		return logistic{}, fmt.Errorf("%w: penalty %g and %g, want 1e-9 to 1e9", ErrInput, hold.Intercept, hold.Slope)
	}
	l, z := standardised(o)
	const steps, settled = 200, 1e-13
	f, g, h := l.slopes(o, z, hold)
	for range steps {
		da, db := solve(h, g)
		fall := g[0]*da + g[1]*db // Newton decrement squared, twice what F falls by
		switch {
		case !(fall >= -settled*(1+f)): // the penalty drowned in rounding
			return logistic{}, fmt.Errorf("%w: decrement %g", ErrFit, fall)
		case fall <= settled*(1+f):
			l.A, l.B = l.A-da, l.B-db
			return l, nil
		}
		for t := 1.0; ; t /= 2 {
			try := l
			try.A, try.B = l.A-t*da, l.B-t*db
			fTry, gTry, hTry := try.slopes(o, z, hold)
			if fTry <= f-t*fall/4 {
				l, f, g, h = try, fTry, gTry, hTry
				break
			}
			if t < 1e-9 {
				return logistic{}, fmt.Errorf("%w: step of 1e-9, decrement %g", ErrFit, fall)
			}
		}
	}
	return logistic{}, fmt.Errorf("%w: %d steps", ErrFit, steps)
}

func held(p float64) bool { return p >= 1e-9 && p <= 1e9 }

// Chance returns the chance for a number, 0 to 1. A number that is not known, NaN,
// is taken for the mean.
func (l logistic) Chance(x float64) float64 {
	u := l.A
	if z := (x - l.Mean) / l.Scale; l.B != 0 && !math.IsNaN(z) {
		u += l.B * z
	}
	return sigmoid(u)
}

// sigmoid returns 1/(1 + exp(-u)) without overflow.
func sigmoid(u float64) float64 {
	if u < 0 {
		e := elementary.Exp(u)
		return e / (1 + e)
	}
	return 1 / (1 + elementary.Exp(-u))
}

// standardised returns the rule with the mean of X, the root of the mean square
// about it, and a and b of zero; and each X in these terms. Numbers that differ by
// rounding alone are all 0 there, and Scale is 1.
func standardised(o []Prediction) (logistic, []float64) {
	n, size := float64(len(o)), 0.0
	l, z := logistic{Scale: 1}, make([]float64, len(o))
	for _, x := range o {
		l.Mean += x.X / n
		size = max(size, math.Abs(x.X))
	}
	sum := 0.0
	for i, x := range o {
		if size > 0 {
			z[i] = (x.X - l.Mean) / size
		}
		sum += z[i] * z[i] / n
	}
	spread := math.Sqrt(sum)
	if spread <= 1e-12 || size*spread == 0 {
		return l, make([]float64, len(o))
	}
	for i := range z {
		z[i] /= spread
	}
	l.Scale = size * spread
	return l, z
}

// slopes returns F, its gradient, and its Hessian as aa, ab, bb.
func (l logistic) slopes(o []Prediction, z []float64, hold penalty) (f float64, g [2]float64, h [3]float64) {
	f = (hold.Intercept*l.A*l.A + hold.Slope*l.B*l.B) / 2
	g = [2]float64{hold.Intercept * l.A, hold.Slope * l.B}
	h = [3]float64{hold.Intercept, 0, hold.Slope}
	for i, z := range z {
		u := l.A + l.B*z
		p, y := sigmoid(u), 0.0
		if o[i].Happened {
			y, u = 1, -u
		}
		f += max(u, 0) + math.Log1p(elementary.Exp(-math.Abs(u)))
		w := p * (1 - p)
		g[0] += p - y
		g[1] += (p - y) * z
		h[0] += w
		h[1] += w * z
		h[2] += w * z * z
	}
	return f, g, h
}

// solve returns H⁻¹g for a positive definite H of aa, ab, bb, by its Cholesky
// factors.
func solve(h [3]float64, g [2]float64) (da, db float64) {
	c := h[1] / h[0]
	db = (g[1] - c*g[0]) / (h[2] - c*h[1])
	return g[0]/h[0] - c*db, db
}
