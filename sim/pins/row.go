// Package pins finds the sideways equilibrium of a chain as a row of pins, some links of
// which have teeth in them; it knows no wheel. Lengths are in mm, forces in N, angles in rad.
package pins

import "math"

// Row is a row of pins under tension: the convex problem
//
//	min Σ T[i]/(2p)·(y[i+1] - y[i])² + Σ [M[i]·|φ[i]| + ½k·max(|φ[i]| - φ0[i], 0)²]
//	    + Σ f[i]·|m[i] - m0[i]| + ½s·(y[n-1] - y0)²
//	φ[i] = (y[i+1] - 2y[i] + y[i-1])/p, m[i] = (y[i] + y[i+1])/2
//	subject to |m[i] ± τ·(y[i+1] - y[i])/p - c[i]| <= play[i]
//
// over the lateral places y of n pins; link i joins pins i and i+1. M = T·l/2 is the line
// contact of pin and bush, f the friction of a seated link, which remembers its place m0 of
// the step before; the last pin may be held by a spring. Each |·| and each bound has a
// multiplier and is met by the force bounded(λ + K·g, …) of an augmented Lagrangian: with
// the multipliers held, the energy is piecewise quadratic with a continuous slope and is
// minimised by descend; then the multipliers take the forces found, until nothing gives by
// more than Give. Places and multipliers are kept from solve to solve, so that the steps of
// a march start near their end. It is scratch: for one goroutine.
type Row struct {
	Pitch     float64   // p, mm, > 0
	Stiffness float64   // k, N·mm/rad, >= 0
	Tooth     float64   // τ, half a tooth's length along the chain, mm, in [0, p/2)
	Tension   []float64 // T by link, N, > 0
	Moment    []float64 // M by pin, N·mm, >= 0; those at the ends mean nothing
	Slack     []float64 // φ0 by pin, rad, >= 0; the same

	Spring float64 // s, N/mm, of the last pin; 0: none
	Rest   float64 // y0, mm
	Give   float64 // how far bounds, sticking links and joints may give, mm, > 0
	Soft   float64 // K to begin with, in units of T/p and T·p: SoftBlind to SoftGuessed

	Y     []float64 // by pin, mm
	Bend  []float64 // by pin: multiplier of |φ|, N·mm
	Seats []Seat    // links that a tooth stands in, by rising link

	Stuck bool // after Solve: harder forces bring it no nearer, bounds leave no place

	hard       float64   // K of this pass
	unit, turn []float64 // T/p by link, N/mm, and T·p by pin, N·mm
	g, d, old  []float64 // gradient, Newton step, places before it
	h0, h1, h2 []float64 // the Hessian's diagonals, then its factors
	kinks      []kink
}

// Seat is a link with a tooth in it.
type Seat struct {
	Link     int        // its place in the row
	Play     float64    // how far its middle may stand off the tooth's either way, mm, >= 0
	Centre   float64    // the tooth's middle, mm
	Friction float64    // f, N; none with 0
	Was      float64    // m0, mm
	Stick    float64    // multiplier of the friction, N
	Wall     [2]float64 // multipliers of the bounds at both ends of the tooth, N
}

// K in units of T/p and T·p: soft at first, for few steps, the more so the less is known
// of the end; then harder from pass to pass, for few passes. Tuned on 200 random runs:
// other values within a factor of 10 take up to 100 % more time.
const (
	SoftBlind   = 50
	SoftStep    = 300  // from the step before
	SoftGuessed = 3000 // from the step before and what a march has learned
	hardest     = 1e6
	harder      = 2
	maxPass     = 60
	mostAlike   = 8 // passes that come no nearer
)

// Resize sets the number of pins, n >= 3; places and multipliers that stay are kept.
func (r *Row) Resize(n int) {
	for _, x := range []*[]float64{&r.Moment, &r.Slack, &r.Y, &r.Bend, &r.turn, &r.d, &r.g, &r.old, &r.h0, &r.h1, &r.h2} {
		*x = resized(*x, n)
	}
	r.Tension, r.unit = resized(r.Tension, n-1), resized(r.unit, n-1)
}

