package march

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// The equilibrium with stiff contacts against package engage's with hard bounds,
// which works by another method (active set, exact): within what a contact gives.
func TestRowAgainstHardBounds(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	var s engage.Solver
	for range 200 {
		links := 12 + rng.IntN(30)
		hard := engage.Row{Pitch: 12.7, Tension: math.Exp(7 * rng.Float64()), Stiffness: 1e4, Slack: 0.02 * rng.Float64(), Play: make([]float64, links), Load: make([]float64, links+1)}
		r := newRow(links, hard.Pitch, hard.Stiffness)
		for i := range hard.Play {
			hard.Play[i] = math.Inf(1)
			if i < 8 {
				hard.Play[i] = 0.2 + 0.5*rng.Float64()
			}
			r.play[i], r.tension[i] = hard.Play[i], hard.Tension
			r.push[i] = 0
		}
		for i := range r.slack {
			r.slack[i] = hard.Slack
		}
		// Links pushed on in their middle; the end is pulled sideways by its last link.
		hard.Load[links] = hard.Tension * 0.08 * (rng.Float64() - 0.5)
		r.push[links-1] = 2 * hard.Load[links]
		hard.Load[links-1] += hard.Load[links]
		require.Equal(t, engage.Solved, s.Solve(&hard, false))
		for i := range r.base { // the anchor pulls to the straight path, here to the answer
			r.base[i] = s.Place(i)
		}
		require.True(t, r.solve())
		// Seated pins may turn about held middles freely where joints are loose.
		for i := 8; i <= links; i++ {
			assert.InDelta(t, s.Place(i), r.y[i], 2e-3, "pin %d of %d, tension %g, slack %g", i, links, hard.Tension, hard.Slack)
		}
		assert.InDelta(t, energy(&hard, s.Place), energy(&hard, func(i int) float64 { return r.y[i] }), 3e-4*(1+math.Abs(energy(&hard, s.Place))))
	}
}

func energy(r *engage.Row, y func(int) float64) float64 {
	e := 0.0
	for i := range r.Load {
		e -= r.Load[i] * y(i)
		if i > 0 {
			e += r.Tension / (2 * r.Pitch) * math.Pow(y(i)-y(i-1), 2)
		}
		if i > 0 && i+1 < len(r.Load) {
			b := beyond((y(i+1)-2*y(i)+y(i-1))/r.Pitch, r.Slack)
			e += r.Stiffness * b * b / 2
		}
	}
	return e
}

// The slope of the line search is the gradient along the step.
func TestSlopeIsGradient(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	r := newRow(20, 12.7, 1e4)
	for i := range r.y {
		r.y[i], r.slack[i] = rng.NormFloat64(), 0.01
	}
	for i := range r.tension {
		r.tension[i], r.play[i], r.push[i] = 5+rng.Float64(), 0.3, rng.NormFloat64()
	}
	r.assemble(0)
	g := append([]float64{}, r.g...)
	r.factor()
	r.along()
	sum := 0.0
	for i, d := range r.d {
		sum += g[i] * d
	}
	assert.InDelta(t, 1, r.slope(0)/sum, 1e-9)
	for i, d := range r.d {
		r.y[i] += 0.3 * d
	}
	r.assemble(0)
	at := 0.0
	for i := range r.d {
		at += r.g[i] * r.d[i]
	}
	for i, d := range r.d {
		r.y[i] -= 0.3 * d
	}
	r.along()
	assert.InDelta(t, at, r.slope(0.3), 1e-6*math.Abs(sum))
}
