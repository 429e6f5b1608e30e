package march

import (
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"gonum.org/v1/gonum/stat/distuv"
)

// Trials is what many marches of one gear came to.
type Trials struct {
	Runs    int
	Turns   float64   // each, unless it dropped before
	Angles  []float64 // of the cranks at the drop, rad, by trial; +Inf: none
	Median  float64   // angle by which half of all trials have dropped, rad; +Inf: fewer did
	Results []Result  // by trial
}

// Try runs trials 0 to n-1 of a seed, on every core. What comes out depends on the
// seed alone. Errors wrap ErrMarch.
func (m *Gear) Try(seed uint64, n int) (Trials, error) {
	t := Trials{Runs: n, Turns: m.set.Turns, Angles: make([]float64, n), Results: make([]Result, n)}
	errs := make([]error, n)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		wg.Go(func() {
			for {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				t.Results[i], errs[i] = m.Run(seed, uint64(i), Report{})
			}
		})
	}
	wg.Wait()
	for i, err := range errs {
		if err != nil {
			return t, err
		}
		t.Angles[i] = math.Inf(1)
		if t.Results[i].Dropped {
			t.Angles[i] = t.Results[i].Drop.Angle
		}
	}
	t.Median = median(t.Angles)
	return t, nil
}

// median returns the least angle by which half of the trials have dropped.
func median(angles []float64) float64 {
	sorted := slices.Clone(angles)
	slices.Sort(sorted)
	if len(sorted) == 0 {
		return math.Inf(1)
	}
	return sorted[(len(sorted)-1)/2]
}

// Chance is a probability with its 95 % confidence interval.
type Chance struct {
	Drops, Of int
	P, Lo, Hi float64
}

// By returns the chance of a drop within a crank angle (rad): the share of trials
// that dropped by then, with the interval of Clopper and Pearson (Biometrika 26,
// 1934), which never claims more than it covers.
func (t *Trials) By(angle float64) Chance {
	c := Chance{Of: t.Runs}
	for _, a := range t.Angles {
		if a <= angle {
			c.Drops++
		}
	}
	c.P = float64(c.Drops) / float64(c.Of)
	c.Lo, c.Hi = interval(c.Drops, c.Of, 0.95)
	return c
}

// interval is the Clopper-Pearson interval of k in n.
func interval(k, n int, level float64) (lo, hi float64) {
	a := (1 - level) / 2
	lo, hi = 0, 1
	if k > 0 {
		lo = distuv.Beta{Alpha: float64(k), Beta: float64(n-k) + 1}.Quantile(a)
	}
	if k < n {
		hi = distuv.Beta{Alpha: float64(k) + 1, Beta: float64(n - k)}.Quantile(1 - a)
	}
	return lo, hi
}
