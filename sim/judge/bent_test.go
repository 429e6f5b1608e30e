package judge

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

// A mean is taken as straight in the logarithm of its odds between two bends.
func TestBendThatAMeanReaches(t *testing.T) {
	var c curve
	assert.True(t, math.IsNaN(c.reaches(0.5)), "nothing to take a mean of")
	logistic := func(x float64) float64 { return 1 / (1 + math.Exp(-x)) }
	c.add([]float64{logistic(-3), logistic(-1), logistic(3)})
	c.add([]float64{logistic(-3), logistic(-1), logistic(3)})
	c.add(nil)
	assert.InDelta(t, 1.25*bendStep, c.reaches(0.5), 1e-12)
	assert.InDelta(t, 0.5*bendStep, c.reaches(logistic(-2)), 1e-12)
	assert.True(t, math.IsNaN(c.reaches(0.99)), "farther than was looked")
	assert.True(t, math.IsNaN(c.reaches(0.01)), "passed from the first")
	c.add([]float64{0, 0, 0})
	assert.Greater(t, c.reaches(0.5), 1.25*bendStep, "a set in which it never happens")
}
