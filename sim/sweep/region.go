package sweep

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"chainpath/sim/elementary"
)

// ErrGrid reports designs that are no grid, or a region that cannot be told of them.
var ErrGrid = errors.New("sweep: no region")

// Keep is a result that has to stay within bounds.
type Keep struct {
	Name        string
	X           []float64 // of every design; NaN: the design cannot be
	Least, Most float64   // -Inf and +Inf: none
	Chance      bool      // between designs the logarithm of the odds is taken as straight, else the number itself
}

// Region tells of every design of a grid how many of the things made to it, each off in every
// number by its tolerance, keep all results within their bounds.
type Region struct {
	Axes   [][]float64 // values of every number, rising
	Within []float64   // its tolerance: made evenly within that either way; 0: exactly
	All    [][]int     // of a number that is no choice its places that all have to be good (sizes of a frame); nil: a choice
	Keeps  []Keep
	Least  float64     // share that has to be good, 0 to 1
	Draws  int         // made of each design
	Off    [][]float64 // by draw and number, how far it is off, in tolerances, -1 to 1; Prepare fills it

	stride []int
	row    []int // of every place of the grid, the design there
	value  [][]float64
	bound  [][2]float64
}

// Prepare makes the region ready; x are the designs' numbers, by number and design. Errors wrap
// ErrGrid: designs that are no whole grid, or a tolerance without two values to go between.
func (r *Region) Prepare(x [][]float64) error {
	n := 1
	r.Axes = nil
	for _, of := range x {
		if slices.ContainsFunc(of, math.IsNaN) {
			return fmt.Errorf("%w: a design without one of its numbers", ErrGrid)
		}
		axis := slices.Clone(of)
		slices.Sort(axis)
		axis = slices.Compact(axis)
		r.Axes = append(r.Axes, axis)
		n *= len(axis)
	}
	if len(x) == 0 || n != len(x[0]) {
		return fmt.Errorf("%w: the designs are no grid: %d of them, %d places", ErrGrid, len(x[0]), n)
	}
	for d, w := range r.Within {
		if w > 0 && len(r.Axes[d]) < 2 {
			return fmt.Errorf("%w: a tolerance of number %d, which has one value", ErrGrid, d+1)
		}
	}
	if len(x) > mostSobol {
		return fmt.Errorf("%w: %d numbers, want at most %d", ErrGrid, len(x), mostSobol)
	}
	r.stride = make([]int, len(x))
	for d, s := len(x)-1, 1; d >= 0; d-- {
		r.stride[d] = s
		s *= len(r.Axes[d])
	}
	r.row = make([]int, n)
	for i := range r.row {
		r.row[i] = -1
	}
	for i := range x[0] {
		at := 0
		for d := range x {
			k, _ := slices.BinarySearch(r.Axes[d], x[d][i])
			at += k * r.stride[d]
		}
		if r.row[at] >= 0 {
			return fmt.Errorf("%w: designs %d and %d are the same", ErrGrid, r.row[at]+1, i+1)
		}
		r.row[at] = i
	}
	r.value, r.bound = make([][]float64, len(r.Keeps)), make([][2]float64, len(r.Keeps))
	for k := range r.Keeps {
		keep := &r.Keeps[k]
		r.bound[k] = [2]float64{keep.on(keep.Least), keep.on(keep.Most)}
		r.value[k] = make([]float64, n)
		for at, i := range r.row {
			r.value[k][at] = keep.on(keep.X[i])
		}
	}
	dots := newSobol(len(x), 1)
	r.Off = make([][]float64, r.Draws)
	for k := range r.Off {
		r.Off[k] = make([]float64, len(x))
		for d := range x {
			r.Off[k][d] = 2*dots.at(d, uint64(k)) - 1
		}
	}
	return nil
}

// on returns a number on the scale on which it is straight between designs.
func (k *Keep) on(x float64) float64 {
	if !k.Chance || math.IsInf(x, 0) {
		return x
	}
	return elementary.Logit(x, 1e-9)
}

// Made is what becomes of a design.
type Made struct {
	// Good is the share that keeps all bounds, kept off 0 and 1 by half a draw; NaN: the tolerances
	// reach beyond the grid.
	Good float64
	// Failed is of how many draws each bound does not hold, by Keeps; nil where Good is NaN.
	Failed []int
}

// At returns what becomes of the design at a place of the grid, given by its number along every axis.
func (r *Region) At(place []int) Made {
	return r.worst(slices.Clone(place), 0)
}

