package engage

import (
	"encoding/json"
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

type witnessWheel struct {
	Teeth  int        `json:"teeth"`
	Height float64    `json:"height"`
	Tips   [2]float64 `json:"tips"`
	Fulls  [2]float64 `json:"fulls"`
	Relief float64    `json:"relief"`
}

func (w witnessWheel) wheel(pitch float64) Wheel {
	r := pitch / (2 * math.Sin(math.Pi/float64(w.Teeth)))
	x := Wheel{PitchRadius: r, TipRadius: r + w.Height}
	for k := range x.Teeth {
		x.Teeth[k] = Tooth{Tip: w.Tips[k], Full: w.Fulls[k], Relief: w.Relief * deg}
	}
	return x
}

// Runs from wheel to wheel by another hand: the energies as lifted quadratic programmes,
// solved by proximal points and non-negative least squares (SciPy) in
// testdata/witness/run.py, which certifies each optimum and says how. Without friction
// both find the one equilibrium. A march goes through some seventy, each from the places
// of the one before, and friction remembers what little the two differ by: 0.00002 mm at
// the end.
func TestRunWitness(t *testing.T) {
	data, err := os.ReadFile("../../testdata/witness/run.json")
	require.NoError(t, err)
	var w struct {
		Pitch float64 `json:"pitch_mm"`
		Cases []struct {
			Inner        float64      `json:"inner_mm"`
			Outer        float64      `json:"outer_mm"`
			HalfHeight   float64      `json:"half_height_mm"`
			Stiffness    float64      `json:"stiffness_nmm_rad"`
			Slack        float64      `json:"slack_deg"`
			Contact      float64      `json:"contact_mm"`
			Seat         float64      `json:"seat"`
			Tooth        float64      `json:"tooth_mm"`
			To           witnessWheel `json:"to"`
			From         witnessWheel `json:"from"`
			Length       float64      `json:"length_mm"`
			Tension      float64      `json:"tension_n"`
			Bend         float64      `json:"bend_deg"`
			Hold         float64      `json:"hold"`
			Frictionless [2]float64   `json:"frictionless_mm"`
			Marched      [2]float64   `json:"marched_mm"`
		} `json:"cases"`
	}
	require.NoError(t, json.Unmarshal(data, &w))
	require.Len(t, w.Cases, 8)
	var m Marcher
	worst := [2]float64{}
	for i, c := range w.Cases {
		r := Run{
			Chain: Chain{Pitch: w.Pitch, InnerWidth: c.Inner, OuterWidth: c.Outer, PlateHalfHeight: c.HalfHeight, Slack: c.Slack * deg, Stiffness: c.Stiffness},
			To:    c.To.wheel(w.Pitch), From: c.From.wheel(w.Pitch), Length: c.Length, Tension: c.Tension, Contact: c.Contact, Seat: c.Seat, ToHold: c.Hold, Tooth: c.Tooth,
		}
		for k, want := range [2][2]float64{c.Frictionless, c.Marched} {
			r.Seat = float64(k) * c.Seat
			a, err := m.Arrive(&r, c.Bend*deg, MarchOptions{})
			require.NoError(t, err)
			bound := [2]float64{1e-6, 5e-5}[k] // mm
			assert.InDelta(t, want[0], a.Inner, bound, "run %d, inner, friction %g", i, r.Seat)
			assert.InDelta(t, want[1], a.Outer, bound, "run %d, outer, friction %g", i, r.Seat)
			worst[k] = max(worst[k], math.Abs(want[0]-a.Inner), math.Abs(want[1]-a.Outer))
		}
	}
	t.Logf("without friction within %.2g mm, marched within %.2g mm", worst[0], worst[1])
}
