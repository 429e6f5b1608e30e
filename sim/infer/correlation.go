package infer

import "math"

// Correlation makes normals of a covariance from standard ones: its lower Cholesky factor, row
// by row.
type Correlation []float64

// NewCorrelation factorizes a positive definite covariance of n numbers, of which the lower half
// is asked for. A pivot that rounding leaves below 1e-12 counts as that.
func NewCorrelation(n int, cov func(i, j int) float64) Correlation {
	l := make(Correlation, 0, n*(n+1)/2)
	for i := range n {
		own := len(l)
		for j := range i + 1 {
			other := l[j*(j+1)/2:]
			sum := cov(i, j)
			for k := range j {
				sum -= float64(l[own+k] * other[k])
			}
			if i == j {
				l = append(l, math.Sqrt(max(sum, 1e-12)))
			} else {
				l = append(l, sum/other[j])
			}
		}
	}
	return l
}

// Correlate fills correlated normals from standard ones.
func (l Correlation) Correlate(to, standard []float64) {
	row := l
	for i := range to {
		sum := 0.0
		for j, x := range row[:i+1] {
			sum += float64(x * standard[j])
		}
		row = row[i+1:]
		to[i] = sum
	}
}
