package engage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/banded"
)

// drawPins draws a row of pins with seats, friction, line contact and multipliers of no
// particular order.
func drawPins(seed int) *pins {
	rng := rand.New(rand.NewPCG(uint64(seed), 8))
	f := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	or := func(x float64) float64 { // or none
		if rng.IntN(3) == 0 {
			return 0
		}
		return x
	}
	n := 3 + rng.IntN(8)
	r := &pins{pitch: 12.7, tension: f(5, 800), stiffness: f(1e4, 2e5), slack: or(f(0.001, 0.03))}
	r.moment, r.tooth = or(r.tension*f(0.5, 3)), or(f(0.2, 2))
	r.spring, r.rest, r.give, r.soft = or(r.tension*f(0.1, 10)), f(-3, 3), giveOnce, softBlind
	r.hard = f(1, 3000)
	r.resize(n)
	for i := range r.y {
		r.y[i] = f(-2, 2)
		r.bend[i] = r.moment * f(-1, 1)
	}
	for i := range n - 1 {
		if rng.IntN(3) == 0 { // in the open
			continue
		}
		s := seat{link: i, number: i, play: f(0.05, 1), centre: f(-2, 2), was: f(-2, 2)}
		s.friction = or(r.tension * f(0.002, 0.05))
		s.stick = s.friction * f(-1, 1)
		for e := range s.wall {
			s.wall[e] = or(r.tension * f(-0.3, 0.3))
		}
		r.seats = append(r.seats, s)
	}
	return r
}

// energyOf is the augmented Lagrangian whose forces are bounded(λ + K·g, …): a force bounded
// by f has the energy of Huber's function of λ + K·g, a wall that of the part that presses.
func energyOf(r *pins, y []float64) (e float64) {
	kj, kl := r.hard*r.tension*r.pitch, r.hard*r.tension/r.pitch
	huber := func(u, most, k float64) float64 {
		if u = math.Abs(u); u > most {
			return (most*u - most*most/2) / k
		}
		return u * u / (2 * k)
	}
	n := len(y)
	for i := range n - 1 {
		e += r.tension / (2 * r.pitch) * (y[i+1] - y[i]) * (y[i+1] - y[i])
	}
	for i := 1; i < n-1; i++ {
		phi := (y[i+1] - 2*y[i] + y[i-1]) / r.pitch
		if r.moment > 0 {
			e += huber(r.bend[i]+kj*phi, r.moment, kj)
		}
		over := math.Max(math.Abs(phi)-r.slack, 0)
		e += r.stiffness / 2 * over * over
	}
	e += r.spring / 2 * (y[n-1] - r.rest) * (y[n-1] - r.rest)
	for _, s := range r.seats {
		p, q := y[s.link], y[s.link+1]
		if s.friction > 0 {
			e += huber(s.stick+kl*((p+q)/2-s.was), s.friction, kl)
		}
		ends := []float64{(p+q)/2 + r.tooth*(q-p)/r.pitch, (p+q)/2 - r.tooth*(q-p)/r.pitch}
		if r.tooth == 0 {
			ends = ends[:1]
		}
		for i, x := range ends {
			right, left := s.wall[i]+kl*(x-s.centre-s.play), s.wall[i]+kl*(x-s.centre+s.play)
			switch {
			case right > 0:
				e += right * right / (2 * kl)
			case left < 0:
				e += left * left / (2 * kl)
			}
		}
	}
	return e
}

// The gradient is that of the energy by central differences, the Hessian's three diagonals
// those of the gradient, wherever no force changes its piece nearby.
func TestPinsGradientAndHessianByDifferences(t *testing.T) {
	smooth := 0
	for seed := range 300 {
		r := drawPins(seed)
		n := len(r.y)
		most := r.assemble()
		g := append([]float64(nil), r.g[:n]...)
		h := [][]float64{append([]float64(nil), r.h0[:n]...), append([]float64(nil), r.h1[:n]...), append([]float64(nil), r.h2[:n]...)}
		largest := 0.0
		scale := r.hard*r.tension/r.pitch*10 + r.stiffness/r.pitch
		for i := range n {
			largest = math.Max(largest, math.Abs(g[i]))
			y := append([]float64(nil), r.y...)
			const d = 1e-6
			y[i] += d
			up := energyOf(r, y)
			y[i] -= 2 * d
			down := energyOf(r, y)
			assert.InDelta(t, (up-down)/(2*d), g[i], 1e-6*scale, "gradient of pin %d", i)
		}
		assert.Equal(t, largest, most)
		for i := range n {
			at := r.y[i]
			gradient := func(by float64) []float64 {
				r.y[i] = at + by
				r.assemble()
				r.y[i] = at
				return append([]float64(nil), r.g[:n]...)
			}
			const d = 1e-5
			up, down := gradient(d), gradient(-d)
			for j := range n {
				a, b := (up[j]-g[j])/d, (g[j]-down[j])/d
				if math.Abs(a-b) > 1e-6*scale { // a kink between
					continue
				}
				smooth++
				want := 0.0
				if k := max(i, j) - min(i, j); k <= 2 {
					want = h[k][min(i, j)]
					if k == 0 {
						want -= looseness * r.tension / r.pitch
					}
				}
				assert.InDelta(t, want, (a+b)/2, 1e-5*scale, "Hessian of pins %d and %d", i, j)
			}
		}
	}
	assert.Greater(t, smooth, 1000)
}

