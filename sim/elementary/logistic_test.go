package elementary_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/elementary"
)

// The looked-up logistic is the function's to a relative 2e-11, everywhere between its ends, rises,
// and is nothing and all beyond; at its places it is exact.
func TestLogistic(t *testing.T) {
	before, worst := 0.0, 0.0
	for i := range 400001 {
		x := -41 + 82*float64(i)/400000
		got := elementary.Logistic(x)
		want := 1 / (1 + math.Exp(-x))
		require.GreaterOrEqual(t, got, before*(1-1e-15), "at %g", x)
		before = got
		if x > -40 && x < 40 {
			worst = math.Max(worst, math.Abs(got-want)/want)
		}
	}
	assert.Less(t, worst, 2e-11)
	assert.Greater(t, worst, 1e-13, "it is looked up")
	for _, x := range []float64{-39.9375, -2.5, 0, 0.0625, 3, 39.9375} {
		assert.InEpsilon(t, 1/(1+math.Exp(-x)), elementary.Logistic(x), 1e-14, "at %g", x)
	}
	assert.Equal(t, 0.5, elementary.Logistic(0))
	for _, x := range []float64{-40, -41, -1e300, math.Inf(-1)} {
		assert.Zero(t, elementary.Logistic(x))
	}
	for _, x := range []float64{40, 41, 1e300, math.Inf(1)} {
		assert.Equal(t, 1.0, elementary.Logistic(x))
	}
	assert.True(t, math.IsNaN(elementary.Logistic(math.NaN())))
}

func BenchmarkLogistic(b *testing.B) {
	x, sum := -20.0, 0.0
	for b.Loop() {
		sum += elementary.Logistic(x)
		if x += 0.37; x > 20 {
			x = -20
		}
	}
	_ = sum
}
