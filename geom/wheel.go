package geom

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// ErrOverlap reports two wheels that are too near each other for the asked
// tangent: one inside the other, or crossing where the band must cross over.
var ErrOverlap = errors.New("geom: circles overlap, no common tangent")

// ErrNumber reports a NaN, an infinity or a negative radius among the inputs.
var ErrNumber = errors.New("geom: not a finite length")

// Sense is the sense in which a wheel turns when the band runs forward along
// the path.
type Sense int8

// The two senses, with the sign they carry in the tangent formula.
const (
	Anticlockwise Sense = +1
	Clockwise     Sense = -1
)

// Wheel is a circle with a sense of rotation.
type Wheel struct {
	Centre r2.Vec  // centre in the plane
	Radius float64 // >= 0
	Sense  Sense   // Anticlockwise or Clockwise
}

// Span is the straight piece of a band between two wheels, in the direction
// the band travels.
type Span struct {
	From   r2.Vec  // where the band leaves the first wheel
	To     r2.Vec  // where it meets the second
	Dir    r2.Vec  // unit direction of travel
	Length float64 // |To - From|, >= 0
}

// Between sets the span to the one that a band draws from wheel a to wheel b.
//
// With D = Cb - Ca and q = σa ra - σb rb the length is L = √(|D|² - q²) and the
// unit direction d solves D = L d + q m, m = (d_Y, -d_X); the band touches at
// C + σ r m. Equal senses give the open tangent, unequal ones the crossed.
// Derivation: m is d turned by a right angle clockwise, so a point C + σ r m of
// a wheel turning with sense σ moves along +d.
//
// It returns ErrOverlap when |D| <= |q| and ErrNumber for input that is not
// finite or a negative radius; the span is then left as it was.
func (s *Span) Between(a, b *Wheel) error {
	dx, dy := b.Centre.X-a.Centre.X, b.Centre.Y-a.Centre.Y
	ra, rb := float64(a.Sense)*a.Radius, float64(b.Sense)*b.Radius
	q := ra - rb
	d2 := dx*dx + dy*dy
	l2 := d2 - q*q
	if !(a.Radius >= 0 && b.Radius >= 0) || math.IsInf(l2, 0) || math.IsNaN(l2) {
		return ErrNumber
	}
	if l2 <= 0 {
		return ErrOverlap
	}
	l := math.Sqrt(l2)
	// As complex numbers m = -i d, so D = d (L - i q) and d = D (L + i q)/|D|².
	over := 1 / d2
	ux := (dx*l - dy*q) * over
	uy := (dy*l + dx*q) * over
	s.From = r2.Vec{X: a.Centre.X + ra*uy, Y: a.Centre.Y - ra*ux}
	s.To = r2.Vec{X: b.Centre.X + rb*uy, Y: b.Centre.Y - rb*ux}
	s.Dir = r2.Vec{X: ux, Y: uy}
	s.Length = l
	return nil
}

// Wrap returns the angle in [0, 2π) over which a band lies on a wheel of sense
// s that it reaches in direction in and leaves in direction out (unit vectors):
// s·(angle of out - angle of in) modulo 2π.
func Wrap(s Sense, in, out r2.Vec) float64 {
	cross := float64(s) * (in.X*out.Y - in.Y*out.X)
	dot := in.X*out.X + in.Y*out.Y
	var w float64
	switch {
	case math.Abs(cross) <= dot:
		w = math.Atan(cross / dot)
	case math.Abs(cross) <= -dot:
		w = math.Pi + math.Atan(cross/dot)
	case cross > 0:
		w = math.Pi/2 - math.Atan(dot/cross)
	case cross < 0:
		w = 3*math.Pi/2 - math.Atan(dot/cross)
	}
	if w < 0 {
		w += 2 * math.Pi
		if w >= 2*math.Pi { // -1e-17 rounds up to a full turn: it is none
			w = 0
		}
	}
	return w
}

// PolygonRadius returns the radius of the circle through the corners of a
// regular polygon of n sides of length side: side / (2 sin(π/n)).
// It returns 0 for n < 3 or a side that is not a positive finite number.
func PolygonRadius(side float64, n int) float64 {
	if n < 3 || !(side > 0) || math.IsInf(side, 0) {
		return 0
	}
	if n < len(chords) {
		return side / chords[n]
	}
	return side / (2 * math.Sin(math.Pi/float64(n)))
}

// chords holds 2 sin(π/n), the side of a polygon in a circle of radius 1, for the
// wheels there are.
var chords = func() (c [128]float64) {
	for n := 3; n < len(c); n++ {
		c[n] = 2 * math.Sin(math.Pi/float64(n))
	}
	return c
}()
