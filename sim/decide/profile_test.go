package decide

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestRatioWeights(t *testing.T) {
	w, err := RatioWeights([]float64{1, 2, 4}, 2, 2)
	require.NoError(t, err)
	assert.InDelta(t, w[0], w[2], 1e-12, "as far in octaves either way")
	assert.InDelta(t, math.Exp(-0.5), w[0]/w[1], 1e-12)
	assert.InDelta(t, 1, w[0]+w[1]+w[2], 1e-12)
	for _, bad := range [][2]float64{{0, 2}, {2, 1}, {math.NaN(), 2}, {2, math.Inf(1)}} {
		_, err := RatioWeights([]float64{1}, bad[0], bad[1])
		assert.Error(t, err)
	}
	assert.Error(t, Normalise([]float64{0, 0}))
}

func TestMeanBends(t *testing.T) {
	r, err := bike().Evaluate()
	require.NoError(t, err)
	one := make([]float64, len(r.Gears))
	one[3] = 1
	top, _ := MeanBends(r, one)
	assert.InDelta(t, r.Gears[3].Top.Bend, top, 1e-15)
	even := []float64{0.2, 0.2, 0.2, 0.2, 0.2}
	sum := 0.0
	for _, g := range r.Gears {
		sum += g.Bottom.Bend / 5
	}
	_, bottom := MeanBends(r, even)
	assert.InDelta(t, sum, bottom, 1e-12)
}
