package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"chainpath/sim/engage"
)

func evaluate(t require.TestingT, b *Bike) *Result {
	r, err := b.Evaluate()
	require.NoError(t, err)
	return r
}

func TestBendsComeFromLinesAndLengths(t *testing.T) {
	r := evaluate(t, trail())
	for _, g := range r.Gears {
		assert.InDelta(t, math.Atan(math.Abs(g.RingLine-g.CogLine)/g.Top.Length), g.Top.Bend, 1e-12)
		assert.InDelta(t, g.RingLine-g.CogLine, g.Top.Across, 1e-12)
		assert.InDelta(t, g.RingLine-g.CogLine, g.Bottom.Across, 1e-12)
		assert.Zero(t, g.Guide.Bend)
		assert.Equal(t, "straight", g.Guide.Side())
	}
	small, big := r.Gears[0], r.Gears[len(r.Gears)-1]
	assert.Equal(t, "inboard", small.Top.Side())
	assert.Equal(t, "outboard", big.Top.Side())
	assert.Greater(t, big.Bottom.Bend, big.Top.Bend, "the cage swings forward and shortens the bottom span")
}

func TestArrivalsOfEachDirection(t *testing.T) {
	at := func(a []Arrival) (p []Part) {
		for _, x := range a {
			p = append(p, x.At)
		}
		return
	}
	g := evaluate(t, trail()).Gears[5]
	assert.Equal(t, []Part{AtRing, AtTension, AtCog}, at(g.Arrivals[Riding]))
	assert.Equal(t, []Part{AtCog, AtRing, AtGuide}, at(g.Arrivals[Backwards]))
	assert.Equal(t, g.Top.Bend, g.Arrivals[Backwards][0].Bend)
	assert.Equal(t, g.Bottom.Bend, g.Arrivals[Backwards][1].Bend)

	s := evaluate(t, single()).Gears[0]
	assert.Equal(t, []Part{AtRing, AtCog}, at(s.Arrivals[Riding]))
	assert.Equal(t, []Part{AtCog, AtRing}, at(s.Arrivals[Backwards]))
}

func TestIndexErrorBendsTheGuideSpan(t *testing.T) {
	b := trail()
	b.Tensioner.IndexError = 0.7
	for _, g := range evaluate(t, b).Gears {
		assert.InDelta(t, math.Atan(0.7/g.Guide.Length), g.Guide.Bend, 1e-12)
		assert.Equal(t, "outboard", g.Guide.Side())
		assert.InDelta(t, g.RingLine-g.CogLine-0.7, g.Bottom.Across, 1e-12)
	}
}

func TestTensions(t *testing.T) {
	b := trail()
	for _, g := range evaluate(t, b).Gears {
		if !g.Fit.Closes {
			continue
		}
		r := b.Rings[0].PitchRadius(Pitch)
		assert.InDelta(t, 40000/r, g.Tensions.Top[Riding], 1e-9)
		drag := 100 / b.Cogs[g.Cog].PitchRadius(Pitch)
		assert.InDelta(t, drag, g.Tensions.Bottom[Backwards]-g.Tensions.Top[Backwards], 1e-9)
		assert.Equal(t, g.Tensions.Bottom[Riding], g.Tensions.Bottom[Backwards])
	}
	b.Load.Tension = 321
	assert.Equal(t, 321.0, evaluate(t, b).Gears[3].Tensions.Top[Riding])

	b.Load.FreehubDrag = 2000
	g := evaluate(t, b).Gears[4]
	assert.Less(t, g.Tensions.Top[Backwards], 0.0)
	assert.True(t, g.Has(Backwards, TopSlack))
	assert.False(t, g.Has(Riding, TopSlack))
}

// A bike mirrored about its rear line (chain inboard where it was outboard) has
// the same bends, offsets and limits.
func TestMirroredLinesGiveTheSameBends(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(0, 9).Draw(t, "difference")
		a, b := trail(), trail()
		a.Cogs, b.Cogs = a.Cogs[5:6], b.Cogs[5:6]
		a.Rings[0].Line, b.Rings[0].Line = a.Cogs[0].Line+d, b.Cogs[0].Line-d
		x, y := evaluate(t, a).Gears[0], evaluate(t, b).Gears[0]
		for dir := range x.Arrivals {
			for i := range x.Arrivals[dir] {
				p, q := x.Arrivals[dir][i], y.Arrivals[dir][i]
				assert.InDelta(t, p.Bend, q.Bend, 1e-12)
				assert.InDelta(t, p.Offset, q.Offset, 1e-9)
				assert.Equal(t, p.Grade, q.Grade)
			}
		}
	})
}

