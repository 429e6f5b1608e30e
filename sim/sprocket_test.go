package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim/engage"
)

// Printed table "Pitch diameter of roller chain wheels", tandwiel.info, for a
// pitch of 25.4 mm. Half of it holds for 12.7 mm.
func TestPitchDiameterAgainstPrintedTable(t *testing.T) {
	for z, want := range map[int]float64{9: 74.26, 11: 90.16, 17: 138.23, 25: 202.66, 34: 275.28, 40: 323.74, 50: 404.52, 52: 420.68, 60: 485.33} {
		assert.InDelta(t, want, ISO606{Pitch: 25.4}.pitchDiameter(z), 0.0051, "z %d", z)
		assert.InDelta(t, want/4, Sprocket{Teeth: z}.PitchRadius(Pitch), 0.0013, "z %d", z)
	}
}

// Worked example by DIN 8196 in a public forum post, a weak source: z 34,
// p 12.7, roller 7.75 give pitch and root diameters 137.64 and 129.89 mm.
func TestRootDiameterAgainstForumExample(t *testing.T) {
	s := ISO606{Pitch: 12.7, Roller: 7.75}
	assert.InDelta(t, 137.64, s.pitchDiameter(34), 0.005)
	assert.InDelta(t, 129.89, s.pitchDiameter(34)-s.Roller, 0.005)
}

// The relations between the formulas of ISO 606, given from memory: the tip
// circle's bounds enclose the bicycle's, and meet where 1.25 = 1 - 1.6/z would.
func TestISO606Formulas(t *testing.T) {
	s := ISO606{Pitch: 12.7, Roller: 7.75, Inside: 3.175}
	lo, hi := s.tipDiameter(32)
	assert.InDelta(t, s.pitchDiameter(32)+12.7*0.95-7.75, lo, 1e-9)
	assert.InDelta(t, 12.7*(0.25+1.6/32), hi-lo, 1e-9)
	assert.InDelta(t, 0.93*3.175, s.toothWidth(), 1e-12)
	assert.InDelta(t, 0.95*5, ISO606{Pitch: 15.875, Inside: 5}.toothWidth(), 1e-12)
	assert.InDelta(t, 0.06*12.7, s.sideRelief(), 1e-12)
	assert.InDelta(t, 0.13*12.7, ISO606{Pitch: 12.7, Inside: 7.85}.sideRelief(), 1e-12)
	w := s.Sprocket(18)
	lo, hi = s.tipDiameter(18)
	assert.InDelta(t, (lo+hi)/2, 2*w.TipRadius(12.7), 1e-9)
	assert.InDelta(t, 2.95-2*0.762, w.Tooth.Tip, 0.01)
	// The relief's chord: an arc of radius p that has moved 0.06 p sideways at the tip.
	depth := 0.762 / math.Tan(w.Tooth.Relief)
	assert.InDelta(t, 0.762, 12.7-math.Sqrt(12.7*12.7-depth*depth), 1e-9)
	assert.InDelta(t, 0.95*5.1, ISO606{Pitch: 12.8, Inside: 5.1}.toothWidth(), 1e-12, "above 12.7 mm")
	assert.InDelta(t, 0.13*12, ISO606{Pitch: 12, Inside: 6}.sideRelief(), 1e-12, "half the pitch is not narrow")
	edge, full, slope := Sprocket{Tooth: engage.Tooth{Tip: 1, Full: 1.6, Relief: 0.3}}.taper()
	assert.Equal(t, [3]float64{0.5, 0.8, math.Tan(0.3)}, [3]float64{edge, full, slope})
	wide := Sprocket{Tooth: engage.Tooth{Tip: 1, Full: 1.6, Relief: 0.3}, Wide: engage.Tooth{Tip: 2.4, Full: 3.6, Relief: 0.2}}
	edge, full, slope = wide.taper()
	assert.Equal(t, [3]float64{1.2, 1.8, math.Tan(0.2)}, [3]float64{edge, full, slope})
	assert.Equal(t, 3.6, wide.Thickness())
}

// ISO 5775-1 designations with printed outside diameters.
func TestTyreOutsideDiameter(t *testing.T) {
	for _, c := range []struct{ section, bead, want float64 }{{37, 590, 664}, {23, 622, 668}, {40, 635, 715}} {
		assert.Equal(t, c.want, Tyre{BeadSeat: c.bead, Section: c.section}.OutsideDiameter())
	}
}

// 76 and 15 to 53, and 141, 41 and 3 to 47: check values of common practice, no
// published source.
func TestLinesFromMeasurements(t *testing.T) {
	assert.Equal(t, 53.0, FrontFromTube(76, 15))
	assert.Equal(t, 47.0, RearFromFaces(141, 41, 0, 3))
	// A rivet standing 1 mm proud under the stack is taken off it.
	assert.Equal(t, 47.0, RearFromFaces(141, 42, 1, 3))

	// A double at 43.5 mm (common practice): rings 7.5 mm apart on a 32 mm tube,
	// both read on the outer face of 2 mm teeth, or both on the inner.
	rings := RingLines(43.5, 7.5, 2)
	outer := []float64{rings[0] - 16 + 1, rings[1] - 16 + 1}
	inner := []float64{rings[0] - 16 - 1, rings[1] - 16 - 1}
	assert.InDelta(t, 43.5, FrontFromRings(32, outer, OuterFace, 2), 1e-12)
	assert.InDelta(t, 43.5, FrontFromRings(32, inner, InnerFace, 2), 1e-12)
	// A triple is its middle ring.
	assert.InDelta(t, 50, FrontFromRings(32, []float64{27, 34, 44}, Centre, 2), 1e-12)
	assert.InDelta(t, 53, FrontFromRings(76, []float64{15}, Centre, 2), 1e-12)
	assert.InDelta(t, 38, FrontFromRings(76, nil, Centre, 2), 1e-12, "no reading: the tube's face")
	assert.InDelta(t, 46.5, FrontFromRings(60, []float64{15, 20}, OuterFace, 2), 1e-12)
}

func TestLinesOfAClusterAndARingSet(t *testing.T) {
	y := CogLines(47, 3.65, 12)
	assert.InDelta(t, 47, (y[0]+y[11])/2, 1e-12)
	assert.InDelta(t, 3.65, y[4]-y[5], 1e-12)
	assert.Greater(t, y[0], y[11], "the smallest cog is outermost")

	b := trail()
	assert.InDelta(t, 53, b.FrontLine(), 1e-12)
	assert.InDelta(t, 47, b.RearLine(), 1e-12)
	for i, line := range RingLines(45, 9, 3) {
		if i > 0 {
			b.Rings = append(b.Rings, Wheel{})
		}
		b.Rings[i] = Wheel{sprocket(22 + 10*i), line}
	}
	assert.InDelta(t, 45, b.FrontLine(), 1e-12)
	b.Rings = b.Rings[1:]
	assert.InDelta(t, 49.5, b.FrontLine(), 1e-12)
}
