package engage

import "math"

// pins is a row of pins with line contact, seat friction and teeth: the convex
// problem
//
//	min Σ T/(2p)·(y[i+1] - y[i])² + Σ [M·|φ[i]| + ½k·max(|φ[i]| - φ0, 0)²]
//	    + Σ f[i]·|m[i] - m0[i]| + ½s·(y[n-1] - y0)²
//	φ[i] = (y[i+1] - 2y[i] + y[i-1])/p, m[i] = (y[i] + y[i+1])/2
//	subject to |m[i] ± τ·(y[i+1] - y[i])/p - c[i]| <= play[i]
//
// over the lateral places y, where the last pin may be held by a spring. Each |·| and
// each bound carries a multiplier λ and is met by the force bounded(λ + K·g, …) of an
// augmented Lagrangian: with the multipliers held, the energy is piecewise quadratic
// with a continuous slope and is minimised by descend; then the multipliers take the
// forces found, until nothing gives by more than give. Multipliers and places are
// kept from solve to solve, so that the steps of a march start near their end.
type pins struct {
	pitch     float64
	tension   float64
	moment    float64 // M, N·mm: line contact
	stiffness float64 // k, N·mm/rad
	slack     float64 // φ0, rad
	tooth     float64 // τ, half a tooth's length along the chain, mm

	spring float64 // s, N/mm, of the last pin
	rest   float64 // y0, mm
	give   float64 // how far bounds, sticking links and joints may give, mm
	soft   float64 // K to begin with

	y     []float64 // by pin
	bend  []float64 // by pin: multiplier of |φ|
	seats []seat    // links that a tooth stands in, by rising link

	hard       float64   // K of this pass in units of T/p and T·p
	g, d       []float64 // gradient and direction
	h0, h1, h2 []float64 // Hessian's diagonals
	kinks      []kink
}

// seat is a link with a tooth in it.
type seat struct {
	link          int // its place in the row
	number        int // what the caller knows it by
	play, centre  float64
	friction, was float64    // f, N, and m0; no friction with f 0
	stick         float64    // multiplier of the friction
	wall          [2]float64 // multipliers of the bounds at both ends of the tooth
}

// K in units of T/p and T·p: soft at first, for few steps, the more so the less is known
// of the end; then harder from pass to pass, for few passes. Tuned on 200 random runs:
// other values within a factor of 10 take up to 100 % more time.
const (
	softBlind   = 50
	softStep    = 300  // from the step before
	softGuessed = 3000 // from the step before and past
	hardest     = 1e6
	harder      = 2
	maxPass     = 40
)

func grown(x []float64, n int) []float64 {
	if cap(x) < n {
		y := make([]float64, n, n+8)
		copy(y, x)
		return y
	}
	old := len(x)
	x = x[:n]
	for i := old; i < n; i++ {
		x[i] = 0
	}
	return x
}

// resize sets the number of pins; places that stay are kept.
func (r *pins) resize(n int) {
	for _, x := range []*[]float64{&r.y, &r.bend, &r.d, &r.g, &r.h0, &r.h1, &r.h2} {
		*x = grown(*x, n)
	}
}

// shift drops the first pin.
func (r *pins) shift() {
	copy(r.y, r.y[1:])
	copy(r.bend, r.bend[1:])
}

func bounded(x, most float64) float64 {
	if x > most {
		return most
	}
	if x < -most {
		return -most
	}
	return x
}

// middle returns the place of a link's middle, mm.
func (r *pins) middle(i int) float64 { return (r.y[i] + r.y[i+1]) / 2 }

func (r *pins) phi(i int) float64 { return (r.y[i+1] - 2*r.y[i] + r.y[i-1]) / r.pitch }

