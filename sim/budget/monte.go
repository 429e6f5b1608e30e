package budget

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"sort"
	"sync"
	"sync/atomic"
)

// ErrStopped reports a run that was stopped early; what was drawn by then is whole.
var ErrStopped = errors.New("budget: stopped early")

// ErrCannot is what a model's error wraps when such inputs cannot be together. The
// draw is made again: the inputs' distribution is cut off there.
var ErrCannot = errors.New("budget: inputs that cannot be together")

// Sample holds the outputs of a Monte Carlo run: Y[k][j] is output j of draw k.
type Sample struct {
	Y       [][]float64
	Redrawn int // draws made again, because such inputs cannot be together
}

// block is how many draws a worker takes at a time.
const block = 64

// MonteCarlo draws the inputs n times and runs the model (JCGM 101, 5.9). Draw k
// uses its own stream of random numbers made from seed and k, so that the sample
// is the same, bit for bit, for any number of workers. Each worker has its own
// model from newModel. done, where it is not nil, counts the draws. When the context
// ends first, the draws so far, numbers 0 to some end, come with ErrStopped.
func MonteCarlo(ctx context.Context, newModel func() Model, in []Input, m, n int, seed uint64, workers int, done *atomic.Int64) (*Sample, error) {
	if n < 1 || workers < 1 {
		return nil, fmt.Errorf("%w: %d draws on %d workers", ErrInput, n, workers)
	}
	if _, err := values(in); err != nil {
		return nil, err
	}
	s := &Sample{Y: make([][]float64, n)}
	flat := make([]float64, n*m)
	errs := make([]error, (n+block-1)/block)
	again := make([]int, len(errs))
	next := make(chan int)
	var wg sync.WaitGroup
	for range workers {
		f := newModel()
		wg.Go(func() {
			x := make([]float64, len(in))
			for b := range next {
				for k := b * block; k < min(n, (b+1)*block); k++ {
					r := rand.New(rand.NewPCG(seed, uint64(k)))
					s.Y[k] = flat[k*m : (k+1)*m : (k+1)*m]
					tries, err := drawn(f, in, r, x, s.Y[k])
					again[b] += tries
					if err != nil && errs[b] == nil {
						errs[b] = fmt.Errorf("draw %d: %w", k, err)
					}
					if done != nil {
						done.Add(1)
					}
				}
			}
		})
	}
	begun := 0
	for begun < len(errs) && ctx.Err() == nil {
		next <- begun
		begun++
	}
	close(next)
	wg.Wait()
	for _, err := range errs {
		if err != nil {
			return nil, err
		}
	}
	for _, n := range again {
		s.Redrawn += n
	}
	if begun < len(errs) {
		s.Y = s.Y[:begun*block]
		return s, ErrStopped
	}
	return s, nil
}

// drawn draws inputs and computes their outputs, again while they cannot be together.
// It returns how often it drew again.
func drawn(f Model, in []Input, r *rand.Rand, x, y []float64) (again int, err error) {
	for again = 0; ; again++ {
		for i, p := range in {
			x[i] = p.draw(r)
		}
		if err = call(f, x, y); !errors.Is(err, ErrCannot) || again == mostRedraws {
			return again, err
		}
	}
}

// Interval returns the probabilistically symmetric interval of an output that
// holds a share p of the draws (JCGM 101, 7.7).
func (s *Sample) Interval(j int, p float64) (lo, hi float64) {
	v := s.column(j)
	n := len(v)
	q := int(p*float64(n) + 0.5)
	r := (n - q) / 2
	return v[min(r, n-1)], v[min(r+q, n-1)]
}

func (s *Sample) column(j int) []float64 {
	v := make([]float64, len(s.Y))
	for k, y := range s.Y {
		v[k] = y[j]
	}
	sort.Float64s(v)
	return v
}
