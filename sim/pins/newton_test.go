package pins

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"
)

// The independent answer is gonum's Cholesky factorisation of the full matrix.
func TestNewtonAgainstCholesky(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 30).Draw(t, "n")
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		h0, h1, h2, g, d := make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n), make([]float64, n)
		full := mat.NewSymDense(n, nil)
		for i := range n {
			h0[i], h1[i], h2[i], g[i] = f(4.5, 9, "h0"), f(-1, 1, "h1"), f(-1, 1, "h2"), f(-5, 5, "g")
			full.SetSym(i, i, h0[i])
			if i+1 < n {
				full.SetSym(i, i+1, h1[i])
			}
			if i+2 < n {
				full.SetSym(i, i+2, h2[i])
			}
		}
		var c mat.Cholesky
		require.True(t, c.Factorize(full))
		var want mat.VecDense
		require.NoError(t, c.SolveVecTo(&want, mat.NewVecDense(n, append([]float64(nil), g...))))
		slope, longest := newton(h0, h1, h2, g, d)
		wantSlope, wantLongest := 0.0, 0.0
		for i := range n {
			x := -want.AtVec(i)
			assert.InDelta(t, x, d[i], 1e-12)
			wantSlope += x * g[i]
			wantLongest = math.Max(wantLongest, math.Abs(x))
		}
		assert.InDelta(t, wantSlope, slope, 1e-10)
		assert.InDelta(t, wantLongest, longest, 1e-12)
	})
}
