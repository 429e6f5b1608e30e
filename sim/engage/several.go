package engage

import "math"

// severalTries is how many sets of held links and bent joints are tried; tuned on the rows
// of the shipped bicycles.
const severalTries = 10

// several takes the row to its equilibrium from where lone left it in d: it lets go of the
// links that pull, holds those that passed their bound and bends the joints that are bent,
// all at once, solves that piece, and so on until nothing changes: the point is then the
// minimum. That takes fewer steps than settle's where further links touch a tooth besides
// the one held, but need not end; it reports whether it did.
//
// Method: primal-dual active set (M. Hintermüller, K. Ito, K. Kunisch, SIAM J. Optim. 13,
// 2002, 865-888; from memory).
func (s *solve) several(r *pinRow) bool {
	for range severalTries {
		if !s.regard(r) {
			copy(s.y, s.d)
			return true
		}
		s.assemble(r)
		if s.size == len(s.y) { // nothing is held
			return false
		}
		s.factor()
		s.substitute()
		for i := range s.d {
			s.d[i] = s.z[s.place[i]]
		}
	}
	return false
}

// regard takes the held links and bent joints from the places d and the forces of the links
// that were held. It reports whether any changed.
func (s *solve) regard(r *pinRow) (changed bool) {
	y, n := s.d, len(s.d)
	for i, c := range r.Play {
		held, middle := s.held[i], (y[i]+y[i+1])/2
		switch {
		case held != 0 && s.z[s.mul[i]]*float64(held) < -multTol:
			s.held[i], changed = 0, true
		case held == 0 && math.Abs(middle) > c:
			s.held[i], changed = int8(sign(middle)), true
		}
	}
	for i := 1; i < n-1; i++ {
		phi := bend(y, i, r.Pitch)
		if st := stateOf(phi, r.Slack); st != s.bent[i] && math.Abs(math.Abs(phi)-r.Slack) > slackTol {
			s.bent[i], changed = st, true
		}
	}
	return changed
}
