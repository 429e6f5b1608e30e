package score

import (
	"fmt"
	"math/rand/v2"
	"slices"
)

// redraws is how often groups are drawn again for an interval.
const redraws = 4000

// Interval is a number with the range that holds 95 % of it over groups drawn again.
type Interval struct{ Value, Low, Up float64 }

// Against returns by how much the mean log loss of other chances, of the same outcomes, lies above
// that of the predictions, and its range with whole groups drawn again, with putting back, since
// outcomes of one group are not independent (the bootstrap's percentile range: Efron and
// Tibshirani, An Introduction to the Bootstrap, 1993, ch. 13, from memory). The same seed gives the
// same range. Errors wrap ErrInput.
func Against(o []Prediction, other []float64, seed uint64) (Interval, error) {
	if err := validate(o); err != nil {
		return Interval{}, err
	}
	if len(other) != len(o) {
		return Interval{}, fmt.Errorf("%w: %d other chances of %d outcomes", ErrInput, len(other), len(o))
	}
	at, sums, counts := map[string]int{}, []float64{}, []float64{}
	all := 0.0
	for i, x := range o {
		if !chance(other[i]) {
			return Interval{}, fmt.Errorf("%w: other chance %g of outcome %d, want 0 to 1", ErrInput, other[i], i)
		}
		g, ok := at[x.Group]
		if !ok {
			g = len(sums)
			at[x.Group], sums, counts = g, append(sums, 0), append(counts, 0)
		}
		more := LogLoss(other[i], x.Happened) - LogLoss(x.P, x.Happened)
		sums[g] += more
		counts[g]++
		all += more
	}
	rng := rand.New(rand.NewPCG(seed, 27))
	means := make([]float64, redraws)
	for k := range means {
		sum, n := 0.0, 0.0
		for range sums {
			g := rng.IntN(len(sums))
			sum, n = sum+sums[g], n+counts[g]
		}
		means[k] = sum / n
	}
	slices.Sort(means)
	return Interval{all / float64(len(o)), means[redraws/40], means[redraws-1-redraws/40]}, nil
}
