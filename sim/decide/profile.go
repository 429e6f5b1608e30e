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

// Instead returns the gear of another chainring whose ratio is nearest to a gear's; the gear itself
// where there is one chainring.
func Instead(rings, cogs []int, gear int) int {
	out, off := gear, math.Inf(1)
	ratio := float64(rings[gear/len(cogs)]) / float64(cogs[gear%len(cogs)])
	for i, r := range rings {
		for j, c := range cogs {
			if d := math.Abs(float64(r)/float64(c)/ratio - 1); i != gear/len(cogs) && d < off {
				out, off = i*len(cogs)+j, d
			}
		}
	}
	return out
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

// Where nobody says how a bicycle is ridden: the ratio that is liked best, and the factor either way
// within which two thirds of the time is spent (assumptions).
const (
	usualRatio = 2.0
	usualHalf  = 0.5 // in the ratio's logarithm
)

// Of crossed gears: a third of the cogs, and by how much another chainring's ratio may differ to do
// the same work (common practice, no published source).
const (
	crossedThird = 3
	sameRatio    = 0.12
)

// UsualShares returns shares of time in the gears of chainrings and cogs by their teeth, smallest
// first, where nobody says how they are ridden: log-normal in the ratio, about 2 or the middle gear
// where there is no such gear. Spare gears have none. They sum to 1.
func UsualShares(rings, cogs []int) []float64 {
	var w []float64
	lo, hi := float64(rings[0])/float64(cogs[len(cogs)-1]), float64(rings[len(rings)-1])/float64(cogs[0])
	about := usualRatio
	if about < lo || about > hi {
		about = math.Sqrt(lo * hi)
	}
	spare := Spare(rings, cogs)
	for i, r := range rings {
		for j, c := range cogs {
			x := math.Log(float64(r)/float64(c)/about) / usualHalf
			if spare[i*len(cogs)+j] {
				w = append(w, 0)
				continue
			}
			w = append(w, elementary.Exp(-x*x/2))
		}
	}
	if err := Normalise(w); err != nil { // every gear is far off: none is left out of the middle
		return nil
	}
	return w
}

// Spare returns which gears are crossed, and another chainring has a gear of nearly their ratio: the
// innermost chainring with the outer third of the cogs, the outermost with the inner third.
func Spare(rings, cogs []int) []bool {
	out := make([]bool, len(rings)*len(cogs))
	third := len(cogs) / crossedThird
	for i, r := range rings {
		for j, c := range cogs {
			crossed := i == 0 && j < third || i == len(rings)-1 && j >= len(cogs)-third
			if len(rings) < 2 || !crossed {
				continue
			}
			for n, other := range rings {
				for _, k := range cogs {
					ratio := float64(other) * float64(c) / (float64(k) * float64(r))
					out[i*len(cogs)+j] = out[i*len(cogs)+j] || n != i && math.Abs(ratio-1) <= sameRatio
				}
			}
		}
	}
	return out
}
