package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/optimize"
	"pgregory.net/rapid"
)

// outcomeOf takes the same numbers from a full evaluation.
func outcomeOf(t require.TestingT, b *Bike) Outcome {
	r, err := b.Evaluate()
	require.NoError(t, err)
	o := Outcome{Links: r.Links}
	for i := range r.Gears {
		g := &r.Gears[i]
		if !g.Fit.Mounts() {
			o.NoClose++
			continue
		}
		o.TopBend.keepMax(g.Top.Bend, g.Ring, g.Cog, AtRing)
		o.BottomBend.keepMax(g.Bottom.Bend, g.Ring, g.Cog, AtRing)
		if r.Tensioned {
			o.GuideBend.keepMax(g.Guide.Bend, g.Ring, g.Cog, AtCog)
		}
		o.TopPull.keepMin(g.Tensions.Top[Backwards], g.Ring, g.Cog, AtCog)
		if g.Fit.Closes {
			o.Cage[0].keepMin(g.CageAngle, g.Ring, g.Cog, AtCog)
			o.Cage[1].keepMax(g.CageAngle, g.Ring, g.Cog, AtCog)
		}
		if g.Fit.Hangs() {
			o.NoClose++
		}
		c := g.Clearances
		if c.NextCogStraight.Valid {
			o.NextCog.keepMin(c.NextCogStraight.MM, g.Ring, g.Cog, AtCog)
		}
		if c.NextRingStraight.Valid {
			o.NextRing.keepMin(c.NextRingStraight.MM, g.Ring, g.Cog, AtRing)
		}
		if b.Tyre != nil {
			o.Tyre.keepMin(c.Tyre.MM, g.Ring, g.Cog, AtCog)
		}
		if s := c.Stay(); b.Stay != nil {
			o.Stay.keepMin(s.MM, g.Ring, g.Cog, AtCog)
		}
	}
	if b.Stay != nil { // the ring's own gap needs no chain
		o.Stay.keepMin(b.RingStayGap().MM, len(b.Rings)-1, 0, AtRing)
	}
	return o
}

func near2(t assert.TestingT, what string, want, got Extreme, tol float64) {
	assert.Equal(t, want.Valid, got.Valid, what)
	if tol == 0 {
		assert.Equal(t, want.Value, got.Value, what)
	} else {
		assert.InDelta(t, want.Value, got.Value, tol, what)
	}
}

func checkOutcome(t require.TestingT, b *Bike, e *Outcomes) {
	want := outcomeOf(t, b)
	var o Outcome
	require.NoError(t, e.Outcome(&o, b, want.Links))
	near2(t, "top", want.TopBend, o.TopBend, 0)
	near2(t, "bottom", want.BottomBend, o.BottomBend, 0)
	near2(t, "guide", want.GuideBend, o.GuideBend, 0)
	near2(t, "pull", want.TopPull, o.TopPull, 0)
	near2(t, "cage", want.Cage[0], o.Cage[0], 0)
	near2(t, "cage", want.Cage[1], o.Cage[1], 0)
	near2(t, "next cog", want.NextCog, o.NextCog, 1e-9)
	near2(t, "next ring", want.NextRing, o.NextRing, 1e-9)
	near2(t, "tyre", want.Tyre, o.Tyre, 0)
	near2(t, "stay", want.Stay, o.Stay, 0)
	assert.Equal(t, want.NoClose, o.NoClose)
}

