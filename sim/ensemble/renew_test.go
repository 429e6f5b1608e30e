package ensemble

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"
)

// Mean and variance stay (Liu and West 2001), and no two sets are alike.
func TestRenewalKeepsMeanAndVariance(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	sets := make([][]float64, 200)
	for k := range sets {
		sets[k] = []float64{0.3 + 0.4*rng.Float64(), rng.Float64()}
	}
	r := NewRenewal(sets, 0.98)
	const n = 20000
	seen := map[float64]bool{}
	for i := range 2 {
		var old, renewed []float64
		for _, s := range sets {
			old = append(old, s[i])
		}
		for k := range n {
			x := r.Set(k, rng)[i]
			assert.True(t, x >= 0 && x <= 1)
			renewed = append(renewed, x)
			seen[x] = true
		}
		m, v := stat.PopMeanVariance(old, nil)
		m2, v2 := stat.PopMeanVariance(renewed, nil)
		assert.InDelta(t, m, m2, 0.01)
		assert.InEpsilon(t, v, v2, 0.06)
	}
	assert.Len(t, seen, 2*n)
}
