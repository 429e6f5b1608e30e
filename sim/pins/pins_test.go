package pins

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// drawPins draws a row of pins with seats, friction, line contact and multipliers of no
// particular order.
func drawPins(seed int) *Row {
	rng := rand.New(rand.NewPCG(uint64(seed), 8))
	f := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	or := func(x float64) float64 { // or none
		if rng.IntN(3) == 0 {
			return 0
		}
		return x
	}
	n := 3 + rng.IntN(8)
	tension, slack := f(5, 800), or(f(0.001, 0.03))
	moment := or(tension * f(0.5, 3))
	r := &Row{Pitch: 12.7, Stiffness: f(1e4, 2e5), Tooth: or(f(0.2, 2)), Give: 1e-8, Soft: SoftBlind}
	r.Spring, r.Rest = or(tension*f(0.1, 10)), f(-3, 3)
	r.hard = f(1, 3000)
	r.Resize(n)
	for i := range r.Tension {
		r.Tension[i] = tension * f(0.5, 1)
	}
	for i := range r.Y {
		r.Y[i], r.Slack[i], r.Moment[i] = f(-2, 2), slack*f(0.8, 1.2), moment*f(0.8, 1.2)
		r.Bend[i] = r.Moment[i] * f(-1, 1)
	}
	r.scale()
	for i := range n - 1 {
		if rng.IntN(3) == 0 { // in the open
			continue
		}
		s := Seat{Link: i, Play: f(0.05, 1), Centre: f(-2, 2), Was: f(-2, 2)}
		s.Friction = or(tension * f(0.002, 0.05))
		s.Stick = s.Friction * f(-1, 1)
		for e := range s.Wall {
			s.Wall[e] = or(tension * f(-0.3, 0.3))
		}
		r.Seats = append(r.Seats, s)
	}
	return r
}

