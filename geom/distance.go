package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"
)

// Segment is a straight piece in space.
type Segment struct{ A, B r3.Vec }

// At returns the point a share t of the way from A to B.
func (s Segment) At(t float64) r3.Vec { return r3.Add(s.A, r3.Scale(t, r3.Sub(s.B, s.A))) }

// SegmentDistance returns the least distance between two segments and the
// shares of their lengths at which it is reached. Segments of no length are
// points. Method: the quadratic in both shares, minimised on the square
// [0,1]² by clamping one share, then the other (textbook closest-point method).
func SegmentDistance(p, q Segment) (dist, tp, tq float64) {
	u, v, w := r3.Sub(p.B, p.A), r3.Sub(q.B, q.A), r3.Sub(p.A, q.A)
	a, b, c := r3.Dot(u, u), r3.Dot(u, v), r3.Dot(v, v)
	d, e := r3.Dot(u, w), r3.Dot(v, w)
	den := a*c - b*b
	if den > 1e-12*a*c { // not parallel
		tp = clamp01((b*e - c*d) / den)
	}
	if c > 0 {
		tq = clamp01((b*tp + e) / c)
	}
	if a > 0 {
		tp = clamp01((b*tq - d) / a)
	}
	if c > 0 {
		tq = clamp01((b*tp + e) / c)
	}
	d3 := r3.Sub(p.At(tp), q.At(tq))
	return math.Sqrt(r3.Norm2(d3)), tp, tq
}

func clamp01(x float64) float64 {
	if !(x > 0) { // NaN too
		return 0
	}
	return min(x, 1)
}

// Strip is a flat strip beside an axis, drifting along it on the way. Lengths u
// along the strip are counted from the foot of the perpendicular dropped from
// the axis on its middle line; there the middle is Height from the axis and its
// edges Half nearer and farther. Its place along the axis is Start + Drift·u.
type Strip struct {
	Height   float64 // distance of the middle line from the axis, >= 0
	Half     float64 // half the strip's height, >= 0
	Start    float64 // place along the axis at u = 0
	Drift    float64 // change of that place per unit of u
	From, To float64 // the u between which the strip exists, From <= To
}

// Inside returns the u between which the strip's nearer edge is within radius r
// of the axis; ok is false where it never is.
func (s Strip) Inside(r float64) (from, to float64, ok bool) {
	lo := max(0, s.Height-s.Half)
	if !(r > lo) {
		return 0, 0, false
	}
	reach := math.Sqrt(r*r - lo*lo)
	from, to = max(-reach, s.From), min(reach, s.To)
	return from, to, from < to
}

// TaperGap returns the least signed gap along the axis between the strip and a coaxial
// disc, and the u at which it is reached. The disc has the given rim radius and its
// middle at place at; half its thickness is edge at the rim and grows by slope (> 0)
// with the depth below it until it is full. side is +1 when the strip lies on the disc's
// positive side, -1 when on the other. ok is false when the strip never lies below the
// rim. It is exact: the gap is linear along the strip where the disc is full, and
// convex where it tapers, so that its least value lies at an end, where the taper
// ends, or where drift and taper balance.
func (s Strip) TaperGap(rim, at float64, side int, edge, full, slope float64) (gap, u float64, ok bool) {
	from, to, ok := s.Inside(rim)
	if !ok {
		return 0, 0, false
	}
	lo := max(0, s.Height-s.Half)
	gap = math.Inf(1)
	see := func(v float64) {
		if !(v >= from && v <= to) {
			return
		}
		half := min(full, edge+slope*max(0, rim-math.Sqrt(v*v+lo*lo)))
		if g := float64(side)*(s.Start+s.Drift*v-at) - half; g < gap {
			gap, u = g, v
		}
	}
	see(from)
	see(to)
	if knee := rim - (full-edge)/slope; knee > lo {
		v := math.Sqrt(knee*knee - lo*lo)
		see(v)
		see(-v)
	}
	// side·drift + slope·v/√(v² + lo²) = 0.
	if k := -float64(side) * s.Drift / slope; math.Abs(k) < 1 {
		see(k * lo / math.Sqrt(1-k*k))
	}
	return gap, u, true
}

