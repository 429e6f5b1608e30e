package engage

import (
	"errors"
	"fmt"
	"math"
)

// ErrSag reports sags that no joint slack and stiffness explain.
var ErrSag = errors.New("engage: sags")

// Cantilever is the bench test of a chain: so many links held at one end, lying
// on their side, so that their own weight bends the joints sideways.
type Cantilever struct {
	Links  int     // free links, >= 1; the first joint is at the clamp
	Pitch  float64 // mm
	Weight float64 // of a link, N
}

// Sag returns how far the free end hangs below the clamp, mm, for a joint slack
// in rad and stiffness in N·mm/rad.
//
// Each joint turns by φ0 + M/k, with M the moment of the links beyond it, whose
// arms shorten as they hang. The shape is found by repeating that from the flat
// one. For small sags it is the closed form
// φ0·p·n(n+1)/2 + (W·p²/2k)·(n(n+1)/2)² (smallSag).
func (c Cantilever) Sag(slack, stiffness float64) float64 {
	n := c.Links
	angle := make([]float64, n) // of link i below level
	var down float64
	for range 200 {
		// Moments from the free end: arm of link j's middle about joint i.
		last := down
		moment, shear := 0.0, 0.0
		turn := make([]float64, n)
		for i := n - 1; i >= 0; i-- {
			x := c.Pitch * math.Cos(angle[i])
			moment += shear*x + c.Weight*x/2
			shear += c.Weight
			turn[i] = slack + moment/stiffness
		}
		down = 0
		a := 0.0
		for i := range n {
			a = min(a+turn[i], math.Pi/2) // a link cannot hang past plumb
			angle[i] = (angle[i] + a) / 2 // half the way, so that long chains settle
			down += c.Pitch * math.Sin(angle[i])
		}
		if math.Abs(down-last) < 1e-12 {
			break
		}
	}
	return down
}

// smallSag returns the sag for small angles, mm.
func (c Cantilever) smallSag(slack, stiffness float64) float64 {
	n := float64(c.Links)
	s := n * (n + 1) / 2
	return slack*c.Pitch*s + c.Weight*c.Pitch*c.Pitch/(2*stiffness)*s*s
}

// FromSags returns the joint slack in rad and stiffness in N·mm/rad that give two
// measured sags in mm. The two lengths must differ, the longer at least by a
// half; errors wrap ErrSag. Method: the small-angle forms, which are linear in
// φ0 and 1/k, then Newton's method on the real shape.
func FromSags(a, b Cantilever, sagA, sagB float64) (slack, stiffness float64, err error) {
	for _, x := range [4]float64{sagA, sagB, a.Weight, b.Weight} {
		if !(x > 0) || math.IsInf(x, 0) {
			return 0, 0, fmt.Errorf("%w: sags %g and %g mm of links of %g and %g N, want all above 0", ErrSag, sagA, sagB, a.Weight, b.Weight)
		}
	}
	if a.Links > b.Links {
		a, b, sagA, sagB = b, a, sagB, sagA
	}
	if a.Links < 2 || 2*b.Links < 3*a.Links {
		return 0, 0, fmt.Errorf("%w: %d and %d links, want at least 2, and half as many again", ErrSag, a.Links, b.Links)
	}
	// Unknowns u = φ0, v = 1/k. smallSag(u, k) = u·A + v·B.
	A1, A2 := a.smallSag(1, math.Inf(1)), b.smallSag(1, math.Inf(1))
	B1, B2 := a.smallSag(0, 1), b.smallSag(0, 1)
	det := A1*B2 - A2*B1
	u, v := (sagA*B2-sagB*B1)/det, (A1*sagB-A2*sagA)/det
	u, v = max(u, 1e-6), max(v, 1e-9)
	f := func(u, v float64) (float64, float64) { return a.Sag(u, 1/v) - sagA, b.Sag(u, 1/v) - sagB }
	for range 60 {
		r1, r2 := f(u, v)
		if math.Abs(r1)+math.Abs(r2) < 1e-9 {
			return u, 1 / v, nil
		}
		hu, hv := 1e-6*u+1e-10, 1e-6*v+1e-14
		p1, p2 := f(u+hu, v)
		q1, q2 := f(u, v+hv)
		j11, j21, j12, j22 := (p1-r1)/hu, (p2-r2)/hu, (q1-r1)/hv, (q2-r2)/hv
		d := j11*j22 - j12*j21
		if d == 0 || math.IsNaN(d) {
			break
		}
		du, dv := -(r1*j22-r2*j12)/d, -(r2*j11-r1*j21)/d
		// Keep both positive: at most a halving a step.
		u, v = max(u+du, u/2), max(v+dv, v/2)
	}
	if r1, r2 := f(u, v); math.Abs(r1)+math.Abs(r2) < 1e-6 && v > 1e-12 && u > 1e-9 {
		return u, 1 / v, nil
	}
	return 0, 0, fmt.Errorf("%w: %d links %g mm and %d links %g mm fit no slack and stiffness above 0: measure again", ErrSag, a.Links, sagA, b.Links, sagB)
}
