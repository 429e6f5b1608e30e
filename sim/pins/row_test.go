package pins

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// randomRow is a row of 40 links with teeth at both ends and some friction, moved
// sideways at random.
func randomRow(rng *rand.Rand) *Row {
	r := &Row{Pitch: 12.7, Stiffness: math.Exp(math.Log(2e4) + 2.6*rng.Float64()), Tooth: 1.2, Give: 3e-5, Soft: SoftBlind}
	r.Resize(41)
	slack, pull := 0.02*rng.Float64(), math.Exp(6*rng.Float64())
	for i := range r.Tension {
		r.Tension[i] = pull * math.Pow(0.85, float64(i)/4)
	}
	for i := range r.Slack {
		r.Slack[i] = slack * (0.8 + 0.4*rng.Float64())
	}
	for i := 1; i < len(r.Tension); i++ {
		r.Moment[i] = r.Pull(i) * 1.9
	}
	out := 30 * (rng.Float64() - 0.5)
	for i := range r.Tension {
		if i >= 8 && i < 31 {
			continue
		}
		s := Seat{Link: i, Play: 0.2 + 0.5*rng.Float64()}
		if i >= 31 {
			s.Centre = out
		}
		if i < 4 || i > 35 {
			s.Friction, s.Was = r.Tension[i]*0.02, s.Centre+0.2*(rng.Float64()-0.5)
		}
		r.Seats = append(r.Seats, s)
	}
	for i := range r.Y {
		r.Y[i] = out * math.Max(0, math.Min(float64(i-8)/23, 1))
	}
	return r
}

// The problem is convex: a state is its equilibrium if, and only if, there are
// multipliers that the conditions of Karush, Kuhn and Tucker hold with (Boyd and
// Vandenberghe, Convex Optimization, 2004, sec. 5.5.3). The solver's own are taken, and
// every condition is checked from the problem's statement.
func TestEquilibriumIsCertified(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	const near = 5 * 3e-5 // mm
	sticks, slips, walls, lies, turns := 0, 0, 0, 0, 0
	for n := range 200 {
		r := randomRow(rng)
		require.True(t, r.Solve(), "row %d", n)
		force := make([]float64, len(r.Y)) // on each pin, of everything
		for i, w := range r.Tension {
			f := w / r.Pitch * (r.Y[i+1] - r.Y[i])
			force[i] += f
			force[i+1] -= f
		}
		for i := 1; i+1 < len(r.Y); i++ {
			x, m := r.phi(i), r.Bend[i]
			assert.LessOrEqual(t, math.Abs(m), r.Moment[i]*(1+1e-12))
			if math.Abs(x)*r.Pitch > near {
				turns++
				assert.InDelta(t, math.Copysign(r.Moment[i], x), m, 1e-9*r.Moment[i], "joint %d turns against all of its moment", i)
			} else {
				lies++
			}
			if over := math.Abs(x) - r.Slack[i]; over > 0 {
				m += math.Copysign(r.Stiffness*over, x)
			}
			force[i-1] -= m / r.Pitch
			force[i] += 2 * m / r.Pitch
			force[i+1] -= m / r.Pitch
		}
		for _, s := range r.Seats {
			m := r.Middle(s.Link) - s.Was
			if s.Friction > 0 {
				assert.LessOrEqual(t, math.Abs(s.Stick), s.Friction*(1+1e-12))
				if math.Abs(m) > near {
					slips++
					assert.InDelta(t, math.Copysign(s.Friction, m), s.Stick, 1e-9*s.Friction, "a seat slides against all of its friction")
				} else {
					sticks++
				}
				force[s.Link] -= s.Stick / 2
				force[s.Link+1] -= s.Stick / 2
			}
			for e, sign := range []float64{1, -1} {
				a := 0.5 - sign*r.Tooth/r.Pitch
				x := a*r.Y[s.Link] + (1-a)*r.Y[s.Link+1] - s.Centre
				assert.LessOrEqual(t, math.Abs(x), s.Play+near)
				if s.Wall[e] != 0 {
					walls++
					assert.InDelta(t, math.Copysign(s.Play, s.Wall[e]), x, near, "a wall that pushes is touched, on its side")
				}
				force[s.Link] -= a * s.Wall[e]
				force[s.Link+1] -= (1 - a) * s.Wall[e]
			}
		}
		for i, f := range force {
			assert.Less(t, math.Abs(f), 1e-5*r.Tension[min(i, 39)], "pin %d of row %d in balance", i, n)
		}
	}
	for _, n := range []int{sticks, slips, walls, lies, turns} {
		assert.Greater(t, n, 100)
	}
}

// Gradient and Hessian against differences, at unsymmetric points with multipliers.
func TestSlopes(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	r := randomRow(rng)
	require.True(t, r.Solve())
	r.hard = 50
	for i := range r.Y {
		r.Y[i] += 0.3 * rng.NormFloat64()
	}
	at := func(i int, by float64) []float64 {
		r.Y[i] += by
		r.assemble()
		r.Y[i] -= by
		return append([]float64{}, r.g...)
	}
	r.assemble()
	h0, h1, h2 := append([]float64{}, r.h0...), append([]float64{}, r.h1...), append([]float64{}, r.h2...)
	most := 0.0
	for _, h := range h0 {
		most = math.Max(most, h)
	}
	const step = 1e-7
	for i := range r.Y {
		up, down := at(i, step), at(i, -step)
		for j := range r.Y {
			want := 0.0
			switch a := min(i, j); max(i, j) - a {
			case 0:
				want = h0[a]
			case 1:
				want = h1[a]
			case 2:
				want = h2[a]
			}
			assert.InDelta(t, want, (up[j]-down[j])/(2*step), 1e-6*most, "pins %d and %d", i, j)
		}
	}
	// Along a step the search's force is the gradient's.
	r.assemble()
	slope, _ := newton(r.h0, r.h1, r.h2, r.g, r.d[:len(r.Y)])
	r.along(slope)
	require.NotEmpty(t, r.kinks)
	d := append([]float64{}, r.d...)
	move := func(by float64) {
		for i := range d {
			r.Y[i] += by * d[i]
		}
	}
	sum := func() (sum float64) {
		r.assemble()
		for i, x := range d {
			sum += r.g[i] * x
		}
		return sum
	}
	f0, _ := r.bent(0)
	move(0.3)
	there := sum()
	move(-0.3)
	here := sum()
	r.along(slope)
	f3, _ := r.bent(0.3)
	// What is not in the kinks is straight: its force at 0 and its rate from two places.
	move(0.6)
	far := sum()
	move(-0.6)
	f6, _ := r.bent(0.6)
	assert.InDelta(t, (here-f0)+((far-f6)-(here-f0))/2, there-f3, 1e-6*math.Abs(slope))
}
