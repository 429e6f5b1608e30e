package cases

import (
	"runtime"
	"sort"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/stat"

	"chainpath/sim"
	"chainpath/sim/await"
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
	return v.Means(v.along(shifts))
}

// Size is a concern's size in one gear over the drawn sets: its 5, 50 and 95 % points.
type Size [3]float64

// Foreseen is what the drawn sets foretell of one gear.
type Foreseen struct {
	Chances sim.Chances
	Sizes   [sim.NumConcerns]Size // of what Chances has
}

// Foresee returns chances with the sizes beside them, of every gear. Errors are as of
// Chances.
func (c *Case) Foresee() ([]Foreseen, error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	return v.foresee()
}

// draw computes what every set gives of the case with its rings moved by each of the shifts.
func (c *Case) draw(shifts []float64) ([]drawn, error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	return v.bySet(v.along(shifts))
}

// eachOf does something for every number below n, on all cores, until the case is stopped;
// start makes what a goroutine does it with. Errors are as of Draws.
func (c *Case) eachOf(n int, start func(d *Drawn) func(k int)) error {
	var next atomic.Int64
	var wg await.Group
	for range min(n, runtime.GOMAXPROCS(0)) {
		d, err := c.Draws()
		if err != nil {
			return err
		}
		do := start(d)
		wg.Go(func() {
			for k := int(next.Add(1)) - 1; k < n && c.Stopped() == nil; k = int(next.Add(1)) - 1 {
				do(k)
			}
		})
	}
	wg.Wait()
	return c.Stopped()
}

// drawn is what one set gives: chances by shift and gear, or why it cannot be.
type drawn struct {
	chances [][]sim.Chances
	lines   [2]float64 // means of the rings and of the cogs as drawn, before a shift, mm
	read    []float64  // the readings as drawn
	err     error
}

// readingStream sets the random stream of readings apart from others of the same seed.
const readingStream = 20

// settled returns a mean chance as it is told.
func settled(k sim.Concern, p float64) float64 {
	switch {
	case p < 0: // there is no such thing
		return -1
	case k == sim.DoesNotClose && (p == 0 || p == 1):
		return p // geometry beyond every doubt: in every draw alike
	}
	return OffTheEnds(p)
}
