package budget

import (
	"context"
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Expanded uncertainties and bounded normal draws beside SciPy's Student's t, normal and
// truncated normal distributions (testdata/witness/values.py).
func TestDistributionsAreSciPys(t *testing.T) {
	data, err := os.ReadFile("../../testdata/witness/values.json")
	require.NoError(t, err)
	var w struct {
		Student   [][3]float64
		Normal    [][2]float64
		Truncated [][9]float64
	}
	require.NoError(t, json.Unmarshal(data, &w))
	require.NotEmpty(t, w.Student)
	for _, s := range w.Student {
		assert.InEpsilon(t, s[2], Result{U: 1, DOF: s[0] + 0.3}.Expanded(s[1]), 1e-9, "%v", s)
	}
	require.NotEmpty(t, w.Normal)
	for _, n := range w.Normal {
		if p := 2*n[0] - 1; p > 0 {
			assert.InDelta(t, n[1], Result{U: 1}.Expanded(p), 1e-9)
		}
	}
	require.NotEmpty(t, w.Truncated)
	f := func() Model { return func(x, y []float64) error { y[0] = x[0]; return nil } }
	for _, c := range w.Truncated {
		const n = 200000
		s, err := MonteCarlo(context.Background(), f, []Input{{Value: c[0], U: c[1], Lo: c[2], Hi: c[3]}}, 1, n, 9, 2, nil)
		require.NoError(t, err)
		sd := math.Sqrt(c[5])
		assert.InDelta(t, c[4], s.Mean(0), 5*sd/math.Sqrt(n), "%v", c) // five standard errors
		lo, hi := s.Interval(0, 0.9)
		assert.InDelta(t, c[6], lo, 0.02*sd, "%v", c)
		assert.InDelta(t, c[8], hi, 0.02*sd, "%v", c)
	}
}
