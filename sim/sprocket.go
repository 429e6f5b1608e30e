package sim

import (
	"math"

	"chainpath/geom"
	"chainpath/sim/engage"
)

// Pitch of bicycle chain, mm: 1/2 in, ISO 9633 and ISO 606 (08 sizes).
const Pitch = 12.7

// Sprocket is a ring, cog or pulley.
type Sprocket struct {
	Teeth     int          // >= 9
	TipHeight float64      // tip circle above the pitch circle, mm
	Tooth     engage.Tooth // every tooth, or the narrow ones of a wide/narrow wheel
	Wide      engage.Tooth // the wide ones, which stand in outer links; zero for a plain wheel
	Allowance float64      // what shift gates and cut teeth take off its hold, mm, >= 0
}

// WideNarrow reports whether wide and narrow teeth alternate.
func (s Sprocket) WideNarrow() bool { return s.Wide.Full > 0 }

// PitchRadius returns r = p/(2 sin(π/N)) in mm for a chain pitch p in mm
// (ISO 606).
func (s Sprocket) PitchRadius(pitch float64) float64 { return geom.PolygonRadius(pitch, s.Teeth) }

// TipRadius returns the tip circle's radius, mm.
func (s Sprocket) TipRadius(pitch float64) float64 { return s.PitchRadius(pitch) + s.TipHeight }

// Thickness returns the thickest part of the teeth, mm.
func (s Sprocket) Thickness() float64 { return max(s.Tooth.Full, s.Wide.Full) }

// taper returns half the teeth's thickness at the tip and in full, mm, and how it
// grows with the depth: of the wide teeth where there are any.
func (s Sprocket) taper() (edge, full, slope float64) {
	t := s.Tooth
	if s.WideNarrow() {
		t = s.Wide
	}
	return t.Tip / 2, t.Full / 2, math.Tan(t.Relief)
}

// Entry returns the wheel as an arriving chain sees it.
func (s Sprocket) Entry(pitch float64) engage.Wheel {
	w := engage.Wheel{
		PitchRadius: s.PitchRadius(pitch),
		TipRadius:   s.TipRadius(pitch),
		Teeth:       [2]engage.Tooth{s.Tooth, s.Tooth},
		Allowance:   s.Allowance,
	}
	if s.WideNarrow() {
		w.Teeth[engage.Outer] = s.Wide
	}
	return w
}

// ISO606 gives the sprocket dimensions of ISO 606 for a pitch and roller in mm.
// Bicycle teeth are shorter and thinner than its industrial ones. The formulas
// are given from memory of the standard.
type ISO606 struct {
	Pitch  float64 // p, mm
	Roller float64 // d1, mm
	Inside float64 // b1, width between the inner plates, mm
}

// pitchDiameter returns d = p/sin(π/z), mm.
func (s ISO606) pitchDiameter(z int) float64 { return 2 * geom.PolygonRadius(s.Pitch, z) }

// tipDiameter returns the least and greatest tip diameter,
// d + p(1 - 1.6/z) - d1 and d + 1.25p - d1, mm.
func (s ISO606) tipDiameter(z int) (least, greatest float64) {
	d := s.pitchDiameter(z)
	return d + s.Pitch*(1-1.6/float64(z)) - s.Roller, d + 1.25*s.Pitch - s.Roller
}

// toothWidth returns bf1 of a single-row wheel: 0.93 b1 up to 12.7 mm pitch,
// 0.95 b1 above, mm.
func (s ISO606) toothWidth() float64 {
	if s.Pitch <= 12.7 {
		return 0.93 * s.Inside
	}
	return 0.95 * s.Inside
}

// sideRelief returns ba, the width of the relief on each side: 0.13 p, but
// 0.06 p for the narrow chains 081, 083, 084 and 085, told here by an inside
// width below half the pitch, mm.
func (s ISO606) sideRelief() float64 {
	if s.Inside < s.Pitch/2 {
		return 0.06 * s.Pitch
	}
	return 0.13 * s.Pitch
}

// Sprocket returns the wheel of z teeth with the middle of the tip diameter's
// bounds, and a straight relief of the same width and depth as the standard's
// arc of radius rx = p.
func (s ISO606) Sprocket(z int) Sprocket {
	least, greatest := s.tipDiameter(z)
	b, w := s.sideRelief(), s.toothWidth()
	depth := math.Sqrt(b * (2*s.Pitch - b)) // of an arc of radius p that moves b sideways
	return Sprocket{
		Teeth:     z,
		TipHeight: (least+greatest)/4 - s.pitchDiameter(z)/2,
		Tooth:     engage.Tooth{Tip: w - 2*b, Full: w, Relief: math.Atan(b / depth)},
	}
}
