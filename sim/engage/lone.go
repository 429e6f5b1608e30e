package engage

import "math"

// loneTries is how many numbers of bent joints are tried, from the guess on.
const loneTries = 4

// lone lays the row out in d as it would lie if one link alone, the one that is held, held
// it against a pull on its last pin, no other pin being loaded; bent is a guess of how many
// joints are bent on each side of that link. It reports whether it did; where it did not,
// held stays as it is.
//
// With u the slopes of the links and the held link's middle fixed, the energy of pinRow is
//
//	Σ ½·T·p·u[i]² + Σ ½k·max(|u[i] - u[i-1]| - φ0, 0)² - F·p·(½·u[h] + Σ u[i], i > h)
//
// Links on which no bent joint bears lie at slope 0 before the held one and at θ = F/T
// after it, and those between are antisymmetric about it: u[h] = θ/2 and, m joints bent on
// each side, v[j] = u[h-j] = θ - u[h+j] with
//
//	T·p·v[j] = k·(v[j-1] - 2·v[j] + v[j+1]), 0 < j < m
//	T·p·v[m] = k·(v[m-1] - v[m] - φ0)
//
// which is the minimum where the bent joints are bent beyond φ0 and the next, v[m], is not.
func (s *solve) lone(r *pinRow, bent int) bool {
	n := len(s.y)
	h := 0
	for s.held[h] == 0 {
		h++
	}
	side, pull := float64(s.held[h]), math.Abs(r.Load[n-1])
	theta := pull / r.Tension
	v := s.inv // v[0] … v[m]
	m := bent
	for try := 0; ; try++ {
		if try == loneTries || r.Slack == 0 || m > h || h+m > n-2 {
			return false
		}
		s.bow(r, theta, m)
		if v[m] > r.Slack+slackTol {
			m++
		} else if m > 0 && v[m-1]-v[m] < r.Slack-slackTol {
			m--
		} else {
			break
		}
	}
	y, p := s.d, side*r.Pitch
	y[h] = side*r.Play[h] - p*theta/4
	y[h+1] = y[h] + p*theta/2
	for j := 1; j <= h; j++ {
		u := 0.0
		if j <= m {
			u = v[j]
		}
		y[h-j] = y[h-j+1] - p*u
	}
	for j := 1; h+j < n-1; j++ {
		u := theta
		if j <= m {
			u -= v[j]
		}
		y[h+j+1] = y[h+j] + p*u
	}
	clear(s.bent)
	for i := h + 1 - m; i <= h+m; i++ {
		s.bent[i] = s.held[h]
	}
	s.mul[h], s.z[0] = 0, side*pull
	return true
}

// slackTol is how far past the edge of its slack rounding may put a joint, rad: the energy
// is the same on both sides.
const slackTol = 1e-12

// bow fills inv with the slopes v[0] … v[m] of lone: v[j] = α[j]·v[j-1] + β[j], from the end.
func (s *solve) bow(r *pinRow, theta float64, m int) {
	v := s.inv
	v[0] = theta / 2
	if m == 0 {
		return
	}
	k, tp := r.Stiffness, r.Tension*r.Pitch
	alpha, beta := k/(tp+k), -k*r.Slack/(tp+k)
	for j := m; ; j-- {
		s.z[j], v[j] = alpha, beta
		if j == 1 {
			break
		}
		d := tp + k*(2-alpha)
		alpha, beta = k/d, k*beta/d
	}
	for j := 1; j <= m; j++ {
		v[j] += s.z[j] * v[j-1]
	}
}
