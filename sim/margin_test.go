package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// double is an invented 2×6 with a neighbour ring.
func double() *Bike {
	b := trail()
	y := RingLines(45, 7.5, 2)
	b.Rings = []Wheel{{sprocket(34), y[0]}, {sprocket(46), y[1]}}
	b.Cogs = b.Cogs[2:9]
	return b
}

// The margins say the same as the verdicts of Evaluate, which are computed
// another way: gaps against zero there, bends against limits here.
func TestMarginsAgreeWithVerdicts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		if rapid.Bool().Draw(t, "double") {
			b = double()
		}
		shift := rapid.Float64Range(-12, 6).Draw(t, "shift")
		for i := range b.Rings {
			b.Rings[i].Line += shift
		}
		b.Load.FreehubDrag = rapid.Float64Range(0, 400).Draw(t, "drag")
		b.Chain.Width += rapid.SampledFrom([]float64{0, 0, 0.8, 1.5, 2, 2.5, 3}).Draw(t, "wider")
		b.Frame.Stay = rapid.Float64Range(410, 460).Draw(t, "stay")
		r := evaluate(t, b)
		e := Evaluator{Signs: rapid.Bool().Draw(t, "signs")}
		for _, g := range r.Gears {
			ms, err := e.Gear(nil, b, g.Ring, g.Cog, r.Links)
			require.NoError(t, err)
			worst := map[[2]int]float64{}
			for _, m := range ms {
				k := [2]int{int(m.Kind), int(m.Direction)}
				if v, ok := worst[k]; !ok || m.Value < v {
					worst[k] = m.Value
				}
			}
			for d := Riding; d <= Backwards; d++ {
				at := func(k Kind) float64 {
					if v, ok := worst[[2]int{int(k), int(d)}]; ok {
						return v
					}
					return math.Inf(1)
				}
				same := func(c Code, bad bool, margin float64) {
					if math.Abs(margin) > 1e-7 {
						assert.Equal(t, bad, g.Has(d, c), "%d/%d %v %v margin %g", g.RingTeeth, g.CogTeeth, d, c, margin)
					}
				}
				same(IsClimbing, at(ToClimb) < 0, at(ToClimb))
				same(RubsCog, at(ToCog) < 0, at(ToCog))
				same(RubsRing, at(ToRing) < 0, at(ToRing))
				if d == Riding {
					same(RubsTyre, at(ToTyre) < 0, at(ToTyre))
					same(HitsStay, at(ToStay) < 0, at(ToStay))
					assert.Equal(t, at(ToClose) < 0, g.Has(d, CannotClose) || g.Has(d, TooLong))
				} else {
					same(TopSlack, at(ToSlack) <= 0, at(ToSlack))
				}
			}
		}
	})
}

// An evaluator's answers do not depend on what it did before.
func TestEvaluatorHasNoMemory(t *testing.T) {
	a, b := trail(), double()
	var fresh, used Evaluator
	x, err := fresh.Margins(nil, b, 110)
	require.NoError(t, err)
	_, err = used.Margins(nil, a, 116)
	require.NoError(t, err)
	y, err := used.Margins(nil, b, 110)
	require.NoError(t, err)
	assert.Equal(t, x, y)
}

func TestMarginsOfBadPathsAreErrors(t *testing.T) {
	b := trail()
	b.Tensioner.Gap = [2]float64{-40, -40}
	var e Evaluator
	_, err := e.Margins(nil, b, 116)
	require.ErrorIs(t, err, ErrOverlap)
}

// BenchmarkDesign is the margins of a 12-gear design; lines and stay change from one to the next.
func BenchmarkDesign(b *testing.B) {
	bike := trail()
	links, _ := bike.ChooseLinks()
	var e Evaluator
	var ms []Margin
	i := 0
	b.ReportAllocs()
	for b.Loop() {
		bike.Rings[0].Line = 50 + 0.01*float64(i%400)
		bike.Frame.Stay = 430 + 0.01*float64(i%700)
		ms, _ = e.Margins(ms[:0], bike, links)
		i++
	}
}

// What an evaluator keeps of tensions that pass by is bounded, and its limits are those of the
// wheel at that very tension.
func TestEvaluatorKeepsABoundedNumberOfLimits(t *testing.T) {
	var e Evaluator
	b := trail()
	w := b.Cogs[3].Sprocket
	for i := range 3 * mostKept {
		p := planned{wheel: &w, pull: 1 + 0.01*float64(i)}
		require.Equal(t, p.entry(Pitch).Limits(b.Chain.Chain, p.pull), e.limits(&p, b.Chain.Chain))
		require.LessOrEqual(t, len(e.s.limits), mostKept+1)
	}
}
