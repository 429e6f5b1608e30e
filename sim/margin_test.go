package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"chainpath/sim/engage"
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
		e := Evaluator{Exact: true, Signs: rapid.Bool().Draw(t, "signs")}
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

func TestTableErrorIsBounded(t *testing.T) {
	var fast Evaluator
	exact := Evaluator{Exact: true}
	worst, moved := 0.0, 0.0
	for _, c := range []Chain{chain12(), single().Chain} {
		for _, w := range []Sprocket{sprocket(11), sprocket(32), {Teeth: 32, TipHeight: 2.3, Tooth: tooth, Wide: engage.Tooth{Tip: 2.4, Full: 3.5, Relief: tooth.Relief}}, single().Rings[0].Sprocket, single().Cogs[0].Sprocket} {
			for _, slack := range []float64{0.3, 0.6, 1.5} {
				c.Slack = Radians(slack)
				for _, driven := range []bool{false, true} {
					least, most := math.Inf(1), math.Inf(-1)
					// 400 N·m on nine teeth are 22 kN, 2500 W at 10 1/min 129 kN.
					for pull := 1.0; pull < 150000; pull *= 1.0731 {
						q, m, err := fast.limits(fast.source(w, c.Chain, driven), pull, placeOf(pull))
						require.NoError(t, err)
						q0, m0, err := exact.limits(exact.source(w, c.Chain, driven), pull, placeOf(pull))
						require.NoError(t, err)
						worst = math.Max(worst, math.Max(math.Abs(q-q0), math.Abs(m-m0)))
						least, most = math.Min(least, m0), math.Max(most, m0)
					}
					moved = math.Max(moved, most-least)
				}
			}
		}
	}
	assert.Greater(t, moved, 10*TableError, "limits that hang on the tension")
	for pull := 1.0; pull < 150000; pull *= 1.31 {
		b := trail()
		x, err := fast.rubLimit(fast.rubTable(&b.Cogs[3], &b.Cogs[4], &b.Chain, 0), &b.Cogs[3], &b.Cogs[4], &b.Chain, 0, pull, placeOf(pull))
		require.NoError(t, err)
		y, err := exact.rubLimit(exact.rubTable(&b.Cogs[3], &b.Cogs[4], &b.Chain, 0), &b.Cogs[3], &b.Cogs[4], &b.Chain, 0, pull, placeOf(pull))
		require.NoError(t, err)
		worst = math.Max(worst, math.Abs(x-y))
	}
	assert.Less(t, worst, TableError)
	t.Logf("worst %.5f°", Degrees(worst))
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

// BenchmarkDesign is a full evaluation of a 12-gear design with limits tabulated
// for each distinct wheel; lines and stay change from one to the next.
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

// Designs that all differ do not fill the memory: what an evaluator keeps is
// bounded, and it goes on giving the same answers.
func TestEvaluatorKeepsABoundedNumberOfTables(t *testing.T) {
	var e, fresh Evaluator
	c := chain12().Chain
	for i := range 3 * mostTables {
		c.Slack = 0.005 + 1e-6*float64(i)
		e.source(sprocket(20), c, false)
	}
	assert.LessOrEqual(t, len(e.limit), mostTables)
	assert.LessOrEqual(t, len(e.sources), mostKept+1)
	q, m, err := e.limits(e.source(sprocket(20), c, false), 30, placeOf(30))
	require.NoError(t, err)
	q0, m0, err := fresh.limits(fresh.source(sprocket(20), c, false), 30, placeOf(30))
	require.NoError(t, err)
	assert.Equal(t, [2]float64{q0, m0}, [2]float64{q, m})
}
