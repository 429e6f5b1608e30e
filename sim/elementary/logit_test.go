package elementary

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// By hand: even odds are 0, three to one is ln 3; the ends are finite, and Logistic comes back.
func TestLogit(t *testing.T) {
	assert.Zero(t, Logit(0.5, 1e-9))
	assert.InDelta(t, math.Log(3), Logit(0.75, 1e-9), 1e-15)
	assert.InDelta(t, -math.Log(999), Logit(0, 1e-3), 1e-12)
	assert.InDelta(t, math.Log(999), Logit(1, 1e-3), 1e-12)
	for _, p := range []float64{0.01, 0.3, 0.97} {
		assert.InDelta(t, p, Logistic(Logit(p, 1e-9)), 1e-12)
	}
}
