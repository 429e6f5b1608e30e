package engage

import (
	"errors"
	"fmt"
	"math"
)

// pinRow is a row of pins under tension: the convex problem
//
//	min Σ T/(2p)·(y[i+1] - y[i])² + Σ ½k·max(|φ[i]| - φ0, 0)² - Σ f[i]·y[i]
//	φ[i] = (y[i+1] - 2y[i] + y[i-1])/p
//	subject to |(y[i] + y[i+1])/2| <= Play[i] for every link i
//
// over the lateral places y of n pins. Link i joins pins i and i+1.
type pinRow struct {
	Pitch     float64   // p, mm, > 0
	Tension   float64   // T, N, > 0
	Stiffness float64   // k, N·mm/rad per joint, >= 0
	Slack     float64   // φ0, rad per joint, >= 0
	Play      []float64 // n-1 half gaps, mm, >= 0; +Inf for a link in the open
	Load      []float64 // n lateral forces on the pins, N
}

// Status says how a solve ended.
type Status int

// The ways a solve can end.
const (
	Solved   Status = iota
	Stalled         // the active set kept changing; the best state is kept
	BadInput        // a number that is not finite, or a length mismatch
	Adrift          // nothing holds the row sideways
)

func (s Status) String() string {
	return [...]string{"solved", "stalled", "bad input", "adrift"}[s]
}

// Errors of Status.Err.
var (
	ErrStalled  = errors.New("engage: active set did not settle")
	ErrBadInput = errors.New("engage: bad row")
	ErrAdrift   = errors.New("engage: no link is held sideways")
)

// Err returns nil for Solved and the matching error otherwise.
func (s Status) Err() error {
	return [...]error{nil, ErrStalled, ErrBadInput, ErrAdrift}[s]
}