func resized(x []float64, n int) []float64 {
	if n > len(x) {
		return append(x, make([]float64, n-len(x))...)
	}
	return x[:n]
}

// Middle returns the place of a link's middle, mm.
func (r *Row) Middle(i int) float64 { return (r.Y[i] + r.Y[i+1]) / 2 }

func (r *Row) phi(i int) float64 { return (r.Y[i+1] - 2*r.Y[i] + r.Y[i-1]) / r.Pitch }

// Pull returns the tension about a joint, N.
func (r *Row) Pull(i int) float64 { return (r.Tension[i-1] + r.Tension[i]) / 2 }

func bounded(x, most float64) float64 {
	switch {
	case x > most:
		return most
	case x < -most:
		return -most
	}
	return x
}

// rub returns the force of a seat's friction at a middle and its derivative.
func (s *Seat) rub(kl, m float64) (f, k float64) {
	f = s.Stick + kl*(m-s.Was)
	switch {
	case f > s.Friction:
		return s.Friction, 0
	case f < -s.Friction:
		return -s.Friction, 0
	}
	return f, kl
}

// push returns the force of the bound at one end of the tooth and its derivative.
func (s *Seat) push(end int, kl, x float64) (f, k float64) {
	x -= s.Centre
	if f = s.Wall[end] + kl*(x-s.Play); f > 0 {
		return f, kl
	}
	if f = s.Wall[end] + kl*(x+s.Play); f < 0 {
		return f, kl
	}
	return 0, 0
}

// Solve finds the equilibrium from the present state; it reports false where it did
// not settle. Where rounding does not let it come to within Give, a hundred times
// that will do.
func (r *Row) Solve() bool {
	r.hard = r.Soft
	r.scale()
	r.Stuck = false
	gave, alike := 0.0, 0
	for range maxPass {
		if !r.descend() {
			return false
		}
		last := gave
		if gave = r.update(); gave <= r.Give {
			return true
		}
		alike++
		if r.hard < hardest || gave <= 100*r.Give || math.Abs(gave-last) > 1e-6*gave {
			alike = 0
		}
		if r.Stuck = alike == mostAlike; r.Stuck {
			return false
		}
		r.hard = min(r.hard*harder, hardest)
	}
	return gave <= 100*r.Give
}

// scale fills the units that K is in.
func (r *Row) scale() {
	for i, t := range r.Tension {
		r.unit[i] = t / r.Pitch
		if i > 0 {
			r.turn[i] = r.Pull(i) * r.Pitch
		}
	}
}

// update gives the multipliers the forces found and returns the most that anything
// gave, mm.
func (r *Row) update() float64 {
	gave := 0.0
	take := func(lambda *float64, f, perForce float64) {
		if g := math.Abs(f-*lambda) * perForce; g > gave {
			gave = g
		}
		*lambda = f
	}
	for i := 1; i < len(r.Y)-1; i++ {
		kj := r.hard * r.turn[i]
		take(&r.Bend[i], bounded(r.Bend[i]+kj*r.phi(i), r.Moment[i]), r.Pitch/kj)
	}
	w := r.Tooth / r.Pitch
	for j := range r.Seats {
		s := &r.Seats[j]
		kl := r.hard * r.unit[s.Link]
		if s.Friction > 0 {
			f, _ := s.rub(kl, r.Middle(s.Link))
			take(&s.Stick, f, 1/kl)
		}
		a, b := 0.5-w, 0.5+w
		for e := range s.Wall {
			f, _ := s.push(e, kl, a*r.Y[s.Link]+b*r.Y[s.Link+1])
			take(&s.Wall[e], f, 1/kl)
			a, b = b, a
		}
	}
	return gave
}

