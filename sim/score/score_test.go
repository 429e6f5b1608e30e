package score

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Worked by hand: chances 0.9 and 0.4 of what happened, 0.2 and 0.6 of what did not.
func four() []Prediction {
	return []Prediction{{P: 0.9, Happened: true}, {P: 0.2}, {P: 0.6}, {P: 0.4, Happened: true}}
}

func TestCountByHand(t *testing.T) {
	got, err := Count(four(), Cut)
	require.NoError(t, err)
	want := -(math.Log(0.9) + math.Log(0.8) + math.Log(0.4) + math.Log(0.4)) / 4
	assert.InDelta(t, want, got.LogLoss, 1e-15)
	assert.InDelta(t, (0.01+0.04+0.36+0.36)/4, got.Brier, 1e-15)
	got.LogLoss, got.Brier = 0, 0
	assert.Equal(t, Tally{N: 4, Yes: 2, Hit: 1, False: 1, Miss: 1, Right: 1}, got)

	got, err = Count(four(), 0.4) // a chance of the cut itself is a yes
	require.NoError(t, err)
	assert.Equal(t, [4]int{2, 1, 0, 1}, [4]int{got.Hit, got.False, got.Miss, got.Right})
}

// Brier (1950), table 1: ten forecasts of rain, sum over both classes 0.19. Table
// from memory.
func TestBrierOfBriersTable(t *testing.T) {
	var o []Prediction
	for i, p := range []float64{0.7, 0.9, 0.8, 0.4, 0.2, 0, 0, 0, 0, 0.1} {
		o = append(o, Prediction{P: p, Happened: i >= 1 && i <= 3})
	}
	got, err := Count(o, Cut)
	require.NoError(t, err)
	assert.InDelta(t, 0.19, 2*got.Brier, 1e-12)
}

func TestLogLossIsClipped(t *testing.T) {
	assert.InDelta(t, 13.8155, LogLoss(0, true), 1e-4) // 6 ln 10
	assert.InDelta(t, 13.8155, LogLoss(1, false), 1e-4)
	assert.InDelta(t, 1e-6, LogLoss(1, true), 1e-11)
	assert.InDelta(t, 1e-6, LogLoss(0, false), 1e-11)
	assert.InDelta(t, math.Ln2, LogLoss(0.5, false), 1e-15)
	assert.InDelta(t, 13.8155, LogLoss(math.NaN(), true), 1e-4)
	assert.InDelta(t, 13.8155, LogLoss(math.Inf(-1), true), 1e-4)
}

// A constant chance equal to the share that happened loses the entropy of that
// share, and its Brier score is the variance.
func TestShareLosesItsEntropy(t *testing.T) {
	for _, c := range []struct{ yes, n int }{{1, 7}, {3, 8}, {5, 5 + 4}, {1, 400}} {
		q := float64(c.yes) / float64(c.n)
		var o []Prediction
		for i := range c.n {
			o = append(o, Prediction{P: q, Happened: i < c.yes})
		}
		got, err := Count(o, Cut)
		require.NoError(t, err)
		assert.InDelta(t, -q*math.Log(q)-(1-q)*math.Log(1-q), got.LogLoss, 1e-12, "%d of %d", c.yes, c.n)
		assert.InDelta(t, q*(1-q), got.Brier, 1e-12, "%d of %d", c.yes, c.n)
	}
}

func TestBaseRate(t *testing.T) {
	assert.Equal(t, 0.5, baseRate(nil))
	assert.Equal(t, 0.5, baseRate(four()))
	assert.Equal(t, 1.0/5, baseRate([]Prediction{{}, {}, {}}))
	assert.Equal(t, 2.0/3, baseRate([]Prediction{{Happened: true}}))
}

func TestReliabilityByHand(t *testing.T) {
	o := append(four(), Prediction{P: 0.5}, Prediction{P: 1, Happened: true}, Prediction{P: 0})
	got, err := Reliability(o, []float64{0, 0.25, 0.3, 0.5, 1})
	require.NoError(t, err)
	want := []Bin{
		{From: 0, To: 0.25, N: 2, Mean: 0.1},
		{From: 0.25, To: 0.3},
		{From: 0.3, To: 0.5, N: 1, Yes: 1, Mean: 0.4, Share: 1},
		{From: 0.5, To: 1, N: 4, Yes: 2, Mean: 0.75, Share: 0.5},
	}
	require.Len(t, got, len(want))
	for i := range want {
		assert.InDelta(t, want[i].Mean, got[i].Mean, 1e-15)
		want[i].Mean, got[i].Mean = 0, 0
		assert.Equal(t, want[i], got[i])
	}
}