// Validate returns an error wrapping ErrBadInput that names what is wrong.
func (r *pinRow) Validate() error {
	n := len(r.Load)
	if n < 3 || len(r.Play) != n-1 {
		return fmt.Errorf("%w: %d pins with %d links", ErrBadInput, n, len(r.Play))
	}
	pos := func(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
	if !pos(r.Pitch) || !pos(r.Tension) || !(pos(r.Stiffness) || r.Stiffness == 0) || !(pos(r.Slack) || r.Slack == 0) {
		return fmt.Errorf("%w: pitch %g, tension %g, stiffness %g, slack %g", ErrBadInput, r.Pitch, r.Tension, r.Stiffness, r.Slack)
	}
	for i, c := range r.Play {
		if !(c >= 0) {
			return fmt.Errorf("%w: play %g of link %d", ErrBadInput, c, i)
		}
	}
	for i, f := range r.Load {
		if math.IsNaN(f) || math.IsInf(f, 0) {
			return fmt.Errorf("%w: load %g on pin %d", ErrBadInput, f, i)
		}
	}
	return nil
}

// maxSteps bounds the active-set steps of one solve. Rows of a bicycle need
// fewer than 30; fine rows of the tests, with hundreds of joints, need more.
const maxSteps = 2000

// multTol is how far a multiplier may have the wrong sign, N. It is 1e-9 of a
// newton-sized force, far above rounding and far below anything felt.
const multTol = 1e-9

// solve holds the scratch of solves, so that repeated ones allocate nothing.
// A rowSolver is not safe for use by two goroutines at once. The zero value is
// ready for use.
type solve struct {
	y, d       []float64 // pins: state, Newton step
	held       []int8    // links: -1, 0, +1 the bound that is in force
	bent       []int8    // joints at pin i: sign of φ beyond the slack, or 0
	place, mul []int     // position of pin i and of link i's multiplier
	a          [][band + 1]float64
	inv, z     []float64
	size       int
}

// band is the half bandwidth of the equations: with the multiplier of a held
// link set in between its pins, pins two apart stand at most four apart.
const band = 4

func (s *solve) resize(n int) {
	if cap(s.y) < n {
		s.y, s.d = make([]float64, n), make([]float64, n)
		s.held, s.bent = make([]int8, n), make([]int8, n)
		s.place, s.mul = make([]int, n), make([]int, n)
		s.a = make([][band + 1]float64, 2*n)
		s.inv, s.z = make([]float64, 2*n), make([]float64, 2*n)
	}
	s.y, s.d, s.held, s.bent = s.y[:n], s.d[:n], s.held[:n], s.bent[:n]
	s.place, s.mul = s.place[:n], s.mul[:n]
}

// solve finds the equilibrium. With warm set and a state of the same size at
// hand that satisfies the bounds, from the last solve or from seed, it starts
// there. The places are read with Place.
//
// Method: primal active set. Each step solves the energy's quadratic piece with
// the held links as equalities (banded LDLᵀ of the saddle matrix without
// pivoting: in this order every leading block is the saddle matrix of a smaller
// row that is grounded by the next pin and has independent constraints, so no
// pivot is zero as long as one link is held), then goes
// towards it as far as the energy falls and no free link passes its bound. When
// the piece is the right one, the held link with the most wrong multiplier is
// let go; when there is none, the point is the minimum, because the problem is
// convex.
func (s *solve) Solve(r *pinRow, warm bool) Status {
	if r.Validate() != nil {
		return BadInput
	}
	return s.settle(r, warm, -1)
}

// settle is Solve of a row that is surely valid. Where bent is not negative its last pin
// alone is loaded, and a cold solve first tries how it would lie with about so many joints
// bent on each side of the first link held; that is kept where it holds.
func (s *solve) settle(r *pinRow, warm bool, bent int) Status {
	n := len(r.Load)
	if !warm || len(s.y) != n || !s.feasible(r) {
		s.resize(n)
		if st := s.start(r); st != Solved {
			return st
		}
		if bent >= 0 && s.lone(r, bent) {
			if s.several(r) {
				return Solved
			}
			s.start(r)
		}
	}
	for step := 0; step < maxSteps; step++ {
		s.markBent(r)
		s.assemble(r)
		s.factor()
		s.target(r)
		alpha, block := s.reach(r)
		full, exact := s.lineSearch(r, alpha)
		for i := range s.y {
			s.y[i] += full * s.d[i]
		}
		if block >= 0 && full == alpha {
			s.held[block] = int8(sign((s.d[block] + s.d[block+1])))
			continue
		}
		if !exact {
			continue
		}
		released, any := s.release()
		if !released {
			return Solved
		}
		if !any {
			s.shift(r)
		}
	}
	return Stalled
}

func sign(x float64) int {
	switch {
	case x > 0:
		return 1
	case x < 0:
		return -1
	}
	return 0
}

// Place returns the lateral place of pin i after a solve, mm.
func (s *solve) Place(i int) float64 { return s.y[i] }

// middle returns the lateral place of the middle of link i after a solve, mm.
func (s *solve) middle(i int) float64 { return (s.y[i] + s.y[i+1]) / 2 }

// Held returns the force with which the tooth holds link i, N, positive towards
// the negative side; 0 for a link that touches nothing.
func (s *solve) Held(i int) float64 {
	if s.held[i] == 0 {
		return 0
	}
	return s.z[s.mul[i]]
}

// feasible reports whether the kept state satisfies the bounds and holds
// something.
func (s *solve) feasible(r *pinRow) bool {
	any := false
	for i, c := range r.Play {
		m := s.middle(i)
		if s.held[i] != 0 {
			if math.Abs(m-float64(s.held[i])*c) > 1e-12 {
				return false
			}
			any = true
		} else if math.Abs(m) > c {
			return false
		}
	}
	return any
}

// seed lays the row out for a warm start: pins up to and with that of link hold
// straight at the bound of that link, the later ones from shape, whose argument
// is the distance from that link's far pin, mm.
func (s *solve) seed(r *pinRow, hold int, shape func(u float64) float64) {
	s.resize(len(r.Load))
	clear(s.held)
	s.held[hold] = 1
	for i := range s.y {
		s.y[i] = r.Play[hold]
		if u := float64(i-hold-1) * r.Pitch; u > 0 {
			s.y[i] += shape(u)
		}
	}
}

// start begins with a straight row in the middle, shifted as far as it goes.
func (s *solve) start(r *pinRow) Status {
	clear(s.y)
	clear(s.held)
	return s.shift(r)
}

// shift moves the row as a whole, with no link held, the way the loads pull
// until a link meets its bound, and holds that one; of several the last, which
// in a chain running onto a wheel is the one nearest the open. The energy only
// falls on the way.
func (s *solve) shift(r *pinRow) Status {
	sum := 0.0
	for _, f := range r.Load {
		sum += f
	}
	side := 1.0
	if sum < 0 {
		side = -1
	}
	room, at := math.Inf(1), -1
	for i, c := range r.Play {
		if x := c - side*s.middle(i); x <= room && !math.IsInf(x, 0) {
			room, at = max(x, 0), i
		}
	}
	if at < 0 {
		return Adrift
	}
	for i := range s.y {
		s.y[i] += side * room
	}
	s.held[at] = int8(side)
	return Solved
}

// bend returns φ at pin i of a row of places, rad.
func bend(y []float64, i int, p float64) float64 { return (y[i+1] - 2*y[i] + y[i-1]) / p }

// stateOf returns the side to which a joint is bent beyond its slack, or 0.
// Without slack both sides are one quadratic piece, which is given as +1.
func stateOf(phi, slack float64) int8 {
	switch {
	case slack == 0:
		return 1
	case phi > slack:
		return 1
	case phi < -slack:
		return -1
	}
	return 0
}

func (s *solve) markBent(r *pinRow) {
	n := len(s.y)
	s.bent[0], s.bent[n-1] = 0, 0
	for i := 1; i < n-1; i++ {
		s.bent[i] = stateOf(bend(s.y, i, r.Pitch), r.Slack)
	}
}

// assemble writes the lower band of the saddle matrix [H Aᵀ; A 0] and the right
// side [g; b] with H and g of the present piece. A row i of a holds columns
// i-4 … i.
func (s *solve) assemble(r *pinRow) {
	n := len(s.y)
	at := 0
	for i := 0; i < n; i++ {
		s.place[i] = at
		at++
		if i < n-1 && s.held[i] != 0 {
			s.mul[i] = at
			at++
		}
	}
	s.size = at
	a, z := s.a[:at], s.z[:at]
	for i := range a {
		a[i] = [band + 1]float64{}
	}
	tp := r.Tension / r.Pitch
	for i := 0; i < n; i++ {
		row := s.place[i]
		z[row] = r.Load[i]
		if i > 0 {
			a[row][band] += tp
			a[row][band-(row-s.place[i-1])] -= tp
			a[s.place[i-1]][band] += tp
		}
	}
	kp2 := r.Stiffness / (r.Pitch * r.Pitch)
	kf := r.Stiffness * r.Slack / r.Pitch
	for i := 1; i < n-1; i++ {
		if s.bent[i] == 0 {
			continue
		}
		x, y, w := s.place[i-1], s.place[i], s.place[i+1]
		a[x][band] += kp2
		a[y][band] += 4 * kp2
		a[w][band] += kp2
		a[y][band-(y-x)] -= 2 * kp2
		a[w][band-(w-y)] -= 2 * kp2
		a[w][band-(w-x)] += kp2
		f := kf * float64(s.bent[i])
		z[x] += f
		z[y] -= 2 * f
		z[w] += f
	}
	for i := 0; i < n-1; i++ {
		if s.held[i] == 0 {
			continue
		}
		m := s.mul[i]
		a[m][band-1] = 0.5
		a[m+1][band-1] = 0.5
		z[m] = float64(s.held[i]) * r.Play[i]
	}
}

// factor computes the LDLᵀ factors in place: a holds L (unit diagonal implied),
// inv the inverse pivots.
func (s *solve) factor() {
	a, inv := s.a[:s.size], s.inv[:s.size]
	for j := range a {
		row := &a[j]
		if j < band {
			s.factorFirst(j)
			continue
		}
		// u = L D of this row, from the left.
		r1, r2, r3 := &a[j-3], &a[j-2], &a[j-1]
		u0 := row[0]
		u1 := row[1] - u0*r1[3]
		u2 := row[2] - u0*r2[2] - u1*r2[3]
		u3 := row[3] - u0*r3[1] - u1*r3[2] - u2*r3[3]
		i := inv[j-4 : j : j]
		row[0], row[1], row[2], row[3] = u0*i[0], u1*i[1], u2*i[2], u3*i[3]
		inv[j] = 1 / (row[band] - u0*row[0] - u1*row[1] - u2*row[2] - u3*row[3])
	}
}

// factorFirst is factor of one of the first rows, which have fewer to their left.
func (s *solve) factorFirst(j int) {
	row := &s.a[j]
	var u [band]float64
	d := row[band]
	for k := band - j; k < band; k++ {
		u[k] = row[k]
		for m := band - j; m < k; m++ {
			u[k] -= u[m] * s.a[j-band+k][m-k+band]
		}
		row[k] = u[k] * s.inv[j-band+k]
		d -= u[k] * row[k]
	}
	s.inv[j] = 1 / d
}

// substitute solves L D Lᵀ x = z in place.
func (s *solve) substitute() {
	a, inv, z := s.a[:s.size], s.inv[:s.size], s.z[:s.size]
	var p, q, v, w float64 // the last four, the oldest first; before the first they are 0
	for j := range a {
		l := &a[j]
		x := z[j] - l[0]*p - l[1]*q - l[2]*v - l[3]*w
		z[j] = x
		p, q, v, w = q, v, w, x
	}
	p, q, v, w = 0, 0, 0, 0 // now the next four, the nearest first
	for j := len(a) - 1; j >= 0; j-- {
		x := z[j] * inv[j]
		if below := a[j+1:]; len(below) >= band {
			x = x - below[0][3]*p - below[1][2]*q - below[2][1]*v - below[3][0]*w
		} else {
			for k, l := range below {
				x -= l[band-1-k] * z[j+1+k]
			}
		}
		z[j] = x
		p, q, v, w = x, p, q, v
	}
}

// target solves for the minimum of the present piece and keeps the way there.
func (s *solve) target(r *pinRow) {
	s.substitute()
	for i := range s.d {
		s.d[i] = s.z[s.place[i]] - s.y[i]
	}
}

// reach returns how far towards the target (1 = all the way) the free links
// stay in their bounds, and the link that stops it, or -1.
func (s *solve) reach(r *pinRow) (alpha float64, block int) {
	alpha, block = 1, -1
	for i, c := range r.Play {
		if s.held[i] != 0 || math.IsInf(c, 0) {
			continue
		}
		m, dm := s.middle(i), (s.d[i]+s.d[i+1])/2
		var room float64
		switch {
		case dm > 0:
			room = (c - m) / dm
		case dm < 0:
			room = (-c - m) / dm
		default:
			continue
		}
		if room < alpha {
			alpha, block = max(room, 0), i
		}
	}
	return alpha, block
}

// lineSearch returns the step along d in [0, most] at which the energy is least,
// and whether it is the full step to the target of the right piece.
func (s *solve) lineSearch(r *pinRow, most float64) (step float64, exact bool) {
	if most == 1 && s.same(r) {
		return 1, true
	}
	g := s.slope(r, most)
	if g <= 0 || most == 0 {
		return most, false
	}
	// The slope rises along d, piecewise linear: bracketed secant.
	lo, hi := 0.0, most
	glo := s.slope(r, 0)
	ghi := g
	for i := 0; i < 60 && hi-lo > 1e-14; i++ {
		t := lo - glo*(hi-lo)/(ghi-glo)
		if !(t > lo && t < hi) || i%4 == 3 {
			t = (lo + hi) / 2
		}
		g := s.slope(r, t)
		switch {
		case math.Abs(g) <= 1e-12*math.Abs(glo):
			return t, false
		case g < 0:
			lo, glo = t, g
		default:
			hi, ghi = t, g
		}
	}
	return hi, false
}

// same reports whether every joint is, at the end of d, in the state the target was
// computed for.
func (s *solve) same(r *pinRow) bool {
	n := len(s.y)
	y, d, bent := s.y, s.d[:n], s.bent[:n]
	for i := 1; i < n-1; i++ {
		phi := bend(y, i, r.Pitch) + (d[i+1]-2*d[i]+d[i-1])/r.Pitch
		// Rounding may put a joint that lies on the edge of its slack on either side of it:
		// the energy is the same there.
		if stateOf(phi, r.Slack) != bent[i] && math.Abs(math.Abs(phi)-r.Slack) > slackTol {
			return false
		}
	}
	return true
}

// slope returns the energy's derivative along d at step t.
func (s *solve) slope(r *pinRow, t float64) float64 {
	n := len(s.y)
	y, d := s.y, s.d[:n]
	tension, joints, load := 0.0, 0.0, 0.0
	for i := 0; i < n; i++ {
		load += r.Load[i] * d[i]
		if i == 0 {
			continue
		}
		dd := d[i] - d[i-1]
		tension += (y[i] - y[i-1] + t*dd) * dd
		if i == n-1 {
			continue
		}
		dphi := (d[i+1] - 2*d[i] + d[i-1]) / r.Pitch
		phi := bend(y, i, r.Pitch) + t*dphi
		if st := stateOf(phi, r.Slack); st != 0 {
			joints += (phi - float64(st)*r.Slack) * dphi
		}
	}
	return tension*r.Tension/r.Pitch + r.Stiffness*joints - load
}

// release lets go of the held link with the most wrong multiplier; it reports
// whether there was one and whether any is left.
func (s *solve) release() (released, left bool) {
	worst, at, held := -multTol, -1, 0
	for i, side := range s.held[:len(s.y)-1] {
		if side == 0 {
			continue
		}
		held++
		// At the minimum H y - g + Aᵀμ = 0: μ is the force of the tooth, which
		// may only push back.
		if f := s.z[s.mul[i]] * float64(side); f < worst {
			worst, at = f, i
		}
	}
	if at < 0 {
		return false, true
	}
	s.held[at] = 0
	return true, held > 1
}
