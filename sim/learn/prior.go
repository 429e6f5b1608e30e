package learn

import (
	"math"
	"slices"

	"chainpath/sim/infer"
)

// priorKeep is how much of the covariances of sets the prior has: what a few hundred sets have
// by chance is shrunk.
const priorKeep = 0.9

// prior draws sets of free numbers from standard normals, alike to some sets: their probits'
// correlations, shrunk, and every number's own quantiles; those of a block with two branches by the
// branch, since each was weighed apart.
type prior struct {
	sorted [][2][]float64 // shares by number and branch, rising
	branch []int          // of every number, the one that says which; itself: there is none
	joint  infer.Correlation
}

// newPrior returns that of some sets of numbers of which branch says which one says which way each
// is judged by; itself: there is none.
func newPrior(sets [][]float64, branch []int) *prior {
	n := len(branch)
	p := &prior{sorted: make([][2][]float64, n), branch: branch}
	probits := make([][]float64, n)
	for i, by := range branch {
		probits[i] = make([]float64, len(sets))
		for side := range 2 {
			var own []float64
			var at []int
			for k, s := range sets {
				if by == i || (s[by] >= 0.5) == (side == 1) {
					p.sorted[i][side] = append(p.sorted[i][side], s[i])
					own, at = append(own, infer.Probit(min(max(s[i], 0.002), 0.998))), append(at, k)
				}
			}
			slices.Sort(p.sorted[i][side])
			standardize(own)
			for j, k := range at {
				probits[i][k] = own[j]
			}
		}
		for side := range 2 { // all of one branch
			if len(p.sorted[i][side]) < 2 {
				p.sorted[i][side] = p.sorted[i][1-side]
			}
		}
	}
	p.joint = infer.NewCorrelation(n, func(i, j int) float64 {
		if i == j {
			return 1
		}
		sum := 0.0
		for k, x := range probits[i] {
			sum += float64(x * probits[j][k])
		}
		return priorKeep * sum / float64(len(sets))
	})
	return p
}

// standardize gives values the mean 0 and the variance 1; those all alike become 0.
func standardize(x []float64) {
	mean, v := 0.0, 0.0
	for _, a := range x {
		mean += a / float64(len(x))
	}
	for _, a := range x {
		v += float64((a-mean)*(a-mean)) / float64(len(x))
	}
	if v < 1e-12 {
		v = math.Inf(1)
	}
	for i := range x {
		x[i] = (x[i] - mean) / math.Sqrt(v)
	}
}

// set fills shares from standard normals.
func (p *prior) set(to, normals []float64) {
	p.joint.Correlate(to, normals[:len(to)])
	for i, y := range to {
		to[i] = infer.Normal(y)
	}
	for i, by := range p.branch { // the branches first
		if by == i {
			to[i] = quantile(p.sorted[i][0], to[i])
		}
	}
	for i, by := range p.branch {
		if by != i {
			side := 0
			if to[by] >= 0.5 {
				side = 1
			}
			to[i] = quantile(p.sorted[i][side], to[i])
		}
	}
}

// quantile returns the quantile of rising values at a share, straight between them.
func quantile(sorted []float64, u float64) float64 {
	x := u*float64(len(sorted)) - 0.5
	i := min(max(int(x), 0), len(sorted)-2)
	return sorted[i] + min(max(x-float64(i), 0), 1)*(sorted[i+1]-sorted[i])
}
