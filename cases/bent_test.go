package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// The bends that mark the arrivals of shipped cases rise with the chance, and the
// arrivals are those of the results.
func TestBendsAtChances(t *testing.T) {
	for _, name := range Shipped() {
		c, err := Load(name, nil)
		require.NoError(t, err)
		all, err := c.BendsAt()
		require.NoError(t, err, name)
		b, err := c.Bike()
		require.NoError(t, err)
		r, err := b.Evaluate()
		require.NoError(t, err)
		for g := range all {
			var at [2][]sim.Part
			for _, x := range all[g] {
				at[x.Direction] = append(at[x.Direction], x.At)
				for _, of := range [2][3]float64{x.Noise, x.Off} {
					for m := 1; m < len(of); m++ {
						assert.False(t, of[m] <= of[m-1], "%s gear %d at %s: %v", name, g, x.At, of)
					}
				}
			}
			for d := range at {
				assert.Len(t, at[d], len(r.Gears[g].Arrivals[d]))
				for i, p := range at[d] {
					assert.Equal(t, r.Gears[g].Arrivals[d][i].At, p, name)
				}
			}
		}
	}
}

// Noise has more than a marked chance just where the run is bent more than the mark, but for
// what drawn lines blur.
func TestNoisePassesItsMarks(t *testing.T) {
	c, err := Load("tourer", nil)
	require.NoError(t, err)
	all, err := c.BendsAt()
	require.NoError(t, err)
	chances, err := c.Chances()
	require.NoError(t, err)
	b, err := c.Bike()
	require.NoError(t, err)
	r, err := b.Evaluate()
	require.NoError(t, err)
	met := [2]int{}
	for g := range all {
		bend, p := r.Gears[g].OnRing().Bend, chances[g][sim.NoiseRiding]
		for m, at := range all[g][0].Noise {
			if math.IsNaN(at) || math.Abs(bend-at) < sim.Radians(0.15) { // lines are drawn along
				continue
			}
			assert.Equal(t, bend > at, p > judge.Marks[m], "gear %d: %.2f° against %.2f°, chance %.3f", g, sim.Degrees(bend), sim.Degrees(at), p)
			if bend > at {
				met[1]++
			} else {
				met[0]++
			}
		}
	}
	assert.Positive(t, met[0])
	assert.Positive(t, met[1])
}

func BenchmarkBendsAt(b *testing.B) {
	c, err := Load("trail", nil)
	require.NoError(b, err)
	b.ReportAllocs()
	for b.Loop() {
		_, err := c.BendsAt()
		require.NoError(b, err)
	}
}