// energyOf is the augmented Lagrangian whose forces are bounded(λ + K·g, …): a force bounded
// by f has the energy of Huber's function of λ + K·g, a wall that of the part that presses.
func energyOf(r *Row, y []float64) (e float64) {
	huber := func(u, most, k float64) float64 {
		if u = math.Abs(u); u > most {
			return (most*u - most*most/2) / k
		}
		return u * u / (2 * k)
	}
	n := len(y)
	for i := range n - 1 {
		e += r.Tension[i] / (2 * r.Pitch) * (y[i+1] - y[i]) * (y[i+1] - y[i])
	}
	for i := 1; i < n-1; i++ {
		phi := (y[i+1] - 2*y[i] + y[i-1]) / r.Pitch
		kj := r.hard * r.Pull(i) * r.Pitch
		e += huber(r.Bend[i]+kj*phi, r.Moment[i], kj)
		over := math.Max(math.Abs(phi)-r.Slack[i], 0)
		e += r.Stiffness / 2 * over * over
	}
	e += r.Spring / 2 * (y[n-1] - r.Rest) * (y[n-1] - r.Rest)
	for _, s := range r.Seats {
		p, q := y[s.Link], y[s.Link+1]
		kl := r.hard * r.Tension[s.Link] / r.Pitch
		if s.Friction > 0 {
			e += huber(s.Stick+kl*((p+q)/2-s.Was), s.Friction, kl)
		}
		ends := []float64{(p+q)/2 + r.Tooth*(q-p)/r.Pitch, (p+q)/2 - r.Tooth*(q-p)/r.Pitch}
		for i, x := range ends {
			right, left := s.Wall[i]+kl*(x-s.Centre-s.Play), s.Wall[i]+kl*(x-s.Centre+s.Play)
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
		n := len(r.Y)
		most := r.assemble()
		g := append([]float64(nil), r.g[:n]...)
		h := [][]float64{append([]float64(nil), r.h0[:n]...), append([]float64(nil), r.h1[:n]...), append([]float64(nil), r.h2[:n]...)}
		largest := 0.0
		scale := r.hard*slices.Max(r.Tension)/r.Pitch*10 + r.Stiffness/r.Pitch
		for i := range n {
			largest = math.Max(largest, math.Abs(g[i])/r.Tension[min(i, n-2)])
			y := append([]float64(nil), r.Y...)
			const d = 1e-6
			y[i] += d
			up := energyOf(r, y)
			y[i] -= 2 * d
			down := energyOf(r, y)
			assert.InDelta(t, (up-down)/(2*d), g[i], 1e-6*scale, "gradient of pin %d", i)
		}
		assert.InEpsilon(t, largest, most, 1e-12)
		for i := range n {
			at := r.Y[i]
			gradient := func(by float64) []float64 {
				r.Y[i] = at + by
				r.assemble()
				r.Y[i] = at
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
						want -= looseness * (r.Tension[max(i-1, 0)] + r.Tension[min(i, n-2)]) / r.Pitch
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
		n := len(r.Y)
		r.assemble()
		slope, longest := newton(r.h0[:n], r.h1[:n], r.h2[:n], r.g[:n], r.d[:n])
		require.Less(t, slope, 0.0)
		require.Positive(t, longest)
		step := r.along(slope)
		straight := len(r.kinks) == 0
		start := energyOf(r, r.Y)
		y := append([]float64(nil), r.Y...)
		for i := range y {
			y[i] += step * r.d[i]
		}
		assert.LessOrEqual(t, energyOf(r, y), start+1e-9*math.Abs(start))
		r.Y = y
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

// The conditions of the minimum of the problem in the comment of Row, from the problem
// alone (Boyd and Vandenberghe, Convex Optimization, 2004, 5.5.3): pins in balance under the
// multipliers, each within its bound and at it where its joint turns or its link slides, walls
// that push back and are not passed.
func TestPinsSolveMeetsTheConditions(t *testing.T) {
	for seed := range 300 {
		r := drawPins(seed)
		if r.Spring == 0 { // something holds it
			r.Spring = r.Tension[0]
		}
		for i := range r.Seats { // on one wheel, so that every link has room
			r.Seats[i].Centre = 0
		}
		require.True(t, r.Solve(), "seed %d", seed)
		const tol = 1e-5 // mm
		n := len(r.Y)
		force := make([]float64, n)
		for i := range n - 1 {
			f := r.Tension[i] / r.Pitch * (r.Y[i+1] - r.Y[i])
			force[i] -= f
			force[i+1] += f
		}
		force[n-1] += r.Spring * (r.Y[n-1] - r.Rest)
		for i := 1; i < n-1; i++ {
			phi := (r.Y[i+1] - 2*r.Y[i] + r.Y[i-1]) / r.Pitch
			m := r.Stiffness * math.Copysign(math.Max(math.Abs(phi)-r.Slack[i], 0), phi)
			if r.Moment[i] > 0 {
				m += r.Bend[i]
				assert.LessOrEqual(t, math.Abs(r.Bend[i]), r.Moment[i])
				if math.Abs(phi)*r.Pitch > tol {
					assert.InDelta(t, math.Copysign(r.Moment[i], phi), r.Bend[i], 1e-9*r.Moment[i], "a joint that turns")
				}
			}
			force[i-1] += m / r.Pitch
			force[i] -= 2 * m / r.Pitch
			force[i+1] += m / r.Pitch
		}
		for _, s := range r.Seats {
			p, q := r.Y[s.Link], r.Y[s.Link+1]
			if s.Friction > 0 {
				moved := (p+q)/2 - s.Was
				assert.LessOrEqual(t, math.Abs(s.Stick), s.Friction)
				if math.Abs(moved) > tol {
					assert.InDelta(t, math.Copysign(s.Friction, moved), s.Stick, 1e-9*s.Friction, "a link that slides")
				}
				force[s.Link] += s.Stick / 2
				force[s.Link+1] += s.Stick / 2
			}
			w := r.Tooth / r.Pitch
			for e, at := range [2][2]float64{{0.5 - w, 0.5 + w}, {0.5 + w, 0.5 - w}} {
				x := at[0]*p + at[1]*q - s.Centre
				assert.LessOrEqual(t, math.Abs(x), s.Play+tol)
				if s.Wall[e] != 0 {
					assert.InDelta(t, math.Copysign(s.Play, s.Wall[e]), x, tol, "a wall pushes only where it touches")
				}
				force[s.Link] += at[0] * s.Wall[e]
				force[s.Link+1] += at[1] * s.Wall[e]
			}
		}
		for i, f := range force {
			assert.InDelta(t, 0, f, 1e-6*r.Tension[min(i, n-2)], "pin %d, N", i)
		}
	}
}

// Rows keep what stays when they grow and shrink.
func TestRowsKeepWhatStays(t *testing.T) {
	var r Row
	r.Resize(5)
	for i := range r.Y {
		r.Y[i], r.Bend[i] = float64(i+1), float64(10*i+10)
	}
	r.Resize(4)
	assert.Equal(t, []float64{1, 2, 3, 4}, r.Y)
	r.Resize(6)
	assert.Equal(t, []float64{1, 2, 3, 4, 0, 0}, r.Y)
	assert.Equal(t, []float64{10, 20, 30, 40, 0, 0}, r.Bend)
	r.Resize(40)
	assert.Equal(t, []float64{1, 2, 3, 4, 0, 0, 0}, r.Y[:7])
	assert.Len(t, r.h2, 40)
	assert.Len(t, r.Tension, 39)
	assert.Equal(t, 1.5, r.Middle(0))
}
