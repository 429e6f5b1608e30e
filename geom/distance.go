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
	return math.Min(x, 1)
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

// radii returns the nearest and farthest distance from the axis at u.
func (s Strip) radii(u float64) (near, far float64) {
	lo := math.Max(0, s.Height-s.Half)
	hi := s.Height + s.Half
	return math.Sqrt(u*u + lo*lo), math.Sqrt(u*u + hi*hi)
}

// Inside returns the u between which the strip's nearer edge is within radius r
// of the axis; ok is false where it never is.
func (s Strip) Inside(r float64) (from, to float64, ok bool) {
	lo := math.Max(0, s.Height-s.Half)
	if !(r > lo) {
		return 0, 0, false
	}
	reach := math.Sqrt(r*r - lo*lo)
	from, to = math.Max(-reach, s.From), math.Min(reach, s.To)
	return from, to, from < to
}

// DiscGap returns the least signed gap along the axis between the strip and a
// coaxial disc, and the u at which it is reached. The disc has the given rim
// radius and faces whose half thickness depends on the depth below the rim: the
// function half(depth) must not fall with depth. The disc's middle is at place
// at; side is +1 when the strip lies on the disc's positive side, -1 when on
// the other. ok is false when the strip never lies below the rim.
//
// profile gives the strip's place along the axis at u; nil means the straight
// Start + Drift·u. The minimum is taken over steps of step along the part below
// the rim, both ends included; between steps a profile as flat as a chain's
// differs from its chord by less than 1e-3 step.
func (s Strip) DiscGap(rim, at float64, side int, half func(depth float64) float64, profile func(u float64) float64, step float64) (gap, u float64, ok bool) {
	from, to, ok := s.Inside(rim)
	if !ok || !(step > 0) {
		return 0, 0, false
	}
	n := int(math.Ceil((to-from)/step)) + 1
	gap = math.Inf(1)
	for i := 0; i <= n; i++ {
		v := from + (to-from)*float64(i)/float64(n)
		near, _ := s.radii(v)
		place := s.Start + s.Drift*v
		if profile != nil {
			place = profile(v)
		}
		g := float64(side)*(place-at) - half(math.Max(0, rim-near))
		if g < gap {
			gap, u = g, v
		}
	}
	return gap, u, true
}

// TorusGap returns the least signed distance between the strip and a torus
// about the same axis (circle of radius major, tube of radius minor, middle at
// place at) and the u at which it is reached. At each u the strip's whole
// height counts. Method: a scan of the length in 32 steps, then golden-section
// search around the best; the distance is unimodal between steps for a strip
// that drifts by less than its length.
func (s Strip) TorusGap(major, minor, at float64) (gap, u float64) {
	lo2 := math.Max(0, s.Height-s.Half)
	lo2 *= lo2
	hi2 := s.Height + s.Half
	hi2 *= hi2
	major2 := major * major
	f := func(v float64) float64 { // squared distance to the circle
		radial, v2 := 0.0, v*v
		switch {
		case v2+hi2 < major2:
			radial = major - math.Sqrt(v2+hi2)
		case v2+lo2 > major2:
			radial = math.Sqrt(v2+lo2) - major
		}
		along := s.Start + s.Drift*v - at
		return radial*radial + along*along
	}
	const n = 32
	best, bi := math.Inf(1), 0
	for i := 0; i <= n; i++ {
		if d := f(s.at(i, n)); d < best {
			best, bi = d, i
		}
	}
	lo, hi := s.at(max(bi-1, 0), n), s.at(min(bi+1, n), n)
	u = s.at(bi, n)
	if v, d := golden(f, lo, hi); d < best {
		best, u = d, v
	}
	return math.Sqrt(best) - minor, u
}

// at returns the u of step i of n along the strip.
func (s Strip) at(i, n int) float64 { return s.From + (s.To-s.From)*float64(i)/float64(n) }

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