// TorusBeyond reports whether a torus is surely farther from the strip than a gap,
// at little cost; false says nothing. It is for strips whose whole length lies on
// one side of the torus's middle plane.
func (s Strip) TorusBeyond(major, minor, at, gap float64) bool {
	reach, hi := gap+minor, s.Height+s.Half
	if reach < 0 {
		return false
	}
	// Nearer the axis than this, the strip is out of reach of the circle.
	out := 0.0
	if r := major - reach; r > hi {
		out = math.Sqrt(r*r - hi*hi)
	}
	if s.From < -out {
		return false
	}
	a, b := s.Start+s.Drift*max(out, s.From)-at, s.Start+s.Drift*s.To-at
	if s.To < out {
		return true
	}
	return min(a, b) >= reach || max(a, b) <= -reach
}

// TorusGap returns the least signed distance between the strip and a torus
// about the same axis (circle of radius major, tube of radius minor, middle at
// place at) and the u at which it is reached. At each u the strip's whole
// height counts. It is for strips that pass the axis inside the circle, Height + Half <
// major, and drift by less than 0.1, as a chain beside a tyre does.
//
// Method: where the strip spans the circle's radius the distance is that along
// the axis, least at an end or where it is zero; nearer the axis and farther out
// the squared distance (ρ - major)² + along² has its minimum where its derivative
// is zero, found by Newton's method from the end beside that part.
func (s Strip) TorusGap(major, minor, at float64) (gap, u float64) {
	n := nearest{major: major, best: math.Inf(1)}
	s.Start -= at
	if s.To > 0 {
		n.half(s, max(s.From, 0), s.To, +1)
	}
	if s.From < 0 || s.To <= 0 {
		s.Drift = -s.Drift
		n.half(s, max(-s.To, 0), -s.From, -1)
	}
	return math.Sqrt(n.best) - minor, n.u
}

// nearest keeps the nearest point of a strip to a circle found so far.
type nearest struct {
	major, best, u float64 // best: distance squared
}

func (n *nearest) see(d, u float64) {
	if d < n.best {
		n.best, n.u = d, u
	}
}

// half looks at the part of a strip between two u of at least 0; side is -1 for a
// strip turned round.
func (n *nearest) half(s Strip, from, to, side float64) {
	lo, hi := max(0, s.Height-s.Half), s.Height+s.Half
	inner := math.Sqrt(max(0, n.major*n.major-hi*hi))
	outer := math.Sqrt(max(0, n.major*n.major-lo*lo))
	along := func(v float64) float64 { return s.Start + s.Drift*v }
	if a, b := max(from, inner), min(to, outer); a <= b {
		x, y := along(a), along(b)
		n.see(x*x, side*a)
		n.see(y*y, side*b)
		if x*y < 0 {
			n.see(0, side*(a-x/s.Drift))
		}
	}
	if from < inner {
		n.beside(s, from, min(to, inner), hi, true, side)
	}
	if to > outer {
		n.beside(s, max(from, outer), to, lo, false, side)
	}
}

// beside looks at a part in which the edge at height h is the nearest: nearer the
// axis than the circle (inside), or farther.
func (n *nearest) beside(s Strip, from, to, h float64, inside bool, side float64) {
	f := func(v float64) float64 {
		radial, along := math.Sqrt(v*v+h*h)-n.major, s.Start+s.Drift*v
		return radial*radial + along*along
	}
	n.see(f(from), side*from)
	n.see(f(to), side*to)
	v := from
	if inside {
		v = to
	}
	for range 20 {
		rho := math.Sqrt(v*v + h*h)
		g := (rho-n.major)*v/rho + (s.Start+s.Drift*v)*s.Drift
		rise := v*v/(rho*rho) + (rho-n.major)*h*h/(rho*rho*rho) + s.Drift*s.Drift
		if rise < 0.1 { // far from the circle, or past where the method is sure
			x, d := golden(f, from, to)
			n.see(d, side*x)
			return
		}
		next := min(max(v-g/rise, from), to)
		if math.Abs(next-v) < 1e-9 {
			v = next
			break
		}
		v = next
	}
	n.see(f(v), side*v)
}

// golden returns the place and value of a minimum of f on [lo, hi] by
// golden-section search to 1e-5 of the interval.
func golden(f func(float64) float64, lo, hi float64) (x, fx float64) {
	const g = 0.6180339887498949
	a, b := hi-g*(hi-lo), lo+g*(hi-lo)
	fa, fb := f(a), f(b)
	for range 24 {
		if fa < fb {
			hi, b, fb = b, a, fa
			a = hi - g*(hi-lo)
			fa = f(a)
		} else {
			lo, a, fa = a, b, fb
			b = lo + g*(hi-lo)
			fb = f(b)
		}
	}
	if fa < fb {
		return a, fa
	}
	return b, fb
}
