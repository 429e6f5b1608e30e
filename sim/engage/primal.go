package engage

import "math"

// maxSteps bounds the active-set steps of one solve. Rows of a bicycle need
// fewer than 30; fine rows of the tests, with hundreds of joints, need more.
const maxSteps = 2000

// multTol is how far a multiplier may have the wrong sign, N. It is 1e-9 of a
// newton-sized force, far above rounding and far below anything felt.
const multTol = 1e-9

// solve holds the scratch of solves, so that repeated ones allocate nothing.
// It is not safe for use by two goroutines at once. The zero value is
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

// settle finds the equilibrium of a row that is surely valid. With warm set and a state of
// the same size at hand that satisfies the bounds, from the last solve or from seed, it starts
// there. Where bent is not negative its last pin alone is loaded, and a cold solve first tries
// how it would lie with about so many joints bent on each side of the first link held; that is
// kept where it holds.
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

// middle returns the lateral place of the middle of link i after a solve, mm.
func (s *solve) middle(i int) float64 { return (s.y[i] + s.y[i+1]) / 2 }

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

func (s *solve) markBent(r *pinRow) {
	n := len(s.y)
	s.bent[0], s.bent[n-1] = 0, 0
	for i := 1; i < n-1; i++ {
		s.bent[i] = stateOf(bend(s.y, i, r.Pitch), r.Slack)
	}
}