// worst takes the worst over axis d and further ones, where they are no choice.
func (r *Region) worst(place []int, d int) (out Made) {
	for d < len(r.All) && r.All[d] == nil {
		d++
	}
	if d == len(r.All) {
		return r.alone(place)
	}
	for n, i := range r.All[d] {
		place[d] = i
		m := r.worst(place, d+1)
		if math.IsNaN(m.Good) {
			return m
		}
		if n == 0 || m.Good < out.Good {
			out = m
		}
	}
	return out
}

// span returns the places of an axis between which things made to place i of it lie; ok is false
// where they go beyond.
func (r *Region) span(d, i int) (lo, hi int, ok bool) {
	a, w := r.Axes[d], r.Within[d]
	for lo = i; lo > 0 && a[lo] > a[i]-w+tiny; {
		lo--
	}
	for hi = i; hi < len(a)-1 && a[hi] < a[i]+w-tiny; {
		hi++
	}
	return lo, hi, a[lo] <= a[i]-w+tiny && a[hi] >= a[i]+w-tiny
}

// tiny is how far a value may be off its place by rounding.
const tiny = 1e-9

// alone is At of one place.
func (r *Region) alone(place []int) Made {
	n := len(r.Axes)
	lo, hi := make([]int, n), make([]int, n)
	at := 0
	for d := range place {
		var ok bool
		if lo[d], hi[d], ok = r.span(d, place[d]); !ok {
			return Made{Good: math.NaN()}
		}
		at += place[d] * r.stride[d]
	}
	m := Made{Failed: make([]int, len(r.Keeps))}
	var open []int // bounds that some of the corners keep and some do not
	for k := range r.Keeps {
		in, out := r.corners(k, lo, hi)
		switch {
		case !out: // between corners that keep it nothing fails
		case !in:
			m.Failed[k] = r.Draws
		default:
			open = append(open, k)
		}
	}
	bad := slices.Max(append([]int{0}, m.Failed...))
	if bad == 0 && len(open) > 0 {
		bad = r.draw(place, open, m.Failed)
	}
	m.Good = (float64(r.Draws-bad) + 0.5) / float64(r.Draws+1)
	return m
}

// corners reports whether some of the places in a box keep a bound, and whether some do not.
func (r *Region) corners(k int, lo, hi []int) (in, out bool) {
	at := slices.Clone(lo)
	for {
		i := 0
		for d := range at {
			i += at[d] * r.stride[d]
		}
		if r.keeps(k, r.value[k][i]) {
			in = true
		} else {
			out = true
		}
		d := len(at) - 1
		for ; d >= 0; d-- {
			if at[d]++; at[d] <= hi[d] {
				break
			}
			at[d] = lo[d]
		}
		if d < 0 || in && out {
			return in, out
		}
	}
}

func (r *Region) keeps(k int, x float64) bool { return x >= r.bound[k][0] && x <= r.bound[k][1] }

// draw makes things to a place, counts of how many each open bound does not hold, and returns of
// how many any does not.
func (r *Region) draw(place, open, failed []int) (bad int) {
	n := len(place)
	from, share := make([]int, n), make([]float64, n)
	for draw := range r.Draws {
		for d, i := range place {
			from[d], share[d] = i, 0
			if r.Within[d] > 0 {
				from[d], share[d] = below(r.Axes[d], r.made(d, i, draw))
			}
		}
		fails := false
		for _, k := range open {
			if !r.keeps(k, r.linear(r.value[k], from, share)) {
				failed[k]++
				fails = true
			}
		}
		if fails {
			bad++
		}
	}
	return bad
}

// made returns one number of a thing made to a place: the same draw is off alike everywhere.
func (r *Region) made(d, i, draw int) float64 {
	return r.Axes[d][i] + r.Within[d]*r.Off[draw][d]
}

// below returns the place below a value and how far it is to the next, 0 to 1.
func below(axis []float64, x float64) (from int, share float64) {
	from, _ = slices.BinarySearch(axis, x)
	from = min(max(from-1, 0), len(axis)-2)
	return from, min(max((x-axis[from])/(axis[from+1]-axis[from]), 0), 1)
}

// linear returns a number between places, straight along every axis; NaN beside a design that cannot
// be.
func (r *Region) linear(value []float64, from []int, share []float64) float64 {
	sum := 0.0
	for corner := range 1 << len(from) {
		w, at := 1.0, 0
		for d := range from {
			if corner>>d&1 == 1 {
				w, at = w*share[d], at+(from[d]+1)*r.stride[d]
			} else {
				w, at = w*(1-share[d]), at+from[d]*r.stride[d]
			}
			if w == 0 {
				break
			}
		}
		if w > 0 {
			sum += w * value[at]
		}
	}
	return sum
}
