package engage

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWitness compares the equilibrium with the same chain by another hand: rigid
// links with exact angles, minimised by a general numerical library (SciPy) in
// testdata/witness/chain.py, which says how. What is left between the two is what
// small angles cost, at most cos 4° = 0.24 % of a slope, and the other's accuracy.
func TestWitness(t *testing.T) {
	data, err := os.ReadFile("../../testdata/witness/chain.json")
	require.NoError(t, err)
	var w struct {
		Pitch float64 `json:"pitch_mm"`
		Links int     `json:"links"`
		Cases []struct {
			Arriving  string    `json:"arriving"`
			Tension   float64   `json:"tension_n"`
			Angle     float64   `json:"angle_deg"`
			Slack     float64   `json:"slack_deg"`
			Stiffness float64   `json:"stiffness_nmm_rad"`
			Gaps      []float64 `json:"gaps_mm"`
			Pins      []float64 `json:"pins_mm"`
		} `json:"cases"`
	}
	require.NoError(t, json.Unmarshal(data, &w))
	require.Len(t, w.Cases, 48)
	var s solve
	worst, worstPin := 0.0, 0.0
	for _, c := range w.Cases {
		r := pinRow{Pitch: w.Pitch, Tension: c.Tension, Stiffness: c.Stiffness, Slack: c.Slack * math.Pi / 180, Play: make([]float64, w.Links), Load: make([]float64, w.Links+1)}
		for i := range r.Play {
			r.Play[i] = math.Inf(1)
			if i < len(c.Gaps) {
				r.Play[i] = c.Gaps[i]
			}
		}
		r.Load[w.Links] = c.Tension * math.Sin(c.Angle*math.Pi/180)
		require.Equal(t, Solved, s.Solve(&r, false))
		arriving := len(c.Gaps)
		theirs := (c.Pins[arriving] + c.Pins[arriving+1]) / 2
		worst = math.Max(worst, math.Abs(s.middle(arriving)-theirs))
		assert.InDelta(t, theirs, s.middle(arriving), 0.001, "%+v", c)
		for i := arriving; i <= w.Links; i++ {
			d := math.Abs(s.Place(i) - c.Pins[i])
			worstPin = math.Max(worstPin, d)
			assert.LessOrEqual(t, d, 0.003, "pin %d of %+v", i, c)
		}
	}
	t.Logf("arriving link within %.4f mm, pins within %.4f mm", worst, worstPin)
}
