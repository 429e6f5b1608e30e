package score

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestAreaByHand(t *testing.T) {
	at := func(yes, no []float64) float64 {
		var p []Prediction
		for _, x := range yes {
			p = append(p, Prediction{P: x, Happened: true})
		}
		for _, x := range no {
			p = append(p, Prediction{P: x})
		}
		return Area(p)
	}
	assert.Equal(t, 1.0, at([]float64{0.9, 0.8}, []float64{0.1, 0.7}))
	assert.Equal(t, 0.0, at([]float64{0.1}, []float64{0.2, 0.3}))
	assert.Equal(t, 0.5, at([]float64{0.4}, []float64{0.4}))
	// 0.6 over 0.5, 0.2; 0.3 over 0.2: three of four pairs.
	assert.Equal(t, 0.75, at([]float64{0.6, 0.3}, []float64{0.5, 0.2}))
	assert.True(t, math.IsNaN(at([]float64{0.6}, nil)))
}
