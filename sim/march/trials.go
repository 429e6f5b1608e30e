package march

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync/atomic"
)

// Trials is what many marches of one gear came to.
type Trials struct {
	Runs    int
	Turns   float64   // each, unless it dropped before
	Angles  []float64 // of the cranks at the drop, rad, by trial; +Inf: none
	Median  float64   // angle by which half of those that ran have dropped, rad; +Inf: fewer did
	Results []Fate    // by trial
	Cannot  []bool    // by trial: drawn dimensions that cannot be, or in which the gear does not close
}

// Maker makes the gear of a trial ready: a bicycle of its own for every number.
// A gear's error wraps ErrCannot where what was drawn cannot be.
type Maker func(n uint64) (*Drive, error)

// ErrCannot reports a draw that cannot be.
var ErrCannot = errors.New("march: a draw that cannot be")

// ErrStopped reports trials that were stopped early.
var ErrStopped = errors.New("march: stopped early")

// ended is a trial at its end.
type ended struct {
	trial  int
	result Fate
	err    error
}

// Try runs trials 0 to n-1 of a seed, on every core, and counts them in done, unless that
// is nil; maker is called once for each worker. What comes out depends on the seed and
// the gears alone. Draws that cannot be are left out, unless they are more than half.
// When the context ends first, the trials in front of the first that is not at its end
// come with ErrStopped: taking all that are would count drops, which end early, too
// often. Errors wrap ErrMarch or are the makers'.
func Try(ctx context.Context, seed uint64, n int, turns float64, maker func() (Maker, error), done *atomic.Int64) (Trials, error) {
	workers := min(n, runtime.GOMAXPROCS(0))
	makers := make([]Maker, workers)
	for w := range makers {
		var err error
		if makers[w], err = maker(); err != nil {
			return Trials{}, err
		}
	}
	ends := make(chan ended, n)
	var next atomic.Int64
	for _, ready := range makers {
		go func() {
			for ctx.Err() == nil {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				e := ended{trial: i}
				var m *Drive
				if m, e.err = ready(uint64(i)); e.err == nil {
					e.result, e.err = m.Run(seed, uint64(i), Observer{})
				}
				if done != nil {
					done.Add(1)
				}
				ends <- e
			}
		}()
	}
	t := Trials{Runs: n, Turns: turns, Angles: make([]float64, n), Results: make([]Fate, n), Cannot: make([]bool, n)}
	errs, at := make([]error, n), make([]bool, n)
	for range n {
		select {
		case e := <-ends:
			t.Results[e.trial], errs[e.trial], at[e.trial] = e.result, e.err, true
			continue
		case <-ctx.Done():
		}
		break
	}
	stopped := slices.Index(at, false)
	if stopped < 0 {
		return t, t.count(errs)
	}
	t.Runs, t.Angles, t.Results, t.Cannot = stopped, t.Angles[:stopped], t.Results[:stopped], t.Cannot[:stopped]
	if err := t.count(errs[:stopped]); err != nil {
		return t, err
	}
	return t, ErrStopped
}

// count puts the trials' ends together.
func (t *Trials) count(errs []error) error {
	cannot := 0
	for i, err := range errs {
		t.Angles[i] = math.Inf(1)
		switch {
		case errors.Is(err, ErrCannot):
			t.Cannot[i] = true
			if cannot++; 2*cannot > t.Runs {
				return fmt.Errorf("more than half of %d draws: %w", t.Runs, err)
			}
		case err != nil:
			return err
		case t.Results[i].Dropped:
			t.Angles[i] = t.Results[i].Drop.Angle
		}
	}
	var ran []float64
	for i, a := range t.Angles {
		if !t.Cannot[i] {
			ran = append(ran, a)
		}
	}
	t.Median = median(ran)
	return nil
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

// Of returns how many trials ran.
func (t *Trials) Of() int {
	n := 0
	for _, c := range t.Cannot {
		if !c {
			n++
		}
	}
	return n
}

// By returns how many trials dropped within a crank angle, rad. That is no chance:
// the march lacks what the package comment lists.
func (t *Trials) By(angle float64) int {
	n := 0
	for _, a := range t.Angles {
		if a <= angle {
			n++
		}
	}
	return n
}

// Spread is how trials of the same set of free numbers went, trial n being of the set
// n modulo their number.
type Spread struct{ Sets, All, Some, None int }

// Among returns in how many of the sets every trial, some and no trial dropped.
func (t *Trials) Among(sets int) Spread {
	ran, dropped := make([]int, sets), make([]int, sets)
	for i, a := range t.Angles {
		if t.Cannot[i] {
			continue
		}
		ran[i%sets]++
		if !math.IsInf(a, 1) {
			dropped[i%sets]++
		}
	}
	var s Spread
	for k := range ran {
		switch {
		case ran[k] == 0:
			continue
		case dropped[k] == 0:
			s.None++
		case dropped[k] == ran[k]:
			s.All++
		default:
			s.Some++
		}
		s.Sets++
	}
	return s
}
