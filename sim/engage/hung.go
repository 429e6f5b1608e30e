package engage

import (
	"errors"
	"fmt"
	"math"

	"chainpath/sim/elementary"
)

// ErrHung reports readings of a hung chain that no joint stiffness explains.
var ErrHung = errors.New("engage: hung chain")

// Hung is the bench test of joints under tension: a chain hangs from a clamp that holds its
// first link tilted sideways, with a weight at its end. The chain bends to the plumb line
// over a length that grows with the joints' stiffness.
type Hung struct {
	Links   int     // free links down to the weight's hook, >= 2; the first joint is at the clamp
	Pitch   float64 // mm, > 0
	Tension float64 // the weight, N, > 0; the chain's own is left out
	Tilt    float64 // of the clamped link from plumb, rad, in (0, π/4)
	Contact float64 // l, length over which pin and bush bear, mm, >= 0
}

// leastContact stands for no line contact, mm: it settles which joints below the plumb point
// keep their slack.
const leastContact = 1e-6

// Valid returns an error that wraps ErrHung where a number cannot be.
func (h Hung) Valid() error {
	if h.Links < 2 || !(h.Pitch > 0) || !(h.Tension > 0) || !(h.Tilt > 0 && h.Tilt < math.Pi/4) || !(h.Contact >= 0) ||
		math.IsInf(h.Pitch+h.Tension+h.Contact, 0) {
		return fmt.Errorf("%w: %d links of %g mm under %g N, tilt %g rad, contact %g mm", ErrHung, h.Links, h.Pitch, h.Tension, h.Tilt, h.Contact)
	}
	return nil
}

// build lays the chain upwards from the angle of its last link; angles are from plumb, the
// clamp's first, which comes out as it does. Returned is the lowest joint that turns, -1 for
// none; that one turns by part of its slack alone where part is not negative.
//
// A joint whose weight hangs x aside bears the moment T·x. Line contact holds it to
// T·l/2; beyond that it turns by φ0 + (T·x - T·l/2)/k (see pins.Row).
func (h Hung) build(angle []float64, end, slack, stiffness, part float64) (first int) {
	aside, a := 0.0, end
	first = -1
	for j := h.Links - 1; j >= 0; j-- {
		angle[j+1] = a
		aside += h.Pitch * math.Sin(a)
		beyond := aside - max(h.Contact, leastContact)/2
		switch {
		case beyond > 0 && first < 0 && part >= 0:
			a += part
		case beyond > 0:
			a += slack + h.Tension*beyond/stiffness
		}
		if beyond > 0 && first < 0 {
			first = j
		}
		a = min(a, math.Pi/2)
	}
	angle[0] = a
	return first
}

// bisect narrows from and to, until no number lies between them, to where the clamp's angle
// passes the tilt.
func (h Hung) bisect(from, to float64, clamp func(x float64) float64) (float64, float64) {
	for {
		mid := (from + to) / 2
		if mid <= from || mid >= to {
			return from, to
		}
		if clamp(mid) < h.Tilt {
			from = mid
		} else {
			to = mid
		}
	}
}

// shape returns the angles of the clamp and of every link from plumb, rad. As the last
// link's angle grows the clamp's does, in steps where one more joint begins to turn; within
// a step that joint takes a part of its slack.
func (h Hung) shape(slack, stiffness float64) []float64 {
	angle := make([]float64, h.Links+1)
	_, end := h.bisect(0, h.Tilt, func(x float64) float64 {
		h.build(angle, x, slack, stiffness, -1)
		return angle[0]
	})
	if h.build(angle, end, slack, stiffness, -1); angle[0]-h.Tilt < 1e-9 {
		return angle
	}
	_, part := h.bisect(0, slack, func(x float64) float64 {
		h.build(angle, end, slack, stiffness, x)
		return angle[0]
	})
	h.build(angle, end, slack, stiffness, part)
	return angle
}

// Aside returns how far the weight hangs aside of the clamp's joint, mm, for a joint slack
// in rad, >= 0, and stiffness in N·mm/rad, > 0.
func (h Hung) Aside(slack, stiffness float64) (aside float64) {
	for _, a := range h.shape(slack, stiffness)[1:] {
		aside += h.Pitch * math.Sin(a)
	}
	return aside
}

// Stiffness returns the joint stiffness in N·mm/rad under which the weight hangs so far
// aside, mm, for a joint slack in rad. It lies from 1e3 to 1e7; readings that no stiffness
// between them gives wrap ErrHung.
func (h Hung) Stiffness(aside, slack float64) (float64, error) {
	if err := h.Valid(); err != nil {
		return 0, err
	}
	if !(slack >= 0 && slack < h.Tilt) || !(aside > 0) {
		return 0, fmt.Errorf("%w: %g mm aside with a slack of %g rad, want a slack below the tilt of %g rad", ErrHung, aside, slack, h.Tilt)
	}
	lo, hi := math.Log(1e3), math.Log(1e7)
	least, most := h.Aside(slack, 1e3), h.Aside(slack, 1e7)
	if aside < least || aside > most {
		return 0, fmt.Errorf("%w: %.3g mm aside, want %.3g to %.3g mm with this tilt, weight and slack: measure again", ErrHung, aside, least, most)
	}
	for range 60 {
		mid := (lo + hi) / 2
		if h.Aside(slack, elementary.Exp(mid)) < aside {
			lo = mid
		} else {
			hi = mid
		}
	}
	return elementary.Exp((lo + hi) / 2), nil
}
