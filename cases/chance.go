package cases

import (
	"sort"
	"sync"

	"gonum.org/v1/gonum/stat"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// shippedSets are the sets that chances are means over.
var shippedSets = sync.OnceValues(func() ([][]float64, error) { return DecodeSets(setsData) })

// Posterior returns quantiles (shares 0 to 1) of every free number over the shipped sets,
// in the order and units of FreeNumbers. The error wraps ErrSets.
func Posterior(shares [3]float64) ([][3]float64, error) {
	sets, err := shippedSets()
	if err != nil {
		return nil, err
	}
	out := make([][3]float64, len(freeNumbers))
	values := make([]float64, len(sets))
	for i := range freeNumbers {
		for k, set := range sets {
			values[k] = freeNumbers[i].At(set[i])
		}
		sort.Float64s(values)
		for j, p := range shares {
			out[i][j] = stat.Quantile(p, stat.Empirical, values, nil)
		}
	}
	return out, nil
}

// Chances returns the chances of every gear of a case, rings and cogs from small to
// large: means over the sets of free numbers, learned or else shipped, with the readings' tolerances
// and the links' drawn along. The same case gives the same bits on any number of cores and
// wherever the compiler does not fuse a product into a sum: on amd64 and in a browser; on
// arm64, where it does, the printed digits of the golden cases are the same.
// Errors are *Error, wrap ErrSets, or come from package sim.
func (c *Case) Chances() ([]sim.Chances, error) {
	all, err := c.ChancesAlong([]float64{0})
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// ChancesAlong returns the chances of every gear with the rings moved outboard by each of
// the shifts, mm: the same draws everywhere, so that shifts can be compared.
func (c *Case) ChancesAlong(shifts []float64) ([][]sim.Chances, error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	return v.Means(v.Along(shifts))
}

// Foresee returns chances with the sizes beside them, of every gear. Errors are as of
// Chances.
func (c *Case) Foresee() ([]judge.Foreseen, error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	return v.Foresee(v.Own())
}

// draw computes what every set gives of the case with its rings moved by each of the shifts.
func (c *Case) draw(shifts []float64) ([]judge.Draw, error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	return v.BySet(v.Along(shifts))
}

// eachOf does something for every number below n, on all cores, until the case is stopped;
// start makes what a goroutine does it with. Errors are as of Draws.
func (c *Case) eachOf(n int, start func(d *Drawn) func(k int)) error {
	return judge.Each(n, c.Stopped, func() (func(k int), error) {
		d, err := c.Draws()
		if err != nil {
			return nil, err
		}
		return start(d), nil
	})
}

// readingStream sets the random stream of readings apart from others of the same seed.
const readingStream = 20
