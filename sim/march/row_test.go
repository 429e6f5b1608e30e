package march

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/banded"
)

// randomRow is a row of 40 links with teeth at both ends and some friction, moved
// sideways at random.
func randomRow(rng *rand.Rand) *row {
	r := newRow(40, 12.7, math.Exp(math.Log(2e4)+2.6*rng.Float64()))
	r.tooth = 1.2
	slack, pull := 0.02*rng.Float64(), math.Exp(6*rng.Float64())
	for i := range r.tension {
		r.tension[i] = pull * math.Pow(0.85, float64(i)/4)
	}
	for i := range r.slack {
		r.slack[i] = slack * (0.8 + 0.4*rng.Float64())
	}
	for i := 1; i < len(r.tension); i++ {
		r.moment[i] = r.pull(i) * 1.9
	}
	out := 30 * (rng.Float64() - 0.5)
	for i := range r.tension {
		if i >= 8 && i < 31 {
			continue
		}
		s := seat{link: i, play: 0.2 + 0.5*rng.Float64()}
		if i >= 31 {
			s.centre = out
		}
		if i < 4 || i > 35 {
			s.friction, s.was = r.tension[i]*0.02, s.centre+0.2*(rng.Float64()-0.5)
		}
		r.seats = append(r.seats, s)
	}
	for i := range r.y {
		r.y[i] = out * math.Max(0, math.Min(float64(i-8)/23, 1))
	}
	return r
}

// The problem is convex: a state is its equilibrium if, and only if, there are
// multipliers that the conditions of Karush, Kuhn and Tucker hold with (Boyd and
// Vandenberghe, Convex Optimization, 2004, sec. 5.5.3). The solver's own are taken, and
// every condition is checked from the problem's statement.
func TestEquilibriumIsCertified(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	const near = 5 * give // mm
	sticks, slips, walls, lies, turns := 0, 0, 0, 0, 0
	for n := range 200 {
		r := randomRow(rng)
		require.True(t, r.solve(), "row %d", n)
		force := make([]float64, len(r.y)) // on each pin, of everything
		for i, w := range r.tension {
			f := w / r.pitch * (r.y[i+1] - r.y[i])
			force[i] += f
			force[i+1] -= f
		}
		for i := 1; i+1 < len(r.y); i++ {
			x, m := r.phi(i), r.bend[i]
			assert.LessOrEqual(t, math.Abs(m), r.moment[i]*(1+1e-12))
			if math.Abs(x)*r.pitch > near {
				turns++
				assert.InDelta(t, math.Copysign(r.moment[i], x), m, 1e-9*r.moment[i], "joint %d turns against all of its moment", i)
			} else {
				lies++
			}
			if over := math.Abs(x) - r.slack[i]; over > 0 {
				m += math.Copysign(r.stiffness*over, x)
			}
			force[i-1] -= m / r.pitch
			force[i] += 2 * m / r.pitch
			force[i+1] -= m / r.pitch
		}
		for _, s := range r.seats {
			m := r.middle(s.link) - s.was
			if s.friction > 0 {
				assert.LessOrEqual(t, math.Abs(s.stick), s.friction*(1+1e-12))
				if math.Abs(m) > near {
					slips++
					assert.InDelta(t, math.Copysign(s.friction, m), s.stick, 1e-9*s.friction, "a seat slides against all of its friction")
				} else {
					sticks++
				}
				force[s.link] -= s.stick / 2
				force[s.link+1] -= s.stick / 2
			}
			for e, sign := range []float64{1, -1} {
				a := 0.5 - sign*r.tooth/r.pitch
				x := a*r.y[s.link] + (1-a)*r.y[s.link+1] - s.centre
				assert.LessOrEqual(t, math.Abs(x), s.play+near)
				if s.wall[e] != 0 {
					walls++
					assert.InDelta(t, math.Copysign(s.play, s.wall[e]), x, near, "a wall that pushes is touched, on its side")
				}
				force[s.link] -= a * s.wall[e]
				force[s.link+1] -= (1 - a) * s.wall[e]
			}
		}
		for i, f := range force {
			assert.Less(t, math.Abs(f), 1e-5*r.tension[min(i, 39)], "pin %d of row %d in balance", i, n)
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
	require.True(t, r.solve())
	r.hard = 50
	for i := range r.y {
		r.y[i] += 0.3 * rng.NormFloat64()
	}
	at := func(i int, by float64) []float64 {
		r.y[i] += by
		r.assemble()
		r.y[i] -= by
		return append([]float64{}, r.g...)
	}
	r.assemble()
	h0, h1, h2 := append([]float64{}, r.h0...), append([]float64{}, r.h1...), append([]float64{}, r.h2...)
	most := 0.0
	for _, h := range h0 {
		most = math.Max(most, h)
	}
	const step = 1e-7
	for i := range r.y {
		up, down := at(i, step), at(i, -step)
		for j := range r.y {
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
	slope, _ := banded.Newton(r.h0, r.h1, r.h2, r.g, r.d[:len(r.y)])
	r.along(slope)
	require.NotEmpty(t, r.kinks)
	d := append([]float64{}, r.d...)
	move := func(by float64) {
		for i := range d {
			r.y[i] += by * d[i]
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
