package engage

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func held(n int) Cantilever { return Cantilever{Links: n, Pitch: 12.7, Weight: 0.0226} }

// The closed form is the sum over joints worked out by hand: three links, each
// joint turns by φ0 + W·p·r²/2k, r links beyond it.
func TestSmallSagByHand(t *testing.T) {
	c := Cantilever{Links: 3, Pitch: 10, Weight: 0.02}
	want := 0.0
	for r := 1.0; r <= 3; r++ {
		want += (0.01 + 0.02*10*r*r/2/5000) * r * 10
	}
	assert.InDelta(t, want, c.smallSag(0.01, 5000), 1e-12)
}

func TestSagIsTheSmallOneForSmallAngles(t *testing.T) {
	c := held(6)
	assert.InEpsilon(t, c.smallSag(0.001, 1e5), c.Sag(0.001, 1e5), 1e-3)
	// Long chains hang less than the closed form says, and never below plumb.
	long := held(60)
	assert.Less(t, long.Sag(0.02, 5000), long.smallSag(0.02, 5000))
	assert.Less(t, long.Sag(0.02, 5000), 60*12.7)
	assert.Greater(t, held(20).Sag(0.012, 1e4), held(20).Sag(0.01, 1e4))
	assert.Greater(t, held(20).Sag(0.01, 5e3), held(20).Sag(0.01, 1e4))
}

// Every joint in balance on the found shape: its turn is φ0 + M/k.
func TestSagInverse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		slack := rapid.Float64Range(0.2, 1.5).Draw(t, "slack") * deg
		k := rapid.Float64Range(2000, 30000).Draw(t, "stiffness")
		a, b := held(rapid.IntRange(8, 14).Draw(t, "short")), held(rapid.IntRange(24, 36).Draw(t, "long"))
		s, got, err := FromSags(a, b, a.Sag(slack, k), b.Sag(slack, k))
		require.NoError(t, err)
		assert.InEpsilon(t, slack, s, 1e-4)
		assert.InEpsilon(t, k, got, 1e-2)
		// The order of the two does not matter.
		s2, k2, err := FromSags(b, a, b.Sag(slack, k), a.Sag(slack, k))
		require.NoError(t, err)
		assert.Equal(t, s, s2)
		assert.Equal(t, got, k2)
	})
}

func TestBadSags(t *testing.T) {
	for _, c := range []struct{ a, b float64 }{{0, 10}, {math.NaN(), 10}, {5, math.Inf(1)}, {200, 20}} {
		_, _, err := FromSags(held(10), held(30), c.a, c.b)
		assert.ErrorIs(t, err, ErrSag, "%v", c)
	}
	_, _, err := FromSags(held(10), held(12), 5, 7)
	assert.ErrorContains(t, err, "half as many again")
}
