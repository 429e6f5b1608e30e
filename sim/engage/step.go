package engage

import "math"

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