// assemble fills gradient and Hessian at y and returns the gradient's largest entry as
// a share of the tension there.
func (r *Row) assemble() float64 {
	n := len(r.Y)
	y, g, h0, h1, h2 := r.Y[:n], r.g[:n], r.h0[:n], r.h1[:n], r.h2[:n]
	bend, moment, slack, unit, turn := r.Bend[:n], r.Moment[:n], r.Slack[:n], r.unit[:n-1], r.turn[:n]
	ip := 1 / r.Pitch
	ip2 := ip * ip
	stiff, hard := r.Stiffness, r.hard
	w := unit[0]
	v := y[1] - y[0]
	f := w * v
	g[0], g[1] = -f, f
	h0[0], h0[1], h1[0], h2[0] = w*(1+looseness), w*(1+looseness), -w, 0
	for i := 1; i < n-1; i++ {
		w := unit[i]
		u := y[i+1] - y[i]
		x := (u - v) * ip
		v = u
		f := w * u
		h0[i] += w * (1 + looseness)
		h0[i+1] = w * (1 + looseness)
		h1[i] = -w
		h2[i] = 0
		k := hard * turn[i]
		m := bend[i] + k*x
		if most := moment[i]; m >= most {
			m, k = most, 0
		} else if m <= -most {
			m, k = -most, 0
		}
		if free := slack[i]; x > free {
			m += stiff * (x - free)
			k += stiff
		} else if x < -free {
			m += stiff * (x + free)
			k += stiff
		}
		m *= ip
		g[i-1] += m
		g[i] -= 2*m + f
		g[i+1] = m + f
		if k != 0 {
			k *= ip2
			h0[i-1] += k
			h0[i] += 4 * k
			h0[i+1] += k
			h1[i-1] -= 2 * k
			h1[i] -= 2 * k
			h2[i-1] += k
		}
	}
	g[n-1] += r.Spring * (y[n-1] - r.Rest)
	h0[n-1] += r.Spring
	h1[n-1], h2[n-1] = 0, 0
	r.addSeats()
	most := 0.0 // in units of T/p
	for i, x := range g[:n-1] {
		if x = math.Abs(x); x > most*unit[i] {
			most = x / unit[i]
		}
	}
	return max(most, math.Abs(g[n-1])/unit[n-2]) * ip
}

// addSeats adds the seats' forces to gradient and Hessian.
func (r *Row) addSeats() {
	y, g, h0, h1 := r.Y, r.g, r.h0, r.h1
	w := r.Tooth / r.Pitch
	a, b := 0.5-w, 0.5+w
	for j := range r.Seats {
		s := &r.Seats[j]
		i := s.Link
		kl := r.hard * r.unit[i]
		p, q := y[i], y[i+1]
		if s.Friction > 0 {
			f, k := s.rub(kl, (p+q)/2)
			f, k = f/2, k/4
			g[i] += f
			g[i+1] += f
			h0[i] += k
			h0[i+1] += k
			h1[i] += k
		}
		if f, k := s.push(0, kl, a*p+b*q); k != 0 {
			g[i] += a * f
			g[i+1] += b * f
			h0[i] += k * a * a
			h0[i+1] += k * b * b
			h1[i] += k * a * b
		}
		if f, k := s.push(1, kl, b*p+a*q); k != 0 {
			g[i] += b * f
			g[i+1] += a * f
			h0[i] += k * b * b
			h0[i+1] += k * a * a
			h1[i] += k * a * b
		}
	}
}

// Over returns how far a link stands beyond the bounds of its tooth, mm.
func (r *Row) Over(s *Seat) float64 {
	w := r.Tooth / r.Pitch
	a, b := 0.5-w, 0.5+w
	p, q := r.Y[s.Link]-s.Centre, r.Y[s.Link+1]-s.Centre
	return max(0, math.Abs(a*p+b*q)-s.Play, math.Abs(b*p+a*q)-s.Play)
}