// A step along Newton's direction ends where the energy falls no more, to the share that
// descend asks for, or goes all the way on a fall; without kinks it is exact.
func TestPinsStepEndsWhereTheEnergyIsLeast(t *testing.T) {
	straights, kinked, cut := 0, 0, 0
	for seed := range 300 {
		r := drawPins(seed)
		n := len(r.y)
		r.assemble()
		slope, longest := banded.Newton(r.h0[:n], r.h1[:n], r.h2[:n], r.g[:n], r.d[:n])
		require.Less(t, slope, 0.0)
		require.Positive(t, longest)
		step, straight := r.along(slope)
		start := energyOf(r, r.y)
		y := append([]float64(nil), r.y...)
		for i := range y {
			y[i] += step * r.d[i]
		}
		assert.LessOrEqual(t, energyOf(r, y), start+1e-9*math.Abs(start))
		r.y = y
		r.assemble()
		end := 0.0
		for i, g := range r.g[:n] {
			end += g * r.d[i]
		}
		switch {
		case straight:
			straights++
			assert.Equal(t, 1.0, step)
			assert.InDelta(t, 0, end/slope, 1e-6)
		case step == 1:
			kinked++
			assert.LessOrEqual(t, end, flat*math.Abs(slope)*(1+1e-6))
		default:
			kinked++
			cut++
			assert.Greater(t, step, 0.0)
			assert.Less(t, step, 1.0)
			assert.LessOrEqual(t, math.Abs(end), flat*math.Abs(slope)*(1+1e-6))
		}
	}
	assert.Positive(t, straights)
	assert.Greater(t, cut, 10)
	assert.Greater(t, kinked, cut)
}

// The conditions of the minimum of the problem in the comment of pins, from the problem
// alone (Boyd and Vandenberghe, Convex Optimization, 2004, 5.5.3): pins in balance under the
// multipliers, each within its bound and at it where its joint turns or its link slides, walls
// that push back and are not passed.
func TestPinsSolveMeetsTheConditions(t *testing.T) {
	for seed := range 300 {
		r := drawPins(seed)
		if r.spring == 0 { // something holds it
			r.spring = r.tension
		}
		for i := range r.seats { // on one wheel, so that every link has room
			r.seats[i].centre = 0
		}
		require.True(t, r.solve(), "seed %d", seed)
		const tol = 1e-5 // mm
		n := len(r.y)
		force := make([]float64, n)
		for i := range n - 1 {
			f := r.tension / r.pitch * (r.y[i+1] - r.y[i])
			force[i] -= f
			force[i+1] += f
		}
		force[n-1] += r.spring * (r.y[n-1] - r.rest)
		for i := 1; i < n-1; i++ {
			phi := (r.y[i+1] - 2*r.y[i] + r.y[i-1]) / r.pitch
			m := r.stiffness * math.Copysign(math.Max(math.Abs(phi)-r.slack, 0), phi)
			if r.moment > 0 {
				m += r.bend[i]
				assert.LessOrEqual(t, math.Abs(r.bend[i]), r.moment)
				if math.Abs(phi)*r.pitch > tol {
					assert.InDelta(t, math.Copysign(r.moment, phi), r.bend[i], 1e-9*r.moment, "a joint that turns")
				}
			}
			force[i-1] += m / r.pitch
			force[i] -= 2 * m / r.pitch
			force[i+1] += m / r.pitch
		}
		for _, s := range r.seats {
			p, q := r.y[s.link], r.y[s.link+1]
			if s.friction > 0 {
				moved := (p+q)/2 - s.was
				assert.LessOrEqual(t, math.Abs(s.stick), s.friction)
				if math.Abs(moved) > tol {
					assert.InDelta(t, math.Copysign(s.friction, moved), s.stick, 1e-9*s.friction, "a link that slides")
				}
				force[s.link] += s.stick / 2
				force[s.link+1] += s.stick / 2
			}
			w := r.tooth / r.pitch
			for e, at := range [2][2]float64{{0.5 - w, 0.5 + w}, {0.5 + w, 0.5 - w}} {
				if e == 1 && w == 0 {
					break
				}
				x := at[0]*p + at[1]*q - s.centre
				assert.LessOrEqual(t, math.Abs(x), s.play+tol)
				if s.wall[e] != 0 {
					assert.InDelta(t, math.Copysign(s.play, s.wall[e]), x, tol, "a wall pushes only where it touches")
				}
				force[s.link] += at[0] * s.wall[e]
				force[s.link+1] += at[1] * s.wall[e]
			}
		}
		for i, f := range force {
			assert.InDelta(t, 0, f, 1e-6*r.tension, "pin %d, N", i)
		}
	}
}

// Rows keep what stays when they grow, shrink and lose their first pin.
func TestPinsKeepWhatStays(t *testing.T) {
	var r pins
	r.resize(5)
	for i := range r.y {
		r.y[i], r.bend[i] = float64(i+1), float64(10*i+10)
	}
	r.shift()
	r.resize(4)
	assert.Equal(t, []float64{2, 3, 4, 5}, r.y)
	assert.Equal(t, []float64{20, 30, 40, 50}, r.bend)
	r.resize(6)
	assert.Equal(t, []float64{2, 3, 4, 5, 0, 0}, r.y)
	r.resize(40)
	assert.Equal(t, []float64{2, 3, 4, 5, 0, 0, 0}, r.y[:7])
	assert.Len(t, r.h2, 40)
	assert.Equal(t, 2.5, r.middle(0))
}