func TestGradesFollowTheLimits(t *testing.T) {
	for _, g := range evaluate(t, trail()).Gears {
		for d, as := range g.Arrivals {
			for _, a := range as {
				want := Quiet
				switch {
				case a.Bend > a.Limits.Climb && a.Held:
					want = Rattles
				case a.Bend > a.Limits.Climb:
					want = MayClimb
				case a.Bend > a.Limits.Quiet:
					want = Touches
				}
				assert.Equal(t, want, a.Grade)
				assert.Equal(t, a.Grade == MayClimb || g.Has(Direction(d), IsClimbing), g.Has(Direction(d), IsClimbing))
				if a.At == AtTension || a.At == AtGuide {
					assert.True(t, a.Held, "a cage's plates hold the chain on its pulleys")
				}
			}
		}
		for d := Riding; d <= Backwards; d++ {
			n := 0
			for _, v := range g.Verdicts {
				if v.Direction == d {
					n++
					assert.NotEmpty(t, v.Reason)
				}
			}
			assert.Positive(t, n, "every gear and direction has a verdict")
			if g.Has(d, IsQuiet) {
				assert.Equal(t, 1, n, "quiet stands alone")
			}
		}
	}
}

// Alternating wide teeth hold the outer links, so that the chain bends less
// before the next tooth: both limits of such a ring are higher.
func TestWideNarrowRingHasHigherLimits(t *testing.T) {
	b := trail()
	plain := evaluate(t, b).Gears[11].Arrivals[Riding][0].Limits
	b.Rings[0].Wide = engage.Tooth{Tip: 2.4, Full: 3.5, Relief: Radians(17)}
	b.Rings[0].Tooth.Full = 1.8
	wide := evaluate(t, b).Gears[11].Arrivals[Riding][0].Limits
	assert.Greater(t, wide.Climb, plain.Climb)
	assert.Greater(t, wide.Quiet, plain.Quiet)
}

func TestStraightStrandIsThePessimisticBound(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		b.Rings[0].Line = rapid.Float64Range(40, 56).Draw(t, "front")
		b.Frame.Stay = rapid.Float64Range(410, 460).Draw(t, "stay")
		b.Chain.Slack = Radians(rapid.Float64Range(0.2, 1.5).Draw(t, "slack"))
		for _, g := range evaluate(t, b).Gears {
			c := g.Clearances
			for _, n := range c.NextCog {
				if n.Valid {
					assert.GreaterOrEqual(t, n.MM, c.NextCogStraight.MM-1e-9)
				}
			}
		}
	})
}

func TestClearancesMoveTheRightWay(t *testing.T) {
	b := trail()
	base := evaluate(t, b).Gears
	b.Rings[0].Line += 2
	out := evaluate(t, b).Gears
	for i := range base {
		x, y := base[i].Clearances, out[i].Clearances
		assert.InDelta(t, x.RingStay.MM+2, y.RingStay.MM, 1e-9, "ring 2 mm further from the stay")
		assert.GreaterOrEqual(t, y.Tyre.MM, x.Tyre.MM)
	}
	b = trail()
	b.Tyre.Mud += 3
	for i, g := range evaluate(t, b).Gears {
		assert.InDelta(t, base[i].Clearances.Tyre.MM-3, g.Clearances.Tyre.MM, 1e-9)
	}
	b = trail()
	b.Rings[0].Sprocket = sprocket(36)
	grow := b.Rings[0].TipRadius(Pitch) - sprocket(32).TipRadius(Pitch)
	g := evaluate(t, b).Gears[0]
	assert.InDelta(t, base[0].Clearances.RingStay.MM-grow*math.Tan(Radians(4)), g.Clearances.RingStay.MM, 1e-9)
	b.Bolts = Bolts{Radius: 45, Depth: 8}
	bolts := evaluate(t, b).Gears[0].Clearances.RingStay
	assert.Equal(t, 45.0, bolts.At)
	// By hand: their depth off the ring's inner face, beside the stay where it stands 45 mm back.
	face := b.Stay.Face + (45-b.Stay.Radius)*math.Tan(b.Stay.Angle)
	assert.InDelta(t, b.Rings[0].Line-b.Rings[0].Thickness()/2-8-face-b.Stay.Flex, bolts.MM, 1e-9)
	b = trail()
	b.Tyre, b.Stay = nil, nil
	c := evaluate(t, b).Gears[0].Clearances
	assert.False(t, c.Tyre.Valid || c.Stay().Valid)
	assert.False(t, evaluate(t, trail()).Gears[11].Clearances.NextCog[0].Valid, "the largest cog has no larger neighbour")
}