// joint returns a joint's moment and its derivative.
func (r *pins) joint(lambda, kj, phi float64) (m, k float64) {
	if r.moment > 0 {
		m = lambda + kj*phi
		switch {
		case m > r.moment:
			m = r.moment
		case m < -r.moment:
			m = -r.moment
		default:
			k = kj
		}
	}
	switch {
	case phi > r.slack:
		m += r.stiffness * (phi - r.slack)
		k += r.stiffness
	case phi < -r.slack:
		m += r.stiffness * (phi + r.slack)
		k += r.stiffness
	}
	return m, k
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

// assemble fills gradient and Hessian at y and returns the gradient's largest entry.
func (r *pins) assemble() float64 {
	n := len(r.y)
	y, g, h0, h1, h2, bend := r.y[:n], r.g[:n], r.h0[:n], r.h1[:n], r.h2[:n], r.bend[:n]
	tp, ip := r.tension/r.pitch, 1/r.pitch
	ip2 := ip * ip
	kj, kl := r.hard*r.tension*r.pitch, r.hard*tp
	moment, stiffness, slack := r.moment, r.stiffness, r.slack
	loose := tp * looseness
	for i := range n {
		h0[i] = 2*tp + loose
		h1[i] = -tp
		h2[i] = 0
	}
	h0[0] -= tp
	h0[n-1] += r.spring - tp
	f0 := tp * (y[1] - y[0])
	g[0], g[1] = -f0, f0
	for i := 1; i < n-1; i++ {
		f := tp * (y[i+1] - y[i])
		phi := (y[i+1] - 2*y[i] + y[i-1]) * ip
		m, k := 0.0, 0.0
		if moment > 0 {
			m = bend[i] + kj*phi
			if m > moment {
				m = moment
			} else if m < -moment {
				m = -moment
			} else {
				k = kj
			}
		}
		if phi > slack {
			m += stiffness * (phi - slack)
			k += stiffness
		} else if phi < -slack {
			m += stiffness * (phi + slack)
			k += stiffness
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
	g[n-1] += r.spring * (y[n-1] - r.rest)
	w := r.tooth * ip
	a, b := 0.5-w, 0.5+w
	for j := range r.seats {
		s := &r.seats[j]
		i := s.link
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
		if w == 0 {
			continue
		}
		if f, k := s.push(1, kl, b*p+a*q); k != 0 {
			g[i] += b * f
			g[i+1] += a * f
			h0[i] += k * b * b
			h0[i+1] += k * a * a
			h1[i] += k * a * b
		}
	}
	most := 0.0
	for _, x := range g {
		if x = math.Abs(x); x > most {
			most = x
		}
	}
	return most
}

// solve finds the equilibrium; it reports false where it did not settle. Where
// rounding does not let it come to within give, a hundred times that will do.
func (r *pins) solve() bool {
	r.hard = r.soft
	gave := 0.0
	for range maxPass {
		if !r.descend() {
			return false
		}
		if gave = r.update(); gave <= r.give {
			return true
		}
		r.hard = min(r.hard*harder, hardest)
	}
	return gave <= 100*r.give
}

// update gives the multipliers the forces found and returns the most that anything
// gave, mm.
func (r *pins) update() float64 {
	kj, kl := r.hard*r.tension*r.pitch, r.hard*r.tension/r.pitch
	gave := 0.0
	take := func(lambda *float64, f, perForce float64) {
		if g := math.Abs(f-*lambda) * perForce; g > gave {
			gave = g
		}
		*lambda = f
	}
	if r.moment > 0 {
		for i := 1; i < len(r.y)-1; i++ {
			take(&r.bend[i], bounded(r.bend[i]+kj*r.phi(i), r.moment), r.pitch/kj)
		}
	}
	w := r.tooth / r.pitch
	for j := range r.seats {
		s := &r.seats[j]
		if s.friction > 0 {
			f, _ := s.rub(kl, r.middle(s.link))
			take(&s.stick, f, 1/kl)
		}
		a, b := 0.5-w, 0.5+w
		for e := range s.wall {
			f, _ := s.push(e, kl, a*r.y[s.link]+b*r.y[s.link+1])
			take(&s.wall[e], f, 1/kl)
			if w == 0 {
				break
			}
			a, b = b, a
		}
	}
	return gave
}
