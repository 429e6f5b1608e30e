package engage

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// begun is a row and a solver at a random place within the row's bounds, with one link held,
// and the way to the minimum of the present piece found.
func begun(seed int) (*pinRow, *solve) {
	rng := rand.New(rand.NewPCG(uint64(seed), 4))
	f := func(lo, hi float64) float64 { return lo + (hi-lo)*rng.Float64() }
	n := 3 + rng.IntN(9)
	r := &pinRow{Pitch: 12.7, Tension: f(5, 800), Stiffness: f(1e3, 3e4), Play: make([]float64, n-1), Load: make([]float64, n)}
	if rng.IntN(3) > 0 {
		r.Slack = f(0.001, 0.03)
	}
	s := new(solve)
	s.resize(n)
	for i := range s.y {
		s.y[i], r.Load[i] = f(-0.5, 0.5), f(-20, 20)
	}
	for i := range r.Play {
		if r.Play[i] = math.Inf(1); rng.IntN(2) == 0 {
			r.Play[i] = math.Abs(s.middle(i)) + f(0, 0.3)
		}
	}
	clear(s.held)
	at := rng.IntN(n - 1)
	r.Play[at], s.held[at] = math.Abs(s.middle(at)), int8(sign(s.middle(at)))
	s.markBent(r)
	s.assemble(r)
	s.factor()
	s.target(r)
	return r, s
}

// energy is that of pinRow's comment.
func (r *pinRow) energy(y []float64) (e float64) {
	for i := range y {
		e -= r.Load[i] * y[i]
		if i > 0 {
			e += r.Tension / (2 * r.Pitch) * (y[i] - y[i-1]) * (y[i] - y[i-1])
		}
		if i > 0 && i < len(y)-1 {
			over := math.Max(math.Abs((y[i+1]-2*y[i]+y[i-1])/r.Pitch)-r.Slack, 0)
			e += r.Stiffness / 2 * over * over
		}
	}
	return e
}

// The target of a step is where the present piece's forces balance: joints bent beyond their
// slack are springs about it, others none, and the held link stays at its bound.
func TestTargetBalancesThePiece(t *testing.T) {
	for seed := range 300 {
		r, s := begun(seed)
		n := len(s.y)
		y := make([]float64, n)
		for i := range y {
			y[i] = s.y[i] + s.d[i]
		}
		force := append([]float64(nil), r.Load...)
		for i := range n - 1 {
			f := r.Tension / r.Pitch * (y[i+1] - y[i])
			force[i] += f
			force[i+1] -= f
			if s.held[i] != 0 {
				assert.InDelta(t, float64(s.held[i])*r.Play[i], (y[i]+y[i+1])/2, 1e-9)
				force[i] -= s.Held(i) / 2
				force[i+1] -= s.Held(i) / 2
			} else {
				assert.Zero(t, s.Held(i))
			}
		}
		for i := 1; i < n-1; i++ {
			was := (s.y[i+1] - 2*s.y[i] + s.y[i-1]) / r.Pitch
			if math.Abs(was) <= r.Slack {
				continue
			}
			m := r.Stiffness * ((y[i+1]-2*y[i]+y[i-1])/r.Pitch - math.Copysign(r.Slack, was)) / r.Pitch
			force[i-1] -= m
			force[i] += 2 * m
			force[i+1] -= m
		}
		for i, f := range force {
			assert.InDelta(t, 0, f, 1e-6, "seed %d, pin %d, N", seed, i)
		}
	}
}

// A step goes as far as the bounds allow: there one link, and the one that is named, has
// come to its bound, or none and the way is free.
func TestReachEndsAtTheFirstBound(t *testing.T) {
	stopped := 0
	for seed := range 300 {
		r, s := begun(seed)
		alpha, block := s.reach(r)
		assert.True(t, alpha >= 0 && alpha <= 1)
		for i, c := range r.Play {
			m := s.middle(i) + alpha*(s.d[i]+s.d[i+1])/2
			assert.LessOrEqual(t, math.Abs(m), c+1e-9, "seed %d", seed)
			if i == block {
				stopped++
				assert.InDelta(t, c, math.Abs(m), 1e-9)
				assert.Positive(t, m*(s.d[i]+s.d[i+1]), "it moves outwards")
				assert.Zero(t, s.held[i])
			}
		}
		if block < 0 {
			assert.Equal(t, 1.0, alpha)
		}
	}
	assert.Greater(t, stopped, 50)
}

