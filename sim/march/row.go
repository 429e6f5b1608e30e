package march

import "math"

// row is the sideways equilibrium of a chain with contacts: the minimum over pin
// places y of
//
//	Σ T/(2p)·Δy² + Σ ½k·max(|φ| - φ0, 0)² + Σ ½K·max(|m - c| - play, 0)² + Σ ½ε·(y - base)²
//
// φ = (y[i+1] - 2y[i] + y[i-1])/p at joint i, m the middle of a link. Contacts are
// stiff springs, not bounds, so that any start is allowed: the chain moves under
// its contacts from step to step.
type row struct {
	pitch, stiffness float64
	tension          []float64 // by link, N
	slack            []float64 // by pin, rad
	play             []float64 // by link, mm; +Inf: no contact
	centre           []float64 // by link: what the play is about
	push             []float64 // by link: sideways force on its middle, N
	base             []float64 // by pin: the straight path

	y, d, g    []float64 // state, Newton step, gradient
	h0, h1, h2 []float64 // the Hessian's diagonals, then its factors
	c0, c1     float64   // of the line search
	bits       []bit
}

// Stiffness of a contact, N/mm: of two steel edges; a newton moves it 5e-6 mm.
// anchor holds a chain that touches nothing, N/mm: it pulls with less than a
// thousandth of a newton.
const (
	contact = 2e5
	anchor  = 1e-5
)

// settled ends a solve: the largest move of the last step, mm.
const settled = 1e-6

// mostSteps bounds a solve. From step to step four or five are needed.
const mostSteps = 400

func newRow(links int, pitch, stiffness float64) *row {
	n := links + 1
	f := func() []float64 { return make([]float64, n) }
	return &row{
		pitch: pitch, stiffness: stiffness,
		tension: f()[:links], play: f()[:links], centre: f()[:links], push: f()[:links],
		slack: f(), base: f(), y: f(), d: f(), g: f(), h0: f(), h1: f(), h2: f(),
		bits: make([]bit, 0, 2*n),
	}
}

// middle returns the place of a link's middle, mm.
func (r *row) middle(i int) float64 { return (r.y[i] + r.y[i+1]) / 2 }

// held returns the force with which a contact pushes link i back, N, positive
// towards positive y.
func (r *row) held(i int) float64 {
	m := r.middle(i) - r.centre[i]
	return -contact * beyond(m, r.play[i])
}

// beyond returns x less the play either way, or 0 inside it.
func beyond(x, play float64) float64 {
	switch {
	case x > play:
		return x - play
	case x < -play:
		return x + play
	}
	return 0
}

// solve finds the equilibrium from the present state by Newton's method on the
// piecewise quadratic energy, with a line search on its slope. It reports whether
// it settled.
func (r *row) solve() bool {
	damp := 0.0
	for range mostSteps {
		r.assemble(damp)
		r.factor()
		most := 0.0
		for _, d := range r.d {
			most = math.Max(most, math.Abs(d))
		}
		if math.IsNaN(most) {
			return false
		}
		t := 1.0
		if most > settled {
			t = r.step()
		}
		for i, d := range r.d {
			r.y[i] += t * d
		}
		if most <= settled && damp == 0 {
			return true
		}
		damp = dampNext(damp, t)
	}
	return false
}

// dampNext returns the damping of the next step, N/mm, from how much of the last
// was taken: a loose chain, whose joints turn freely, would else be thrown from
// contact to contact.
func dampNext(damp, taken float64) float64 {
	switch {
	case taken < 0.2:
		return math.Min(math.Max(8*damp, 0.5), 500)
	case damp > 0.1 && taken < 1:
		return damp / 2
	case damp > 0.1:
		return damp / 8
	}
	return 0
}

// assemble fills gradient and Hessian at y, damp added to the diagonal.
func (r *row) assemble(damp float64) {
	n := len(r.y)
	y, g, h0, h1, h2 := r.y, r.g[:n], r.h0[:n], r.h1[:n], r.h2[:n]
	for i := range g {
		g[i] = anchor * (y[i] - r.base[i])
		h0[i], h1[i], h2[i] = anchor+damp, 0, 0
	}
	tp := 1 / r.pitch
	for i, t := range r.tension {
		w := t * tp
		f := w * (y[i+1] - y[i])
		g[i] -= f + r.push[i]/2
		g[i+1] += f - r.push[i]/2
		h0[i] += w
		h0[i+1] += w
		h1[i] -= w
		if p := r.play[i]; !math.IsInf(p, 1) {
			m := (y[i]+y[i+1])/2 - r.centre[i]
			if b := beyond(m, p); b != 0 {
				f := contact * b / 2
				g[i] += f
				g[i+1] += f
				h0[i] += contact / 4
				h0[i+1] += contact / 4
				h1[i] += contact / 4
			}
		}
	}
	kp2 := r.stiffness * tp * tp
	for i := 1; i < n-1; i++ {
		b := beyond((y[i+1]-2*y[i]+y[i-1])*tp, r.slack[i])
		if b == 0 {
			continue
		}
		f := r.stiffness * b * tp
		g[i-1] += f
		g[i] -= 2 * f
		g[i+1] += f
		h0[i-1] += kp2
		h0[i] += 4 * kp2
		h0[i+1] += kp2
		h1[i-1] -= 2 * kp2
		h1[i] -= 2 * kp2
		h2[i-1] += kp2
	}
}