func TestNeighbourRingOfADouble(t *testing.T) {
	b := trail()
	b.Cogs = b.Cogs[:8]
	y := RingLines(43.5, 7, 2)
	b.Rings = []Wheel{{sprocket(34), y[0]}, {sprocket(50), y[1]}}
	r := evaluate(t, b)
	assert.Len(t, r.Gears, 16)
	inner, outer := r.Gears[0].Clearances, r.Gears[8].Clearances
	assert.True(t, inner.NextRing[Riding].Valid)
	assert.False(t, outer.NextRing[Riding].Valid)
	// Smallest cog, furthest outboard: the chain leaves the small ring towards
	// the big one. On the largest it leaves it the other way.
	assert.Less(t, inner.NextRing[Riding].MM, r.Gears[7].Clearances.NextRing[Riding].MM)
	// Rings moved together until the chain meets the next one: that is said of the gears whose
	// gap is less than nothing, and of no others.
	b.RingPins, b.Rings[0].Line = 0.8, b.Rings[1].Line-6.5
	said, not := 0, 0
	for _, g := range evaluate(t, b).Gears {
		for d := Riding; d <= Backwards; d++ {
			gap := g.Clearances.NextRing[d]
			meets := gap.Valid && gap.MM < 0
			assert.Equal(t, meets, g.Has(d, RubsRing), "%d/%d %s", g.RingTeeth, g.CogTeeth, d)
			if meets {
				said++
			} else {
				not++
			}
		}
	}
	assert.Positive(t, said)
	assert.Positive(t, not)
}

func TestBadBikes(t *testing.T) {
	for want, spoil := range map[string]func(b *Bike){
		"0 chainrings":                   func(b *Bike) { b.Rings = nil },
		"no cogs":                        func(b *Bike) { b.Cogs = nil },
		"want more than the drop":        func(b *Bike) { b.Frame.Stay = math.NaN() },
		"more than one gear":             func(b *Bike) { b.Tensioner = nil },
		"further inboard":                func(b *Bike) { b.Cogs[0], b.Cogs[1] = b.Cogs[1], b.Cogs[0] },
		"want at least 9":                func(b *Bike) { b.Rings[0].Teeth = 8 },
		"tip height":                     func(b *Bike) { b.Rings[0].TipHeight = 0 },
		"want the tip thinner":           func(b *Bike) { b.Cogs[2].Tooth.Tip = 2 },
		"does not fit":                   func(b *Bike) { b.Cogs[2].Tooth.Full = 2.5 },
		"side relief":                    func(b *Bike) { b.Tensioner.Guide.Tooth.Relief = 0 },
		"even number":                    func(b *Bike) { b.Rings[0].Teeth = 33; b.Rings[0].Wide = engage.Tooth{Tip: 2, Full: 3, Relief: 0.3} },
		"its pulleys meet":               func(b *Bike) { b.Tensioner.Cage = 40 },
		"folded one first":               func(b *Bike) { b.Tensioner.Folded = 2 },
		"falls to nothing":               func(b *Bike) { b.Tensioner.Spring = 0 },
		"117 links is odd, want an even": func(b *Bike) { b.Chain.Links = 117 },
		"want an odd number":             func(b *Bike) { b.Chain.Links = 116; b.Chain.HalfLink = true },
		"inside outer plates":            func(b *Bike) { b.Chain.OuterWidth = 2 },
		"over the rivets":                func(b *Bike) { b.Chain.Width = 3 },
	} {
		b := trail()
		spoil(b)
		_, err := b.Evaluate()
		require.ErrorIs(t, err, ErrBike, want)
		assert.ErrorContains(t, err, want)
	}
}

func TestEverythingIsFinite(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		b.Rings[0].Line = rapid.Float64Range(30, 70).Draw(t, "front")
		b.Frame.Stay = rapid.Float64Range(390, 500).Draw(t, "stay")
		b.Chain.Links = 2 * rapid.IntRange(45, 70).Draw(t, "half links")
		b.Load.Torque = rapid.Float64Range(0, 2e5).Draw(t, "torque")
		b.Load.FreehubDrag = rapid.Float64Range(0, 1000).Draw(t, "drag")
		for _, g := range evaluate(t, b).Gears {
			v := []float64{g.CageAngle, g.Top.Bend, g.Bottom.Bend, g.Fit.Slack, g.Tensions.Bottom[0], g.Tensions.Top[1], g.Clearances.Tyre.MM, g.Clearances.ChainStay.MM, g.Clearances.NextCog[1].MM}
			for d := range g.Arrivals {
				for _, a := range g.Arrivals[d] {
					v = append(v, a.Bend, a.Offset, a.Limits.Quiet, a.Limits.Climb, a.Pull)
				}
			}
			for _, x := range v {
				assert.False(t, math.IsNaN(x) || math.IsInf(x, 0))
			}
		}
	})
}

func BenchmarkOneGear(b *testing.B) {
	bike := trail()
	links, _ := bike.ChooseLinks()
	var l Loop
	b.ReportAllocs()
	for b.Loop() {
		_, _ = bike.Close(&l, 0, 5, links)
	}
}

func BenchmarkTwelveGears(b *testing.B) {
	bike := trail()
	b.ReportAllocs()
	for b.Loop() {
		_, _ = bike.Evaluate()
	}
}
