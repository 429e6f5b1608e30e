package decide

import (
	"fmt"
	"math"

	"chainpath/sim"
	"chainpath/sim/elementary"
)

// RatioWeights returns shares of time for gears of given ratios when a rider
// likes one ratio: they fall off as a normal distribution of the ratio's
// logarithm, with spread > 1 the factor that is one standard deviation. They sum
// to 1. It returns an error when ratio or spread cannot be.
func RatioWeights(ratios []float64, ratio, spread float64) ([]float64, error) {
	if !(ratio > 0) || !(spread > 1) || math.IsInf(ratio, 0) || math.IsInf(spread, 0) {
		return nil, fmt.Errorf("decide: ratio %g and spread %g, want a ratio above 0 and a spread above 1", ratio, spread)
	}
	w := make([]float64, len(ratios))
	for i, r := range ratios {
		x := math.Log(r/ratio) / math.Log(spread)
		w[i] = elementary.Exp(-x * x / 2)
	}
	return w, Normalise(w)
}

// Normalise scales weights to a sum of 1; an error when that is not above 0.
func Normalise(w []float64) error {
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	if !(sum > 0) || math.IsInf(sum, 0) {
		return fmt.Errorf("decide: shares of time sum to %g, want more than 0", sum)
	}
	for i := range w {
		w[i] /= sum
	}
	return nil
}

// MeanBends returns the mean bends of the top and of the bottom run over shares of time,
// one a gear, rad.
func MeanBends(r *sim.Result, share []float64) (top, bottom float64) {
	for i := range r.Gears {
		g, s := &r.Gears[i], share[i]
		top += s * g.Top.Bend
		bottom += s * g.Bottom.Bend
	}
	return top, bottom
}