// The table loses no prediction; and where all chances in a bin are equal the
// Brier score is reliability less resolution plus uncertainty (Murphy, Journal of
// Applied Meteorology 12 (1973), 595-600).
func TestTableSumsAndMurphysParts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		level := rapid.SampledFrom([]float64{0.05, 0.3, 0.55, 0.95})
		var o []Prediction
		for range rapid.IntRange(1, 60).Draw(t, "n") {
			o = append(o, Prediction{P: level.Draw(t, "p"), Happened: rapid.Bool().Draw(t, "happened")})
		}
		tally, err := Count(o, Cut)
		require.NoError(t, err)
		bins, err := Reliability(o, []float64{0, 0.25, 0.5, 0.75, 1})
		require.NoError(t, err)
		n, q := float64(tally.N), float64(tally.Yes)/float64(tally.N)
		count, yes, brier := 0, 0, q*(1-q)
		for _, b := range bins {
			count, yes = count+b.N, yes+b.Yes
			w := float64(b.N) / n
			brier += w*(b.Mean-b.Share)*(b.Mean-b.Share) - w*(b.Share-q)*(b.Share-q)
		}
		assert.Equal(t, tally.N, count)
		assert.Equal(t, tally.Yes, yes)
		assert.Equal(t, tally.N, tally.Hit+tally.False+tally.Miss+tally.Right)
		assert.Equal(t, tally.Yes, tally.Hit+tally.Miss)
		assert.InDelta(t, tally.Brier, brier, 1e-12)
	})
}

// drawn returns n outcomes whose chance rises with a number, seeded.
func drawn(seed uint64, n int) []Prediction {
	r := rand.New(rand.NewPCG(seed, 1))
	o := make([]Prediction, n)
	for i := range o {
		x := 3 + 2*r.NormFloat64()
		o[i] = Prediction{P: r.Float64(), Happened: r.Float64() < sigmoid(1.3*x-4.5), Group: string(rune('a' + r.IntN(5))), X: x}
	}
	return o
}

func TestOrderChangesNothing(t *testing.T) {
	edges := []float64{0, 0.2, 0.7, 1}
	for seed := range uint64(20) {
		o := drawn(seed, 57)
		p := append([]Prediction(nil), o...)
		rand.New(rand.NewPCG(seed, 2)).Shuffle(len(p), func(i, j int) { p[i], p[j] = p[j], p[i] })
		a, err := Count(o, 0.4)
		require.NoError(t, err)
		b, err := Count(p, 0.4)
		require.NoError(t, err)
		assert.InDelta(t, a.LogLoss, b.LogLoss, 1e-13)
		assert.InDelta(t, a.Brier, b.Brier, 1e-13)
		a.LogLoss, a.Brier, b.LogLoss, b.Brier = 0, 0, 0, 0
		assert.Equal(t, a, b)

		ta, err := Reliability(o, edges)
		require.NoError(t, err)
		tb, err := Reliability(p, edges)
		require.NoError(t, err)
		for i := range ta {
			assert.Equal(t, [2]int{ta[i].N, ta[i].Yes}, [2]int{tb[i].N, tb[i].Yes})
			assert.InDelta(t, ta[i].Mean, tb[i].Mean, 1e-13)
		}

		la, err := fitLogistic(o, weak)
		require.NoError(t, err)
		lb, err := fitLogistic(p, weak)
		require.NoError(t, err)
		assert.InDelta(t, la.A, lb.A, 1e-9)
		assert.InDelta(t, la.B, lb.B, 1e-9)
		assert.Equal(t, baseRate(o), baseRate(p))
	}
}

func TestBadInputIsRefused(t *testing.T) {
	good := []Prediction{{P: 0.5}}
	for _, c := range []struct {
		o    []Prediction
		cut  float64
		want string
	}{
		{nil, 0.5, "score: bad input: no outcomes"},
		{[]Prediction{{P: 0.1}, {P: 1.5}}, 0.5, "outcome 1: score: bad input: chance 1.5, want 0 to 1"},
		{[]Prediction{{P: math.NaN()}}, 0.5, "outcome 0: score: bad input: chance NaN, want 0 to 1"},
		{[]Prediction{{X: math.Inf(1)}}, 0.5, "outcome 0: score: bad input: number +Inf, want within ±1e+100"},
		{good, -0.1, "score: bad input: cut -0.1, want 0 to 1"},
		{good, math.NaN(), "score: bad input: cut NaN, want 0 to 1"},
	} {
		_, err := Count(c.o, c.cut)
		require.EqualError(t, err, c.want)
		require.ErrorIs(t, err, ErrInput)
	}
	for _, edges := range [][]float64{nil, {0}, {0, 0.5}, {0.1, 1}, {0, 0.5, 0.5, 1}, {0, math.NaN(), 1}} {
		_, err := Reliability(good, edges)
		require.ErrorIs(t, err, ErrInput, "%g", edges)
	}
	_, err := Reliability(nil, []float64{0, 1})
	require.ErrorIs(t, err, ErrInput)
	_, err = fitLogistic(nil, weak)
	require.ErrorIs(t, err, ErrInput)
	for _, hold := range []penalty{{}, {1, 0}, {0, 1}, {math.NaN(), 1}, {1, math.Inf(1)}, {-1, 1}} {
		_, err := fitLogistic(good, hold)
		require.ErrorIs(t, err, ErrInput, "%v", hold)
	}
}