// The slope along a step is the energy's, by central differences; the search ends where it
// is zero, or at the end of the way while the energy still falls; a full step is exact only
// where the slope is zero there.
func TestLineSearchEndsWhereTheEnergyIsLeast(t *testing.T) {
	exacts, insides := 0, 0
	for seed := range 300 {
		r, s := begun(seed)
		energy := func(at float64) float64 {
			y := make([]float64, len(s.y))
			for i := range y {
				y[i] = s.y[i] + at*s.d[i]
			}
			return r.energy(y)
		}
		first := s.slope(r, 0)
		if math.Abs(first) < 1e-9 {
			continue
		}
		assert.Negative(t, first)
		for _, at := range []float64{0, 0.3, 0.77, 1} {
			const h = 1e-5
			got := s.slope(r, at)
			assert.InDelta(t, (energy(at+h)-energy(at-h))/(2*h), got, 1e-4*math.Abs(first)+1e-6, "seed %d at %g", seed, at)
		}
		for _, most := range []float64{1, 0.6, 0.1} {
			step, exact := s.lineSearch(r, most)
			end := s.slope(r, step)
			switch {
			case exact:
				exacts++
				assert.Equal(t, 1.0, step)
				assert.True(t, s.same(r))
				assert.InDelta(t, 0, end/first, 1e-6)
			case step == most:
				assert.LessOrEqual(t, end, 1e-9*math.Abs(first))
			default:
				insides++
				assert.True(t, step > 0 && step < most)
				assert.InDelta(t, 0, end/first, 1e-9)
			}
		}
		step, exact := s.lineSearch(r, 0)
		assert.Zero(t, step)
		assert.False(t, exact)
	}
	assert.Greater(t, exacts, 20)
	assert.Greater(t, insides, 20)
}

// Of the held links the one that pulls most is let go, no other, and none that pushes.
func TestReleaseLetsTheWorstGo(t *testing.T) {
	put := func(held []int8, force []float64) *solve {
		s := new(solve)
		s.resize(len(held) + 1)
		copy(s.held, held)
		s.z = force
		for i := range held {
			s.mul[i] = i
		}
		return s
	}
	for _, c := range []struct {
		held           []int8
		force          []float64 // positive towards the negative side: a tooth pushes by held
		released, left bool
		want           []int8
	}{
		{[]int8{1, -1, 0, 1}, []float64{3, -2, -9, 0}, false, true, []int8{1, -1, 0, 1}},
		{[]int8{1, -1, 0, 1}, []float64{-3, 4, -9, 1}, true, true, []int8{1, 0, 0, 1}},
		{[]int8{1, -1, 0, 1}, []float64{-5, 4, -9, 1}, true, true, []int8{0, -1, 0, 1}},
		{[]int8{0, 0, 1, 0}, []float64{0, 0, -1e-3, 0}, true, false, []int8{0, 0, 0, 0}},
		{[]int8{0, 0, 1, 0}, []float64{0, 0, -1e-12, 0}, false, true, []int8{0, 0, 1, 0}},
	} {
		s := put(c.held, c.force)
		released, left := s.release()
		assert.Equal(t, c.released, released)
		assert.Equal(t, c.left, left)
		assert.Equal(t, c.want, s.held[:4])
	}
}

// A row is moved as a whole, the way the loads pull, until the first link meets its bound.
func TestShiftMovesTheRow(t *testing.T) {
	for _, side := range []float64{1, -1} {
		r := &pinRow{Pitch: 12.7, Tension: 9, Play: []float64{0.9, 0.4, math.Inf(1), 0.4}, Load: []float64{side, 0, 0, 0, side}}
		s := new(solve)
		s.resize(5)
		require.Equal(t, Solved, s.start(r))
		assert.Equal(t, []float64{0.4 * side, 0.4 * side, 0.4 * side, 0.4 * side, 0.4 * side}, s.y)
		assert.Equal(t, []int8{0, 0, 0, int8(side)}, s.held[:4], "of two the one nearest the open")
		assert.True(t, s.feasible(r))
		s.y[4] += side * 1e-9
		assert.False(t, s.feasible(r), "a held link lies at its bound")
		clear(s.held)
		assert.False(t, s.feasible(r), "and one is held")
	}
	r := &pinRow{Pitch: 12.7, Tension: 9, Play: []float64{0.9, math.Inf(1)}, Load: []float64{-2, 1, 0.5}}
	s := new(solve)
	s.resize(3)
	require.Equal(t, Solved, s.start(r))
	assert.Equal(t, -0.9, s.y[0])
}

// The seed of a warm start: straight at the bound up to the held link, then by the shape.
func TestSeedIsLaidOut(t *testing.T) {
	r := &pinRow{Pitch: 10, Play: []float64{1, 0.5, 2, math.Inf(1)}, Load: make([]float64, 5)}
	s := new(solve)
	s.seed(r, 1, func(u float64) float64 { return u * u })
	assert.Equal(t, []float64{0.5, 0.5, 0.5, 0.5 + 100, 0.5 + 400}, s.y)
	assert.Equal(t, []int8{0, 1, 0, 0}, s.held[:4])
}
