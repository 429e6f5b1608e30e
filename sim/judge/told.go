package judge

import (
	"sort"

	"gonum.org/v1/gonum/stat"

	"chainpath/sim"
)

// Sets is how many sets of free numbers are shipped.
const Sets = 200

// OffTheEnds keeps a mean over the shipped sets off 0 and 1, because sets that all agree
// do not make sure: by a fifth of a set, about as often as a gear of the field panel goes
// otherwise that they agree on.
func OffTheEnds(mean float64) float64 { return (mean*Sets + 0.2) / (Sets + 0.4) }

// Settled returns a mean chance as it is told.
func Settled(k sim.Concern, p float64) float64 {
	switch {
	case p < 0: // there is no such thing
		return -1
	case k == sim.DoesNotClose && (p == 0 || p == 1):
		return p // geometry beyond every doubt: in every draw alike
	}
	return OffTheEnds(p)
}

// PointsOf returns the 5, 50 and 95 % points of values, which it sorts.
func PointsOf(values []float64) (s Size) {
	sort.Float64s(values)
	for i, p := range [...]float64{0.05, 0.5, 0.95} {
		s[i] = stat.Quantile(p, stat.Empirical, values, nil)
	}
	return s
}
