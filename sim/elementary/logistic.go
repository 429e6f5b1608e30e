package elementary

import "math"

// Logistic is looked up between so many places to either side of 0, which stand a share of 1
// apart; beyond them it is nothing and all.
const (
	logisticEnd    = 40
	logisticPerOne = 16
)

// logisticFrom holds, for each step, the polynomial in the share of it that has the function's
// value, slope and curvature at both ends (Hermite): constant first.
var logisticFrom = func() (at [2 * logisticEnd * logisticPerOne][6]float64) {
	end := func(i int) (p, slope, bend float64) { // over a step
		x := float64(i)/logisticPerOne - logisticEnd
		p = 1 / (1 + Exp(-x))
		q := 1 / (1 + Exp(x)) // 1 - p without losing digits
		slope = float64(p*q) / logisticPerOne
		return p, slope, float64(slope*(q-p)) / logisticPerOne
	}
	for i := range at {
		p, v, a := end(i)
		q, w, b := end(i + 1)
		rise := (q - p) - v - a/2
		turn := w - v - a
		more := b - a
		at[i] = [6]float64{p, v, a / 2, float64(10*rise) - float64(4*turn) + more/2, float64(7*turn) - float64(15*rise) - more, float64(6*rise) - float64(3*turn) + more/2}
	}
	return at
}()

// Logistic returns 1/(1 + e^-x) to a relative 2e-11, and 0 or 1 where it is nearer to that than
// 5e-18: by polynomials that have value, slope and curvature of the function at places a sixteenth
// apart. It has the same bits on every processor.
func Logistic(x float64) float64 {
	if !(x > -logisticEnd && x < logisticEnd) {
		return farLogistic(x)
	}
	u := float64(x*logisticPerOne) + logisticEnd*logisticPerOne
	i := int(u)
	t := u - float64(i)
	c := &logisticFrom[i]
	s := float64(t*c[5]) + c[4]
	s = float64(t*s) + c[3]
	s = float64(t*s) + c[2]
	s = float64(t*s) + c[1]
	return float64(t*s) + c[0]
}

func farLogistic(x float64) float64 {
	switch {
	case math.IsNaN(x):
		return x
	case x < 0:
		return 0
	}
	return 1
}