// factor solves H d = -g by LDLᵀ of the pentadiagonal H, which is positive
// definite.
func (r *row) factor() {
	n := len(r.y)
	d, g, h0, h1, h2 := r.d[:n], r.g[:n], r.h0[:n], r.h1[:n], r.h2[:n]
	// h0 becomes 1/D, h1 and h2 the columns of L below the diagonal.
	var u1, u2, l1, l2 float64 // pivot row's L·D terms of the two columns before
	for i := range n {
		p := h0[i]
		e := h1[i]
		if i > 0 {
			p -= l1 * u1
			e -= l1 * h2[i-1]
		}
		if i > 1 {
			p -= l2 * u2
		}
		inv := 1 / p
		rhs := -g[i]
		if i > 0 {
			rhs -= l1 * d[i-1]
		}
		if i > 1 {
			rhs -= l2 * d[i-2]
		}
		d[i] = rhs
		// Next row: column i gives l1 = e/p, column i-1 gives l2 = h2[i-1]·inv[i-1].
		if i > 0 {
			l2, u2 = h2[i-1]*h0[i-1], h2[i-1]
		}
		l1, u1 = e*inv, e
		h0[i], h1[i] = inv, e
	}
	// Now d holds L⁻¹(-g), h0 = 1/D, h1 = L·D one below, h2 = L·D two below.
	for i := n - 1; i >= 0; i-- {
		v := d[i]
		if i+1 < n {
			v -= h1[i] * d[i+1]
		}
		if i+2 < n {
			v -= h2[i] * d[i+2]
		}
		d[i] = v * h0[i]
	}
}

// step returns how far to go along d, at most 1: to where the energy's slope has
// fallen to a twentieth of what it was, so that it need not be exact.
func (r *row) step() float64 {
	g0 := 0.0
	for i, d := range r.d {
		g0 += r.g[i] * d
	}
	const enough = 0.05
	r.along()
	g := r.slope(1)
	if g <= -enough*g0 { // not past the minimum by much
		return 1
	}
	// The slope rises along d, piecewise linear with steep pieces: the false
	// position in its Illinois form, bisection now and then.
	lo, hi, glo, ghi := 0.0, 1.0, g0, g
	for i := range 60 {
		t := lo - glo*(hi-lo)/(ghi-glo)
		if i%4 == 3 || !(t > lo && t < hi) {
			t = (lo + hi) / 2
		}
		g = r.slope(t)
		switch {
		case math.Abs(g) <= -enough*g0:
			return t
		case g < 0:
			lo, glo = t, g
			ghi /= 2
		default:
			hi, ghi = t, g
			glo /= 2
		}
	}
	return lo
}

// bit is one contact or joint along a step: its value, the change of that over the
// full step, the play or slack it has, and its stiffness.
type bit struct{ at, by, play, stiff float64 }

// along prepares slopes: the energy's derivative along d is c0 + c1·t and what
// the bits add.
func (r *row) along() {
	y, d := r.y, r.d[:len(r.y)]
	r.c0, r.c1, r.bits = 0, 0, r.bits[:0]
	for i := range y {
		r.c0 += anchor * (y[i] - r.base[i]) * d[i]
		r.c1 += anchor * d[i] * d[i]
	}
	tp := 1 / r.pitch
	for i, w := range r.tension {
		dd := d[i+1] - d[i]
		r.c0 += w * tp * (y[i+1] - y[i]) * dd
		r.c1 += w * tp * dd * dd
		dm := (d[i] + d[i+1]) / 2
		r.c0 -= r.push[i] * dm
		if p := r.play[i]; !math.IsInf(p, 1) {
			r.bits = append(r.bits, bit{(y[i]+y[i+1])/2 - r.centre[i], dm, p, contact})
		}
	}
	for i := 1; i < len(y)-1; i++ {
		r.bits = append(r.bits, bit{(y[i+1] - 2*y[i] + y[i-1]) * tp, (d[i+1] - 2*d[i] + d[i-1]) * tp, r.slack[i], r.stiffness})
	}
}

// slope returns the energy's derivative along d at y + t·d.
func (r *row) slope(t float64) float64 {
	sum := r.c0 + r.c1*t
	for i := range r.bits {
		b := &r.bits[i]
		x := b.at + t*b.by
		if x > b.play {
			sum += b.stiff * (x - b.play) * b.by
		} else if x < -b.play {
			sum += b.stiff * (x + b.play) * b.by
		}
	}
	return sum
}
