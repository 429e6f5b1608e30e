package march

import "math"

// row is the sideways equilibrium of a whole chain: the convex problem of package
// engage's runs, with a tension, a slack and a moment for each place,
//
//	min Σ T/(2p)·(y[i+1] - y[i])² + Σ [M·|φ[i]| + ½k·max(|φ[i]| - φ0[i], 0)²]
//	    + Σ f[i]·|m[i] - m0[i]|
//	φ[i] = (y[i+1] - 2y[i] + y[i-1])/p, m[i] = (y[i] + y[i+1])/2
//	subject to |m[i] ± τ·(y[i+1] - y[i])/p - c[i]| <= play[i]
//
// over the lateral places y of the pins; M = T·l/2 is the line contact of pin and
// bush, f the friction of a seated link, which remembers its place m0 of the step
// before. Each |·| and each bound has a multiplier and is met by the force of an
// augmented Lagrangian; descend.go minimises with the multipliers held.
type row struct {
	pitch, stiffness float64
	tooth            float64   // τ, half a tooth's length along the chain, mm
	tension          []float64 // by link, N
	moment           []float64 // by pin, N·mm
	slack            []float64 // by pin, rad

	y     []float64 // by pin
	bend  []float64 // by pin: multiplier of |φ|, N·mm
	seats []seat    // links that a tooth stands in, by rising link
	soft  float64   // K to begin with, in units of T/p and T·p

	stuck      bool      // harder forces bring it no nearer: bounds leave no place
	hard       float64   // K of this pass
	unit, turn []float64 // T/p by link, N/mm, and T·p by pin, N·mm
	g, d, old  []float64 // gradient, Newton step, places before it
	h0, h1, h2 []float64 // the Hessian's diagonals, then its factors
	kinks      []kink
}

// seat is a link with a tooth in it.
type seat struct {
	link          int // its place in the row
	play, centre  float64
	friction, was float64    // f, N, and m0; none with f 0
	stick         float64    // multiplier of the friction, N
	wall          [2]float64 // multipliers of the bounds at both ends of the tooth, N
}

// K in units of T/p and T·p, as in package engage: soft at first, the more so the less
// is known of the end, then harder from pass to pass.
const (
	softBlind = 50
	softStep  = 300 // from the step before
	hardest   = 1e6
	harder    = 2
	maxPass   = 60
	mostAlike = 8 // passes that come no nearer
)

// give is how far bounds, sticking links and joints may give at a step, mm. Arrivals of
// 18 chains with it and with a thousandth of it differed by 0.0001 mm (median), 0.003
// (95 %) and 0.05 (largest): friction remembers small things.
const give = 3e-5

func newRow(links int, pitch, stiffness float64) *row {
	n := links + 1
	f := func() []float64 { return make([]float64, n) }
	return &row{
		pitch: pitch, stiffness: stiffness, tension: f()[:links], moment: f(), slack: f(),
		y: f(), bend: f(), d: f(), g: f(), old: f(), unit: f()[:links], turn: f(), h0: f(), h1: f(), h2: f(),
		seats: make([]seat, 0, links), kinks: make([]kink, 0, 4*n), soft: softBlind,
	}
}

// middle returns the place of a link's middle, mm.
func (r *row) middle(i int) float64 { return (r.y[i] + r.y[i+1]) / 2 }

func (r *row) phi(i int) float64 { return (r.y[i+1] - 2*r.y[i] + r.y[i-1]) / r.pitch }

// pull returns the tension about a joint, N.
func (r *row) pull(i int) float64 { return (r.tension[i-1] + r.tension[i]) / 2 }

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
func (s *seat) rub(kl, m float64) (f, k float64) {
	f = s.stick + kl*(m-s.was)
	switch {
	case f > s.friction:
		return s.friction, 0
	case f < -s.friction:
		return -s.friction, 0
	}
	return f, kl
}

// push returns the force of the bound at one end of the tooth and its derivative.
func (s *seat) push(end int, kl, x float64) (f, k float64) {
	x -= s.centre
	if f = s.wall[end] + kl*(x-s.play); f > 0 {
		return f, kl
	}
	if f = s.wall[end] + kl*(x+s.play); f < 0 {
		return f, kl
	}
	return 0, 0
}

// solve finds the equilibrium from the present state; it reports false where it did
// not settle. Where rounding does not let it come to within give, a hundred times
// that will do.
func (r *row) solve() bool {
	r.hard = r.soft
	for i, t := range r.tension {
		r.unit[i] = t / r.pitch
		if i > 0 {
			r.turn[i] = r.pull(i) * r.pitch
		}
	}
	r.stuck = false
	gave, alike := 0.0, 0
	for range maxPass {
		if !r.descend() {
			return false
		}
		last := gave
		if gave = r.update(); gave <= give {
			return true
		}
		alike++
		if r.hard < hardest || gave <= 100*give || math.Abs(gave-last) > 1e-6*gave {
			alike = 0
		}
		if r.stuck = alike == mostAlike; r.stuck {
			return false
		}
		r.hard = min(r.hard*harder, hardest)
	}
	return gave <= 100*give
}

// update gives the multipliers the forces found and returns the most that anything
// gave, mm.
func (r *row) update() float64 {
	gave := 0.0
	take := func(lambda *float64, f, perForce float64) {
		if g := math.Abs(f-*lambda) * perForce; g > gave {
			gave = g
		}
		*lambda = f
	}
	for i := 1; i < len(r.y)-1; i++ {
		kj := r.hard * r.turn[i]
		take(&r.bend[i], bounded(r.bend[i]+kj*r.phi(i), r.moment[i]), r.pitch/kj)
	}
	w := r.tooth / r.pitch
	for j := range r.seats {
		s := &r.seats[j]
		kl := r.hard * r.unit[s.link]
		if s.friction > 0 {
			f, _ := s.rub(kl, r.middle(s.link))
			take(&s.stick, f, 1/kl)
		}
		a, b := 0.5-w, 0.5+w
		for e := range s.wall {
			f, _ := s.push(e, kl, a*r.y[s.link]+b*r.y[s.link+1])
			take(&s.wall[e], f, 1/kl)
			a, b = b, a
		}
	}
	return gave
}

// assemble fills gradient and Hessian at y and returns the gradient's largest entry as
// a share of the tension there.
func (r *row) assemble() float64 {
	n := len(r.y)
	y, g, h0, h1, h2 := r.y[:n], r.g[:n], r.h0[:n], r.h1[:n], r.h2[:n]
	bend, moment, slack, unit, turn := r.bend[:n], r.moment[:n], r.slack[:n], r.unit[:n-1], r.turn[:n]
	ip := 1 / r.pitch
	ip2 := ip * ip
	stiff, hard := r.stiffness, r.hard
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
		if most := moment[i]; m > most {
			m, k = most, 0
		} else if m < -most {
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
func (r *row) addSeats() {
	y, g, h0, h1 := r.y, r.g, r.h0, r.h1
	w := r.tooth / r.pitch
	a, b := 0.5-w, 0.5+w
	for j := range r.seats {
		s := &r.seats[j]
		i := s.link
		kl := r.hard * r.unit[i]
		p, q := y[i], y[i+1]
		if s.friction > 0 {
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
