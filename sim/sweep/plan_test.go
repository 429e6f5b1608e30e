package sweep

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func ready(t *testing.T, p Plan) *Plan {
	require.NoError(t, p.Prepare())
	return &p
}

func TestGridCountsThrough(t *testing.T) {
	p := ready(t, Plan{Variables: []Variable{{Name: "a", Values: []float64{3, 1}}, {Name: "b", From: 0.1, To: 0.5, Step: 0.2}}})
	require.Equal(t, 6, p.Designs())
	var got [][2]float64
	x := make([]float64, 2)
	for i := range p.Designs() {
		p.Design(x, i)
		got = append(got, [2]float64{x[0], x[1]})
	}
	assert.Equal(t, [][2]float64{{3, 0.1}, {3, 0.3}, {3, 0.5}, {1, 0.1}, {1, 0.3}, {1, 0.5}}, got)
}

func TestBadPlans(t *testing.T) {
	for _, p := range []Plan{
		{},
		{Variables: []Variable{{From: 2, To: 1, Step: 1}}},
		{Variables: []Variable{{From: 1, To: 2}}},
		{Variables: []Variable{{From: 1, To: math.Inf(1), Step: 1}}},
		{Variables: []Variable{{From: 0, To: 1e9, Step: 1e-6}}},
		{Variables: []Variable{{From: 0, To: 1e7, Step: 1}, {From: 0, To: 1e7, Step: 1}}},
		{Variables: []Variable{{From: 0, To: 1}}, Method: Random},
		{Variables: make([]Variable, 17), Method: Sobol, Count: 4},
	} {
		assert.ErrorIs(t, p.Prepare(), ErrPlan, "%+v", p)
	}
}

// The first 2^k points of a Sobol sequence put one into each 2^k-th of every
// dimension, and for the first two dimensions into every box of that area
// (Sobol 1967); the first points are known: 0, 1/2, then 3/4 and 1/4.
func TestSobolIsEvenlySpread(t *testing.T) {
	s := newSobol(mostSobol, 0)
	var first []float64
	for n := range uint64(4) {
		first = append(first, s.at(0, n))
	}
	assert.Equal(t, []float64{0, 0.5, 0.75, 0.25}, first)
	for _, seed := range []uint64{0, 9} {
		s := newSobol(mostSobol, seed)
		const k = 10
		for d := range mostSobol {
			seen := [1 << k]int{}
			for n := range uint64(1 << k) {
				seen[int(s.at(d, n)*(1<<k))]++
			}
			for i, c := range seen {
				require.Equal(t, 1, c, "dimension %d, place %d", d, i)
			}
		}
		for bits := range k + 1 {
			seen := map[[2]int]int{}
			for n := range uint64(1 << k) {
				seen[[2]int{int(s.at(0, n) * float64(int(1)<<bits)), int(s.at(1, n) * float64(int(1)<<(k-bits)))}]++
			}
			assert.Len(t, seen, 1<<k)
		}
	}
	// No two dimensions are the same: pairs fill the square far better than a line.
	for a := range mostSobol {
		for b := range a {
			seen := map[[2]int]bool{}
			for n := range uint64(4096) {
				seen[[2]int{int(s.at(a, n) * 16), int(s.at(b, n) * 16)}] = true
			}
			assert.Greater(t, len(seen), 200, "dimensions %d and %d", a, b)
		}
	}
}

// Integrals by Sobol points come near the exact ones: E[Π 12 (x - 1/2)²] = 1.
func TestSobolIntegrates(t *testing.T) {
	s := newSobol(5, 3)
	sum := 0.0
	const n = 1 << 14
	for i := range uint64(n) {
		f := 1.0
		for d := range 5 {
			x := s.at(d, i) - 0.5
			f *= 12 * x * x
		}
		sum += f
	}
	assert.InDelta(t, 1, sum/n, 0.01)
}

func TestSamplesDependOnTheirNumberAlone(t *testing.T) {
	for _, m := range []Method{Random, Sobol} {
		p := ready(t, Plan{Variables: []Variable{{Name: "a", From: -1, To: 4}, {Name: "b", Values: []float64{1, 2, 5}}, {Name: "c", From: 0, To: 1, Step: 0.5}}, Method: m, Count: 500, Seed: 7})
		q := ready(t, *p)
		x, y := make([]float64, 3), make([]float64, 3)
		seen := map[float64]bool{}
		for i := p.Designs() - 1; i >= 0; i-- {
			p.Design(x, i)
			q.Design(y, i)
			assert.Equal(t, x, y)
			assert.True(t, x[0] >= -1 && x[0] < 4)
			assert.Contains(t, []float64{1, 2, 5}, x[1])
			assert.Contains(t, []float64{0, 0.5, 1}, x[2])
			seen[x[0]] = true
		}
		assert.Greater(t, len(seen), 490)
	}
}
