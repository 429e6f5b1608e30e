package sweep

import (
	"math"
	"slices"
)

// Effect is how much of a result's variance over the designs goes with one variable
// (B < 0), or with two of them together beyond what each does alone.
type Effect struct {
	A, B  int     // indices of variables
	Share float64 // of the variance, 0 to 1
}

// Variables with more than mostValues distinct values are looked at in mostGroups
// groups of equal size.
const (
	mostValues = 200
	mostGroups = 24
)

// Effects returns the main effects of variables x (a slice each, of one value a
// design) on a result z, and the interactions of pairs, largest first in each kind:
// Var(E[z|a])/Var z, the first-order sensitivity index, from means of groups of
// equal or neighbouring values, and for pairs that of both less those of each. On a
// full grid the means are exact; for samples what chance alone would give, (G-1)
// times the variance within groups, is taken off.
func Effects(x [][]float64, z []float64) (main, pairs []Effect) {
	total := variance(z)
	if !(total > 0) {
		return nil, nil
	}
	groups, sizes, cells := make([][]int, len(x)), make([]int, len(x)), 1.0
	for i := range x {
		groups[i], sizes[i] = group(x[i])
		cells *= float64(sizes[i])
	}
	grid := cells == float64(len(z))
	alone := make([]float64, len(x))
	for i := range x {
		alone[i] = between(groups[i], sizes[i], z, grid) / total
		main = append(main, Effect{i, -1, alone[i]})
	}
	for i := range x {
		for j := i + 1; j < len(x); j++ {
			both := make([]int, len(z))
			for k := range z {
				both[k] = groups[i][k]*sizes[j] + groups[j][k]
			}
			s := between(both, sizes[i]*sizes[j], z, grid)/total - alone[i] - alone[j]
			pairs = append(pairs, Effect{i, j, max(0, s)})
		}
	}
	larger := func(a, b Effect) int {
		if a.Share != b.Share {
			if a.Share > b.Share {
				return -1
			}
			return 1
		}
		return 0
	}
	slices.SortStableFunc(main, larger)
	slices.SortStableFunc(pairs, larger)
	return main, pairs
}

func variance(z []float64) float64 {
	mean := 0.0
	for _, v := range z {
		mean += v / float64(len(z))
	}
	sum := 0.0
	for _, v := range z {
		sum += (v - mean) * (v - mean)
	}
	return sum / float64(len(z))
}

// group numbers the groups of a variable's values from 0 on.
func group(x []float64) (of []int, n int) {
	sorted := slices.Clone(x)
	slices.Sort(sorted)
	edges := slices.Compact(slices.Clone(sorted))
	if len(edges) > mostValues {
		edges = edges[:0]
		for i := range mostGroups {
			edges = append(edges, sorted[i*len(sorted)/mostGroups])
		}
		edges = slices.Compact(edges)
	}
	of = make([]int, len(x))
	for i, v := range x {
		k, exact := slices.BinarySearch(edges, v)
		if !exact {
			k--
		}
		of[i] = k
	}
	return of, len(edges)
}

// between returns the variance of the groups' means.
func between(of []int, n int, z []float64, exact bool) float64 {
	sum, count := make([]float64, n), make([]float64, n)
	mean := 0.0
	for i, g := range of {
		sum[g] += z[i]
		count[g]++
		mean += z[i] / float64(len(z))
	}
	v, filled := 0.0, 0.0
	for g := range sum {
		if count[g] > 0 {
			m := sum[g]/count[g] - mean
			v += count[g] * m * m
			filled++
		}
	}
	within := 0.0
	for i, g := range of {
		d := z[i] - sum[g]/count[g]
		within += d * d
	}
	all := float64(len(z))
	if free := all - filled; !exact && free > 0 {
		v = max(0, v-(filled-1)*within/free)
	}
	return v / all
}

// Front returns the indices of designs that no other beats in two results, by the
// first. Up says for each whether more is better; NaN is never on the front.
func Front(a, b []float64, up [2]bool) []int {
	sign := func(more bool) float64 {
		if more {
			return -1
		}
		return 1
	}
	sa, sb := sign(up[0]), sign(up[1])
	var order []int
	for i := range a {
		if !math.IsNaN(a[i]) && !math.IsNaN(b[i]) {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(i, j int) int {
		for _, d := range [2]float64{sa * (a[i] - a[j]), sb * (b[i] - b[j])} {
			if d < 0 {
				return -1
			}
			if d > 0 {
				return 1
			}
		}
		return 0
	})
	best := math.Inf(1)
	var out []int
	for _, i := range order {
		if v := sb * b[i]; v < best {
			best = v
			out = append(out, i)
		}
	}
	return out
}
