package engage

import (
	"math"

	"chainpath/sim/banded"
)

// When a descent has arrived: a gradient as a share of T, or a move in mm. Most end
// exactly, with a full step of Newton's method on which no force changes its piece.
const (
	forceTol    = 1e-8
	moveTol     = 1e-9
	newtonSteps = 300
)

// flat is how small against its start the slope at the end of a step has to be. A
// search this exact takes 30 % fewer steps than one of 0.3, which also cycles in one
// run of a hundred.
const flat = 0.03

// looseness is added to the Hessian's diagonal, in units of T/p: a chain that nothing
// touches has no place of its own and stays where it is.
const looseness = 1e-9

// descend minimises the energy with the multipliers held, by Newton's method on a
// band of half width two with a search along each direction. It reports false where
// it does not arrive.
func (r *pins) descend() bool {
	for range newtonSteps {
		if r.assemble() <= forceTol*r.tension {
			return true
		}
		slope, longest := banded.Newton(r.h0, r.h1, r.h2, r.g, r.d[:len(r.y)])
		if !(math.Abs(slope) <= math.MaxFloat64) {
			return false
		}
		if longest < moveTol {
			return true
		}
		t, straight := r.along(slope)
		y := r.y
		for i, d := range r.d[:len(y)] {
			y[i] += t * d
		}
		if straight {
			return true
		}
	}
	return false
}

// kink is a force along d that changes its piece between the steps 0 and 1, at a
// place x that moves by dx.
type kink struct {
	x, dx  float64
	lambda float64 // of a joint
	seat   *seat   // nil: a joint
	end    int     // of the tooth; rubbing: friction
}

const rubbing = -1

// along returns the step between 0 and 1 at which the energy along d is about least;
// slope is the one at 0. Forces that keep their piece add up to a straight line; to
// what is left, a few kinks, goes Newton's method inside a bracket. straight tells
// that there are none: then the step is 1 and exact.
func (r *pins) along(slope float64) (t float64, straight bool) {
	n := len(r.y)
	y, d, bend := r.y[:n], r.d[:n], r.bend[:n]
	tp, ip := r.tension/r.pitch, 1/r.pitch
	kj := r.hard * r.tension * r.pitch
	moment, stiffness, slack := r.moment, r.stiffness, r.slack
	r.kinks = r.kinks[:0]
	// The straight line: force + t·rate; of the strand in units of T/p.
	v, dv := y[1]-y[0], d[1]-d[0]
	strand, strandRate := v*dv, dv*dv
	force, rate := r.spring*(y[n-1]-r.rest)*d[n-1], r.spring*d[n-1]*d[n-1]
	for i := 1; i < n-1; i++ {
		u, du := y[i+1]-y[i], d[i+1]-d[i]
		strand += u * du
		strandRate += du * du
		x, dx := (u-v)*ip, (du-dv)*ip
		v, dv = u, du
		m, m1, k := bend[i]+kj*x, bend[i]+kj*(x+dx), kj
		kinked := false
		switch {
		case m > moment:
			kinked = m1 < moment
			m, k = moment, 0
		case m < -moment:
			kinked = m1 > -moment
			m, k = -moment, 0
		default:
			kinked = m1 > moment || m1 < -moment
		}
		switch {
		case x > slack:
			kinked = kinked || x+dx < slack
			m += stiffness * (x - slack)
			k += stiffness
		case x < -slack:
			kinked = kinked || x+dx > -slack
			m += stiffness * (x + slack)
			k += stiffness
		default:
			kinked = kinked || x+dx > slack || x+dx < -slack
		}
		if kinked {
			r.kinks = append(r.kinks, kink{x: x, dx: dx, lambda: bend[i]})
			continue
		}
		force += m * dx
		rate += k * dx * dx
	}
	f, k := r.seatsAlong()
	force += tp*strand + f
	rate += tp*strandRate + k
	if len(r.kinks) == 0 {
		return 1, true
	}
	lo, hi := 0.0, 1.0
	t = 1
	for range 40 {
		f, k := r.bent(t)
		f += force + t*rate
		if math.Abs(f) <= flat*math.Abs(slope) || t == 1 && f < 0 {
			break
		}
		if f < 0 {
			lo = t
		} else {
			hi = t
		}
		if t -= f / (k + rate); !(t > lo && t < hi) {
			t = (lo + hi) / 2
		}
	}
	return t, false
}

// seatsAlong lists the kinks of seats along d and returns the straight part of their
// force and its rate.
func (r *pins) seatsAlong() (force, rate float64) {
	y, d := r.y, r.d
	kl := r.hard * r.tension / r.pitch
	w := r.tooth / r.pitch
	for j := range r.seats {
		s := &r.seats[j]
		i := s.link
		p, q, dp, dq := y[i], y[i+1], d[i], d[i+1]
		if s.friction > 0 {
			x, dx := (p+q)/2, (dp+dq)/2
			f, k := s.rub(kl, x)
			f1, k1 := s.rub(kl, x+dx)
			if k != k1 || k == 0 && f != f1 {
				r.kinks = append(r.kinks, kink{x: x, dx: dx, seat: s, end: rubbing})
			} else {
				force += f * dx
				rate += k * dx * dx
			}
		}
		a, b := 0.5-w, 0.5+w
		for e := range s.wall {
			x, dx := a*p+b*q, a*dp+b*dq
			f, k := s.push(e, kl, x)
			f1, k1 := s.push(e, kl, x+dx)
			if k != k1 || f*f1 < 0 {
				r.kinks = append(r.kinks, kink{x: x, dx: dx, seat: s, end: e})
			} else {
				force += f * dx
				rate += k * dx * dx
			}
			if w == 0 {
				break
			}
			a, b = b, a
		}
	}
	return force, rate
}

// bent returns the force of the kinks along d at a step t, and its rate.
func (r *pins) bent(t float64) (force, rate float64) {
	kj, kl := r.hard*r.tension*r.pitch, r.hard*r.tension/r.pitch
	for i := range r.kinks {
		c := &r.kinks[i]
		x := c.x + t*c.dx
		var f, k float64
		switch {
		case c.seat == nil:
			f, k = r.joint(c.lambda, kj, x)
		case c.end == rubbing:
			f, k = c.seat.rub(kl, x)
		default:
			f, k = c.seat.push(c.end, kl, x)
		}
		force += f * c.dx
		rate += k * c.dx * c.dx
	}
	return force, rate
}
