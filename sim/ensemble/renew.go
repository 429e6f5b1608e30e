package ensemble

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/stat"
)

// Renewal draws sets anew from equally weighted ones, which are points of the unit cube:
// each is drawn towards the mean, by a share keep of its way left, and moved by a normal
// kernel of variance (1−keep²)·V, V that of the sets, so that every number keeps its mean
// and variance (Liu and West 2001, in Sequential Monte Carlo Methods in Practice, from
// memory). What leaves the cube is reflected into it. The kernels of different numbers
// are independent. Reflection costs a number that is even over its whole range some of
// its variance: less than 6 % at a keep of 0.98, as tested.
type Renewal struct {
	sets       [][]float64
	keep       float64
	mean, wide []float64
}

// NewRenewal prepares sets of one length, at least two, for a keep in (0, 1].
func NewRenewal(sets [][]float64, keep float64) *Renewal {
	n := len(sets[0])
	r := &Renewal{sets: sets, keep: keep, mean: make([]float64, n), wide: make([]float64, n)}
	column := make([]float64, len(sets))
	for i := range n {
		for k, s := range sets {
			column[k] = s[i]
		}
		mean, v := stat.PopMeanVariance(column, nil)
		r.mean[i], r.wide[i] = mean, math.Sqrt(v*(1-keep*keep))
	}
	return r
}

// Set returns set k: a renewed copy of set k modulo their number.
func (r *Renewal) Set(k int, rng *rand.Rand) []float64 {
	from := r.sets[k%len(r.sets)]
	out := make([]float64, len(from))
	for i, x := range from {
		out[i] = reflect(r.keep*x + (1-r.keep)*r.mean[i] + r.wide[i]*rng.NormFloat64())
	}
	return out
}

// reflect folds a number into 0 to 1.
func reflect(x float64) float64 {
	x = math.Abs(math.Mod(x, 2))
	if x > 1 {
		return 2 - x
	}
	return x
}
