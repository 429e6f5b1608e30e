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
	assert.Equal(t, []float64{2, 2, 7}, w.Quantiles([]float64{7, 2, 7, 2}, 0.2, 0.6, 0.61), "0.6 of 2")
	w = &Weighted{Weight: []float64{0.3, 0.3, 0.3}} // what rounding leaves is the largest's
	assert.Equal(t, []float64{5, 9, 9}, w.Quantiles([]float64{9, 5, 7}, 0.3, 0.95, 1))
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

// By hand: (3+1)²/(9+1), and so many as there are where all are alike; of nothing, nothing.
func TestEffectiveSizeByHand(t *testing.T) {
	for _, c := range []struct {
		weights []float64
		want    float64
	}{{nil, 0}, {[]float64{0, 0}, 0}, {[]float64{1, 1, 1, 1}, 4}, {[]float64{3, 1}, 1.6}, {[]float64{0, 7}, 1}, {[]float64{0.5, 0.25, 0.25}, 8.0 / 3}} {
		assert.InDelta(t, c.want, EffectiveSize(c.weights), 1e-12, "%v", c.weights)
	}
}

// The temper is the largest that keeps the size, 1 where that does; as many draws as are asked for are
// enough, all alike.
func TestTemperIsTheLargest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		logs := rapid.SliceOfN(rapid.Float64Range(-30, 0), 4, 60).Draw(t, "logs")
		size := rapid.Float64Range(1, float64(len(logs))).Draw(t, "size")
		w, err := Weigh(logs, size)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, w.Size, size*(1-1e-12))
		assert.LessOrEqual(t, w.Temper, 1.0)
		sum := 0.0
		for i, x := range w.Weight {
			sum += x
			assert.InDelta(t, math.Exp(w.Temper*(logs[i]-logs[0])), x/w.Weight[0], 1e-6*x/w.Weight[0])
		}
		assert.InDelta(t, 1, sum, 1e-12)
		low := make([]float64, len(logs)) // many observations: only how logs differ counts
		for i := range logs {
			low[i] = logs[i] - 4096
		}
		far, err := Weigh(low, size)
		require.NoError(t, err)
		assert.InDeltaSlice(t, w.Weight, far.Weight, 1e-9)
		if more := weights(logs, 1.001*w.Temper+1e-6); w.Temper < 1 {
			assert.Less(t, EffectiveSize(more), size*(1+1e-9))
		}
	})
	w, err := Weigh([]float64{-3, -3, math.Inf(-1), -3}, 3)
	require.NoError(t, err)
	assert.Equal(t, 1.0, w.Temper)
	assert.Equal(t, []float64{1.0 / 3, 1.0 / 3, 0, 1.0 / 3}, w.Weight)
	_, err = Weigh([]float64{0, math.Inf(1)}, 1)
	assert.ErrorContains(t, err, "log likelihood +Inf of draw 1")
}

// Ways of judging that were weighed apart have even shares: 1/2·(1, 0) and 1/2·(1/2, 1/2).
func TestMixedByHand(t *testing.T) {
	m := Mixed(&Weighted{Weight: []float64{1, 0}, Temper: 0.5, Size: 1}, &Weighted{Weight: []float64{0.5, 0.5}, Temper: 0.75, Size: 2})
	assert.Equal(t, &Weighted{Weight: []float64{0.75, 0.25}, Temper: 0.5, Size: 1.6}, m)
	one := &Weighted{Weight: []float64{0.25, 0.75}, Temper: 1, Size: 1.6}
	assert.Equal(t, one, Mixed(one))
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
