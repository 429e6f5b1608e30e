// Package ensemble weights drawn sets of unknown numbers by how well each foretells
// what was observed, and draws equally weighted sets from them. It knows no model.
//
// Method: importance sampling from the prior with weights L^τ (tempering); τ in
// (0, 1] is the largest with which the effective size, (Σw)²/Σw² (Kish 1965, Survey
// Sampling, from memory), is at least what is asked. Sets are drawn by systematic
// resampling, so that the same weights always give the same sets.
package ensemble

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"chainpath/sim/elementary"
)

// ErrCollapsed reports that a few draws hold all the weight.
var ErrCollapsed = errors.New("ensemble: weights collapsed")

// Weighted are draws with weights that sum to 1.
type Weighted struct {
	Weight []float64
	Temper float64 // τ
	Size   float64 // effective size
}

// EffectiveSize returns (Σw)²/Σw², 0 for no weight.
func EffectiveSize(w []float64) float64 {
	s, q := 0.0, 0.0
	for _, x := range w {
		s += x
		q += x * x
	}
	if !(q > 0) {
		return 0
	}
	return s * s / q
}

// weights returns normalised weights of log likelihoods to the power of temper.
func weights(logs []float64, temper float64) []float64 {
	most := math.Inf(-1)
	for _, l := range logs {
		most = max(most, l)
	}
	w := make([]float64, len(logs))
	sum := 0.0
	for i, l := range logs {
		w[i] = elementary.Exp(temper * (l - most))
		sum += w[i]
	}
	for i := range w {
		w[i] /= sum
	}
	return w
}

// Weigh weights draws by their log likelihoods, tempered so that the effective size is
// at least size. The error wraps ErrCollapsed where fewer draws than that have a
// likelihood at all, or where one is not a number.
func Weigh(logs []float64, size float64) (*Weighted, error) {
	alive := 0
	for i, l := range logs {
		if math.IsNaN(l) || math.IsInf(l, 1) {
			return nil, fmt.Errorf("%w: log likelihood %g of draw %d", ErrCollapsed, l, i)
		}
		if !math.IsInf(l, -1) {
			alive++
		}
	}
	if float64(alive) < size {
		return nil, fmt.Errorf("%w: %d of %d draws can be, want at least %g", ErrCollapsed, alive, len(logs), size)
	}
	lo, hi := 0.0, 1.0
	if EffectiveSize(weights(logs, 1)) >= size {
		lo = 1
	}
	for i := 0; i < 60 && lo < 1; i++ {
		mid := (lo + hi) / 2
		if EffectiveSize(weights(logs, mid)) >= size {
			lo = mid
		} else {
			hi = mid
		}
	}
	w := weights(logs, lo)
	return &Weighted{Weight: w, Temper: lo, Size: EffectiveSize(w)}, nil
}

// Mixed returns weights over the same draws that give each of some weights an even share: ways of
// judging that were weighed apart. Its temper is the least of theirs.
func Mixed(of ...*Weighted) *Weighted {
	m := &Weighted{Weight: make([]float64, len(of[0].Weight)), Temper: 1}
	for _, w := range of {
		for i, x := range w.Weight {
			m.Weight[i] += x / float64(len(of))
		}
		m.Temper = min(m.Temper, w.Temper)
	}
	m.Size = EffectiveSize(m.Weight)
	return m
}

// Draw returns the numbers of n draws, each with a chance in proportion to its weight, by
// systematic resampling from the middle of each n-th.
func (w *Weighted) Draw(n int) []int {
	out := make([]int, 0, n)
	sum, i := 0.0, 0
	for k := range n {
		u := (float64(k) + 0.5) / float64(n)
		for i < len(w.Weight)-1 && sum+w.Weight[i] < u {
			sum += w.Weight[i]
			i++
		}
		out = append(out, i)
	}
	return out
}

// weighed is a value beside its weight; those alike stay in the order they were in.
type weighed struct {
	value, weight float64
	at            int
}

// Quantiles returns the weighted quantiles of values at the shares q in [0, 1], which rise.
func (w *Weighted) Quantiles(values []float64, q ...float64) []float64 {
	sorted := make([]weighed, len(values))
	for i, x := range values {
		sorted[i] = weighed{x, w.Weight[i], i}
	}
	slices.SortFunc(sorted, func(a, b weighed) int {
		switch {
		case a.value < b.value:
			return -1
		case a.value > b.value:
			return 1
		}
		return a.at - b.at
	})
	out := make([]float64, 0, len(q))
	sum := 0.0
	for _, x := range sorted {
		sum += x.weight
		for len(out) < len(q) && sum >= q[len(out)] {
			out = append(out, x.value)
		}
	}
	for len(out) < len(q) { // a sum of weights that rounds to less than 1
		out = append(out, sorted[len(sorted)-1].value)
	}
	return out
}
