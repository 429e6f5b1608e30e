package score

import (
	"encoding/json"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A logistic fit and two scores beside SciPy's and NumPy's (testdata/witness/values.py).
func TestFitAndScoresAreSciPys(t *testing.T) {
	data, err := os.ReadFile("../../testdata/witness/values.json")
	require.NoError(t, err)
	var w struct {
		Logistic []struct {
			X, Chance []float64
			Y         []int
			Penalty   float64
		}
		Scores struct {
			P        []float64
			Happened []int
			LogLoss  float64 `json:"log_loss"`
			Brier    float64
		}
	}
	require.NoError(t, json.Unmarshal(data, &w))
	require.NotEmpty(t, w.Logistic)
	for _, c := range w.Logistic {
		var o []Prediction
		for i, x := range c.X {
			o = append(o, Prediction{X: x, Happened: c.Y[i] == 1})
		}
		l, err := fitLogistic(o, penalty{c.Penalty, c.Penalty})
		require.NoError(t, err)
		for i, x := range c.X {
			assert.InDelta(t, c.Chance[i], l.Chance(x), 2e-6, "penalty %g, at %g", c.Penalty, x)
		}
	}
	var o []Prediction
	for i, p := range w.Scores.P {
		o = append(o, Prediction{P: p, Happened: w.Scores.Happened[i] == 1})
	}
	got, err := Count(o, Cut)
	require.NoError(t, err)
	assert.InDelta(t, w.Scores.LogLoss, got.LogLoss, 1e-14)
	assert.InDelta(t, w.Scores.Brier, got.Brier, 1e-14)
}
