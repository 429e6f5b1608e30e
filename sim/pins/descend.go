package pins

import (
	"math"
)

// When a descent has arrived: a gradient as a share of the tension, or a move in mm.
const (
	forceTol    = 1e-8
	moveTol     = 1e-9
	newtonSteps = 600
)

// flat is how small against its start the slope at the end of a step has to be.
const flat = 0.03

// looseness is added to the Hessian's diagonal, in units of T/p: a chain that nothing
// touches has no place of its own and stays where it is.
const looseness = 1e-9

// descend minimises the energy with the multipliers held, by Newton's method on a
// band of half width two. A full step is taken where the slope at its end is not yet
// past flat; else the step is searched for. It reports false where it does not arrive.
func (r *Row) descend() bool {
	off := r.assemble()
	for range newtonSteps {
		if off <= forceTol {
			return true
		}
		slope, longest := newton(r.h0, r.h1, r.h2, r.g, r.d[:len(r.Y)])
		if !(math.Abs(slope) <= math.MaxFloat64) {
			return false
		}
		if longest < moveTol {
			return true
		}
		y, d, g := r.Y, r.d[:len(r.Y)], r.g[:len(r.Y)]
		copy(r.old, y)
		for i, x := range d {
			y[i] += x
		}
		off = r.assemble()
		end := 0.0
		for i, x := range d {
			end += x * g[i]
		}
		if end <= flat*math.Abs(slope) {
			continue
		}
		copy(y, r.old)
		t := r.along(slope)
		for i, x := range d {
			y[i] += t * x
		}
		off = r.assemble()
	}
	return false
}

// kink is a force along d that changes its piece between the steps 0 and 1, at a
// place x that moves by dx.
type kink struct {
	x, dx float64
	pin   int   // of a joint
	seat  *Seat // nil: a joint
	end   int   // of the tooth; rubbing: friction
}

const rubbing = -1

// along returns the step between 0 and 1 at which the energy along d is about least;
// slope is the one at 0. Forces that keep their piece add up to a straight line; to
// what is left, a few kinks, goes Newton's method inside a bracket.
func (r *Row) along(slope float64) float64 {
	n := len(r.Y)
	y, d, bend, unit, turn := r.Y[:n], r.d[:n], r.Bend[:n], r.unit[:n-1], r.turn[:n]
	ip := 1 / r.Pitch
	r.kinks = r.kinks[:0]
	// The straight line: force + t·rate.
	v, dv := y[1]-y[0], d[1]-d[0]
	force := unit[0]*v*dv + r.Spring*(y[n-1]-r.Rest)*d[n-1]
	rate := unit[0]*dv*dv + r.Spring*d[n-1]*d[n-1]
	for i := 1; i < n-1; i++ {
		u, du := y[i+1]-y[i], d[i+1]-d[i]
		w := unit[i]
		force += w * u * du
		rate += w * du * du
		x, dx := (u-v)*ip, (du-dv)*ip
		v, dv = u, du
		kj := r.hard * turn[i]
		moment, slack := r.Moment[i], r.Slack[i]
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
			m += r.Stiffness * (x - slack)
			k += r.Stiffness
		case x < -slack:
			kinked = kinked || x+dx > -slack
			m += r.Stiffness * (x + slack)
			k += r.Stiffness
		default:
			kinked = kinked || x+dx > slack || x+dx < -slack
		}
		if kinked {
			r.kinks = append(r.kinks, kink{x: x, dx: dx, pin: i})
			continue
		}
		force += m * dx
		rate += k * dx * dx
	}
	f, k := r.seatsAlong()
	force += f
	rate += k
	lo, hi, t := 0.0, 1.0, 1.0
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
	return t
}

// seatsAlong lists the kinks of seats along d and returns the straight part of their
// force and its rate.
func (r *Row) seatsAlong() (force, rate float64) {
	y, d := r.Y, r.d
	w := r.Tooth / r.Pitch
	for j := range r.Seats {
		s := &r.Seats[j]
		i := s.Link
		kl := r.hard * r.unit[i]
		p, q, dp, dq := y[i], y[i+1], d[i], d[i+1]
		if s.Friction > 0 {
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
		for e := range s.Wall {
			x, dx := a*p+b*q, a*dp+b*dq
			f, k := s.push(e, kl, x)
			f1, k1 := s.push(e, kl, x+dx)
			if k != k1 || f*f1 < 0 {
				r.kinks = append(r.kinks, kink{x: x, dx: dx, seat: s, end: e})
			} else {
				force += f * dx
				rate += k * dx * dx
			}
			a, b = b, a
		}
	}
	return force, rate
}

// bent returns the force of the kinks along d at a step t, and its rate.
func (r *Row) bent(t float64) (force, rate float64) {
	for i := range r.kinks {
		c := &r.kinks[i]
		x := c.x + t*c.dx
		var f, k float64
		switch {
		case c.seat == nil:
			f, k = r.joint(c.pin, x)
		case c.end == rubbing:
			f, k = c.seat.rub(r.hard*r.unit[c.seat.Link], x)
		default:
			f, k = c.seat.push(c.end, r.hard*r.unit[c.seat.Link], x)
		}
		force += f * c.dx
		rate += k * c.dx * c.dx
	}
	return force, rate
}

// joint returns a joint's moment at an angle and its derivative.
func (r *Row) joint(i int, x float64) (m, k float64) {
	kj := r.hard * r.turn[i]
	m, k = r.Bend[i]+kj*x, kj
	if m > r.Moment[i] || m < -r.Moment[i] {
		m, k = bounded(m, r.Moment[i]), 0
	}
	switch {
	case x > r.Slack[i]:
		return m + r.Stiffness*(x-r.Slack[i]), k + r.Stiffness
	case x < -r.Slack[i]:
		return m + r.Stiffness*(x+r.Slack[i]), k + r.Stiffness
	}
	return m, k
}
