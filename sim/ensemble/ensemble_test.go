package ensemble

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A normal prior and a normal reading have a closed posterior (textbook conjugacy): mean
// x/(1+s²)·..., here both of variance 1, so half the reading, variance a half.
func TestConjugateNormal(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	const n, reading = 40000, 1.4
	x, logs := make([]float64, n), make([]float64, n)
	for i := range x {
		x[i] = rng.NormFloat64()
		logs[i] = -(x[i] - reading) * (x[i] - reading) / 2
	}
	w, err := Weigh(logs, 100)
	require.NoError(t, err)
	assert.Equal(t, 1.0, w.Temper)
	mean, square := 0.0, 0.0
	for i, p := range w.Weight {
		mean += p * x[i]
		square += p * x[i] * x[i]
	}
	assert.InDelta(t, reading/2, mean, 0.02)
	assert.InDelta(t, 0.5, square-mean*mean, 0.02)
	assert.InDelta(t, reading/2, w.Quantiles(x, 0.5)[0], 0.03)
	drawn := 0.0
	for _, i := range w.Draw(200) {
		drawn += x[i] / 200
	}
	assert.InDelta(t, mean, drawn, 0.15)
}

func TestTemperingKeepsTheEffectiveSize(t *testing.T) {
	logs := make([]float64, 1000)
	for i := range logs {
		logs[i] = -float64(i)
	}
	w, err := Weigh(logs, 120)
	require.NoError(t, err)
	assert.Less(t, w.Temper, 1.0)
	assert.InDelta(t, 120, w.Size, 0.5)
	assert.InDelta(t, w.Size, EffectiveSize(w.Weight), 1e-9)
}

func TestCollapsedWeightsAreAnError(t *testing.T) {
	logs := []float64{0, math.Inf(-1), math.Inf(-1), 0}
	_, err := Weigh(logs, 3)
	require.ErrorIs(t, err, ErrCollapsed)
	assert.ErrorContains(t, err, "2 of 4 draws can be, want at least 3")
	_, err = Weigh([]float64{0, math.NaN()}, 1)
	assert.ErrorIs(t, err, ErrCollapsed)
}

// By hand: weights 0.1, 0.2, 0.3, 0.4 of 4, 3, 2, 1 sum up to 0.4, 0.7, 0.9, 1 in their order.
func TestQuantilesByHand(t *testing.T) {
	w := &Weighted{Weight: []float64{0.1, 0.2, 0.3, 0.4}}
	assert.Equal(t, []float64{1, 1, 2, 3, 4}, w.Quantiles([]float64{4, 3, 2, 1}, 0, 0.4, 0.65, 0.85, 1))
}

// What is weighted by a chance, not tempered, has at least that chance: an observation never
// lowers its own.
func TestWeighingByAChanceNeverLowersIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 50).Draw(t, "n")
		logs, more, p := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range p {
			p[i] = rapid.Float64Range(0.005, 0.995).Draw(t, "chance")
			logs[i] = rapid.Float64Range(-20, 0).Draw(t, "log")
			more[i] = logs[i] + math.Log(p[i])
		}
		mean := func(logs []float64) float64 {
			w, err := Weigh(logs, 1)
			require.NoError(t, err)
			sum := 0.0
			for i, x := range w.Weight {
				sum += x * p[i]
			}
			return sum
		}
		assert.GreaterOrEqual(t, mean(more), mean(logs)-1e-12)
	})
}

// Systematic draws by hand: four from the middle of each quarter.
func TestDrawByHand(t *testing.T) {
	for _, c := range []struct {
		weights []float64
		want    []int
	}{
		{[]float64{0.5, 0.25, 0.25}, []int{0, 0, 1, 2}}, // 1/8, 3/8, 5/8, 7/8 below 0.5, 0.75, 1
		{[]float64{0.125, 0.875}, []int{0, 1, 1, 1}},    // 1/8 is still the first's
		{[]float64{0.5, 0.25}, []int{0, 0, 1, 1}},       // what rounding leaves is the last's
		{[]float64{0, 0, 1, 0}, []int{2, 2, 2, 2}},
		{[]float64{1}, []int{0, 0, 0, 0}},
	} {
		assert.Equal(t, c.want, (&Weighted{Weight: c.weights}).Draw(4))
	}
}