// The kernel's numbers are those of the full evaluation, bit for bit.
func TestOutcomeIsThatOfEvaluate(t *testing.T) {
	for _, b := range []*Bike{trail(), double(), single()} {
		checkOutcome(t, b, new(Outcomes))
	}
	e := new(Outcomes)
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		b.Rings[0].Line = f(38, 60, "front")
		b.Frame.Stay = f(405, 460, "stay")
		b.Frame.Drop = f(20, 80, "drop")
		b.Load.FreehubDrag = f(0, 600, "drag")
		b.Chain.Width += rapid.SampledFrom([]float64{0, 0, 0.8, 1.5, 2, 2.5, 3}).Draw(t, "wider")
		b.Chain.Links = rapid.SampledFrom([]int{0, 0, 96, 104, 110, 112, 114, 120}).Draw(t, "links")
		if rapid.Bool().Draw(t, "tyre") {
			b.Tyre = &Tyre{BeadSeat: 622, Section: f(35, 65, "section"), Width: f(35, 65, "width"), Dish: f(-3, 3, "dish"), Mud: 6}
		}
		if rapid.Bool().Draw(t, "stay?") {
			b.Stay = &Stay{Face: f(35, 50, "face"), Radius: 80, Angle: f(-0.02, 0.2, "angle"), Flex: 1, Diameter: f(0, 25, "diameter")}
		}
		if b.Validate() != nil {
			return
		}
		checkOutcome(t, b, e)
	})
}

func TestOutcomeAllocatesNothing(t *testing.T) {
	b := trail()
	b.Tyre = &Tyre{BeadSeat: 622, Section: 57, Width: 58, Mud: 6}
	b.Stay = &Stay{Face: 45, Radius: 70, Angle: 0.07, Flex: 1, Diameter: 20}
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	var e Outcomes
	var o Outcome
	i := 0.0
	for i = 0; i < 400; i++ {
		b.Rings[0].Line = 50 + math.Mod(i, 40)*0.1
		require.NoError(t, e.Outcome(&o, b, links))
	}
	assert.Zero(t, testing.AllocsPerRun(200, func() {
		b.Rings[0].Line = 50 + math.Mod(i, 40)*0.1
		i++
		_ = e.Outcome(&o, b, links)
	}))
}

// BenchmarkOutcome is a design of twelve gears in both directions: bare, bends and pulls alone;
// full, with the distances to tyre and stay as well.
func BenchmarkOutcome(b *testing.B) {
	for _, name := range []string{"bare", "full"} {
		b.Run(name, func(b *testing.B) {
			bike := trail()
			bike.Tyre, bike.Stay = nil, nil
			if name == "full" {
				bike.Tyre = &Tyre{BeadSeat: 622, Section: 57, Width: 58, Mud: 6}
				bike.Stay = &Stay{Face: 45, Radius: 70, Angle: 0.07, Flex: 1, Diameter: 20}
			}
			links, _ := bike.ChooseLinks()
			var e Outcomes
			var o Outcome
			i := 0
			b.ReportAllocs()
			for b.Loop() {
				bike.Rings[0].Line = 50 + 0.01*float64(i%400)
				bike.Frame.Stay = 430 + 0.01*float64(i%700)
				_ = e.Outcome(&o, bike, links)
				i++
			}
		})
	}
}

// BenchmarkStraightforward is the same design done simply, to compare with
// BenchmarkOutcome in one run: the cage angle by a general minimiser
// (gonum/optimize, Nelder-Mead on the squared error in length).
func BenchmarkStraightforward(b *testing.B) {
	bike := trail()
	links, _ := bike.ChooseLinks()
	b.ReportAllocs()
	i := 0
	for b.Loop() {
		bike.Rings[0].Line = 50 + 0.01*float64(i%400)
		bike.Frame.Stay = 430 + 0.01*float64(i%700)
		i++
		for cog := range bike.Cogs {
			var l Loop
			if err := bike.lay(&l, 0, cog); err != nil {
				b.Fatal(err)
			}
			c := cageRoot{loop: &l, cage: bike.Tensioner.Cage, fixed: l.SpanPitches(Top)}
			off := func(x []float64) float64 {
				n, _, err := c.at(math.Max(bike.Tensioner.Folded, math.Min(bike.Tensioner.Stretched, x[0])))
				if err != nil {
					return 1e9
				}
				return (n - float64(links)) * (n - float64(links))
			}
			r, err := optimize.Minimize(optimize.Problem{Func: off}, []float64{0}, nil, &optimize.NelderMead{})
			if err != nil {
				b.Fatal(err)
			}
			off(r.X)
		}
	}
}
