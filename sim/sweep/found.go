package sweep

import (
	"cmp"
	"math"
	"runtime"
	"slices"
	"sync/atomic"

	"chainpath/sim/await"
)

// Found is where a region lies, over the numbers that are a choice, by their places in Axes.
type Found struct {
	Choice  []int     // those numbers
	Good    []float64 // of every place over them, the last changing fastest; NaN: not judged
	Judged  int
	Inside  int       // of those, places whose share is at least what is asked for
	Best    []int     // the place farthest inside, of every number, nil where none is judged; with none inside, that of the largest share
	Of      Made      // that one's
	Sides   [][2]Side // of every number of Choice: to less, to more
	shape   []int
	strides []int
}

// Side is where a region ends, going from its best place along one number.
type Side struct {
	At   float64 // the last value inside
	Open bool    // it goes on to the last value that is judged
	By   int     // of Keeps, what fails oftenest just beyond; not set where Open
}

// Find judges every place, on all cores, until stopped tells otherwise.
func (r *Region) Find(stopped func() error) (*Found, error) {
	f := &Found{}
	n := 1
	for d := range r.Axes {
		if r.All[d] == nil {
			f.Choice, f.shape = append(f.Choice, d), append(f.shape, len(r.Axes[d]))
			n *= len(r.Axes[d])
		}
	}
	f.strides = make([]int, len(f.shape))
	for d, s := len(f.shape)-1, 1; d >= 0; d-- {
		f.strides[d] = s
		s *= f.shape[d]
	}
	f.Good = make([]float64, n)
	const block = 256
	var next atomic.Int64
	var wg await.Group
	for range runtime.GOMAXPROCS(0) {
		wg.Go(func() {
			for b := int(next.Add(1)) - 1; b*block < n && stopped() == nil; b = int(next.Add(1)) - 1 {
				for i := b * block; i < min((b+1)*block, n); i++ {
					f.Good[i] = r.At(f.place(r, i)).Good
				}
			}
		})
	}
	wg.Wait()
	if err := stopped(); err != nil {
		return nil, err
	}
	f.best(r)
	f.sides(r)
	return f, nil
}

// Along returns where a place over the numbers of choice stands along the k-th of them.
func (f *Found) Along(i, k int) int { return i / f.strides[k] % f.shape[k] }

// place returns a place of all numbers from its number over those of choice.
func (f *Found) place(r *Region, i int) []int {
	out := make([]int, len(r.Axes))
	for k, d := range f.Choice {
		out[d] = f.Along(i, k)
	}
	return out
}

// best finds the place inside that is the most steps along the axes from any that is not.
func (f *Found) best(r *Region) {
	depth := make([]int, len(f.Good))
	var list []int
	for i, good := range f.Good {
		if !math.IsNaN(good) {
			f.Judged++
		}
		if good >= r.Least {
			f.Inside++
			if depth[i] = math.MaxInt; f.rim(i) {
				depth[i] = 1
				list = append(list, i)
			}
		} else {
			list = append(list, i)
		}
	}
	slices.SortStableFunc(list, func(a, b int) int { return depth[a] - depth[b] })
	for k := 0; k < len(list); k++ {
		i := list[k]
		f.beside(i, func(j int) {
			if depth[j] > depth[i]+1 {
				depth[j] = depth[i] + 1
				list = append(list, j)
			}
		})
	}
	// Of several as deep, the one nearest to the middle of them; with none inside, the largest share.
	deepest, share := -1, math.Inf(-1)
	for i, good := range f.Good {
		if !math.IsNaN(good) {
			deepest = max(deepest, depth[i])
			share = max(share, good)
		}
	}
	if deepest < 0 {
		return
	}
	var ties []int
	middle := make([]float64, len(f.shape))
	for i, good := range f.Good {
		if depth[i] == deepest && (deepest > 0 && !math.IsNaN(good) || good == share) {
			ties = append(ties, i)
			for k := range middle {
				middle[k] += float64(f.Along(i, k))
			}
		}
	}
	far := func(i int) (sum float64) {
		for k := range middle {
			off := float64(i/f.strides[k]%f.shape[k]) - middle[k]/float64(len(ties))
			sum += off * off
		}
		return sum
	}
	best := slices.MinFunc(ties, func(i, j int) int { return cmp.Compare(far(i), far(j)) })
	f.Best = f.place(r, best)
	f.Of = r.At(f.Best)
}

// rim reports whether a place is at an end of an axis.
func (f *Found) rim(i int) bool {
	for k := range f.shape {
		if at := f.Along(i, k); f.shape[k] > 1 && (at == 0 || at == f.shape[k]-1) {
			return true
		}
	}
	return false
}

// beside visits the places next to one along the axes.
func (f *Found) beside(i int, visit func(j int)) {
	for k := range f.shape {
		at := f.Along(i, k)
		if at > 0 {
			visit(i - f.strides[k])
		}
		if at < f.shape[k]-1 {
			visit(i + f.strides[k])
		}
	}
}

// sides finds where the region ends about its best place, and by what.
func (f *Found) sides(r *Region) {
	if f.Inside == 0 {
		return
	}
	for _, d := range f.Choice {
		var ends [2]Side
		for way, step := range [2]int{-1, 1} {
			place := slices.Clone(f.Best)
			e := Side{At: r.Axes[d][place[d]], Open: true}
			for place[d] += step; place[d] >= 0 && place[d] < len(r.Axes[d]); place[d] += step {
				m := r.At(place)
				if math.IsNaN(m.Good) {
					break
				}
				if m.Good < r.Least {
					e.Open, e.By = false, slices.Index(m.Failed, slices.Max(m.Failed))
					break
				}
				e.At = r.Axes[d][place[d]]
			}
			ends[way] = e
		}
		f.Sides = append(f.Sides, ends)
	}
}
