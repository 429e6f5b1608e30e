package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// The order in which hazards are told, the worst first: what may throw the rider, what wears
// parts, what stops or annoys.
func TestHazardsAreToldWorstFirst(t *testing.T) {
	assert.Equal(t, []Concern{DropSmooth, DropRiding, RubsTyreAt, CageMeets, MeetsWheel, PulleyMeets, MeetsStay, MeetsDropout, DropBackwards, RubsNextRing, RubsNextCog,
		NoiseRiding, TopSlackBackwards, DoesNotClose, RubsFrontCage, ChainTooLong}, ToldOrder())
	for i, k := range ToldOrder() {
		assert.Equal(t, i+1, Hazards[k].Order)
	}
	// The usual weights, which outputs name: as many noises as one of the rest is worth.
	for k, want := range map[Concern]float64{
		NoiseRiding: 1, TopSlackBackwards: 1, RubsFrontCage: 1, ChainTooLong: 1, RubsNextCog: 2, RubsNextRing: 2, DropBackwards: 2,
		RubsTyreAt: 5, PulleyMeets: 5, DropRiding: 5, DropSmooth: 5, CageMeets: 10, DoesNotClose: 10, MeetsStay: 2, MeetsDropout: 2, MeetsWheel: 10,
	} {
		assert.Equal(t, want, Hazards[k].Weight, "%s", k)
	}
	c := Chances{DropRiding: 0, RubsNextCog: -1}
	assert.True(t, c.Is(DropRiding), "it never happens, but there is such a thing")
	assert.False(t, c.Is(RubsNextCog))
}

// Numbers of a gear by hand.
func TestNumbersOfAGear(t *testing.T) {
	g := Gear{RingTeeth: 32, CogTeeth: 20}
	assert.Equal(t, 1.6, g.Ratio())
	g.Top, g.Lead = Span{Bend: Radians(3), Across: 5}, Span{Bend: Radians(1)}
	g.Clearances.NextCog = [2]Gap{{MM: 1.5}, {MM: 0.5}}
	g.Clearances.NextRing = [2]Gap{{MM: -2}, {MM: 3}}
	g.Clearances.Tyre.MM, g.Tensions.Top = 8, [2]float64{400, 7}
	for k, want := range map[Concern]float64{NoiseRiding: 3, DropRiding: 3, DropBackwards: 3, RubsNextCog: 0.5, RubsNextRing: -2, RubsTyreAt: 8, TopSlackBackwards: 7, DoesNotClose: 0} {
		assert.InDelta(t, want, g.OneNumber(k), 1e-12, "%s", k)
	}
	g.Top.Across = -5
	assert.Zero(t, g.OneNumber(DropBackwards), "towards the larger cogs")
	g.Top.Across = 0
	assert.InDelta(t, 3, g.OneNumber(DropBackwards), 1e-12)
	g.Loop.Idled = true
	assert.InDelta(t, 1, g.OneNumber(NoiseRiding), 1e-12, "of the run onto the ring")
	assert.InDelta(t, 3, g.OneNumber(DropBackwards), 1e-12, "of the run onto the cog")
}

// Free numbers put into a bike: its chain's friction, no allowance of rings, and that of the
// cogs, but for a cog alone.
func TestFreeNumbersPutIntoABike(t *testing.T) {
	f := Free{Seat: 0.17, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.4}
	b := double()
	b.Rings[0].Allowance, b.Rings[1].Allowance, b.Cogs[0].Allowance = 0.1, 0.2, 0.3
	f.Put(b)
	assert.Equal(t, 0.17, b.Chain.Seat)
	for _, w := range b.Rings {
		assert.Zero(t, w.Allowance)
	}
	for _, w := range b.Cogs {
		assert.Equal(t, 0.4, w.Allowance)
	}
	s := single()
	s.Cogs[0].Allowance = 0.3
	f.Put(s)
	assert.Zero(t, s.Cogs[0].Allowance)
}

// The span that runs onto each wheel when riding, with and without idler and tensioner.
func TestSpanIntoEachWheel(t *testing.T) {
	for _, c := range []struct {
		n     int
		idled bool
		into  map[Part]int
		path  []Part
	}{
		{2, false, map[Part]int{AtCog: Bottom, AtRing: Top}, []Part{AtCog, AtRing}},
		{2, true, map[Part]int{AtCog: Bottom, AtIdler: Top, AtRing: Lead}, []Part{AtCog, AtIdler, AtRing}},
		{4, false, map[Part]int{AtCog: Guide, AtRing: Top, AtTension: Bottom, AtGuide: Cage}, []Part{AtCog, AtRing, AtTension, AtGuide}},
		{4, true, map[Part]int{AtCog: Guide, AtIdler: Top, AtRing: Lead, AtTension: Bottom, AtGuide: Cage}, []Part{AtCog, AtIdler, AtRing, AtTension, AtGuide}},
	} {
		l := Loop{N: c.n, Idled: c.idled, pitch: 12.7}
		assert.Equal(t, c.path, l.Path())
		for i, p := range l.Path() {
			assert.Equal(t, c.into[p], l.Into(p), "%+v %s", c, p)
			// What leaves a wheel comes to the next one.
			next := l.Path()[(i+1)%len(l.Path())]
			assert.Equal(t, int(next), l.next(l.Into(next)))
		}
		assert.Equal(t, 12.7, l.Pitch())
	}
	assert.Equal(t, []string{"rad", "rad", "rad", "rad", "mm", "mm", "N", "mm"}, func() (u []string) {
		for k := ToQuiet; k <= ToClose; k++ {
			u = append(u, k.Unit())
		}
		return u
	}())
	m := Margin{Kind: ToCog, Direction: Backwards, At: AtCog, Ring: 1, Cog: 3, Value: 0.1}
	n := m
	n.Value = -7
	assert.True(t, m.Same(n))
	for _, change := range []func(m *Margin){func(m *Margin) { m.Cog++ }, func(m *Margin) { m.Ring-- }, func(m *Margin) { m.Kind = ToRing }, func(m *Margin) { m.Direction = Riding }, func(m *Margin) { m.At = AtRing }} {
		o := m
		change(&o)
		assert.False(t, m.Same(o))
	}
}

// The bends of the gear that was looked at last.
func TestBendsOfTheLastGear(t *testing.T) {
	b := trail()
	r := evaluate(t, b)
	var e Evaluator
	for _, i := range []int{0, 11, 4} {
		_, err := e.Gear(nil, b, 0, i, r.Links)
		require.NoError(t, err)
		top, bottom := e.Bends()
		assert.InDelta(t, r.Gears[i].Top.Bend, top, 1e-9)
		assert.InDelta(t, r.Gears[i].Bottom.Bend, bottom, 1e-9)
	}
}

// The search for a gap's zero takes few looks: a handful along a line or a curve.
func TestFirstZeroIsFoundQuickly(t *testing.T) {
	for _, c := range []struct {
		gap  func(x float64) float64
		most int
	}{
		{func(x float64) float64 { return 1 - 5*x }, 3},
		{func(x float64) float64 { return 0.09 - x*x }, 12},
		{func(x float64) float64 { return 0.2 - math.Sin(3*x) }, 12},
		{func(x float64) float64 { return math.Copysign(1, 0.1-x) }, 60},
	} {
		n := 0
		_, err := firstZero(func(x float64) (float64, bool, error) { n++; return c.gap(x), true, nil }, 0, 0.35, 12)
		require.NoError(t, err)
		assert.LessOrEqual(t, n, c.most)
	}
	// An error on the way is handed on, from whichever look.
	for fail := 1; fail <= 3; fail++ {
		n := 0
		_, err := firstZero(func(x float64) (float64, bool, error) {
			if n++; n == fail {
				return 0, false, ErrBike
			}
			return 0.09 - x*x, true, nil
		}, 0, 0.35, 12)
		require.ErrorIs(t, err, ErrBike, "look %d", fail)
	}
	x, err := firstZero(func(x float64) (float64, bool, error) { return 0.35 - x, true, nil }, 0, 0.35, 12)
	require.NoError(t, err)
	assert.InDelta(t, 0.35, x, 1e-9, "a zero at the end itself")
}

// The sign of a gap to a neighbour: of the straight strand where that clears, else of the bowed
// one; over a pitch; none where the chain never comes beside its teeth.
func TestRubSignByHand(t *testing.T) {
	b := trail()
	own, next := b.Cogs[6], b.Cogs[7]
	var e Evaluator
	for _, room := range []float64{-1, -0.3, 0, 0.4} {
		for _, drift := range []float64{-0.03, 0, 0.02} {
			n := neighbour{own: own, next: next, chain: &b.Chain, strand: strandAt(own, &b.Chain, drift), room: room}
			want := n.straight().MM + room
			if want < 0 {
				g, err := n.bowed(&e.s, 20)
				require.NoError(t, err)
				want = g.MM
			}
			got, err := e.rubSign(own, next, &b.Chain, room, drift, 20)
			require.NoError(t, err)
			assert.InDelta(t, want/Pitch, got, 1e-12, "room %g, drift %g", room, drift)
		}
	}
	small := Wheel{sprocket(9), next.Line}
	got, err := e.rubSign(b.Cogs[11], small, &b.Chain, 0, 0.01, 20)
	require.NoError(t, err)
	assert.Equal(t, engage.MaxAngle, got)
}

// With signs alone a margin to a neighbour is the gap over a pitch, else the bend that is left.
func TestSignsAreGapsOverAPitch(t *testing.T) {
	b := trail()
	for _, drift := range []float64{-0.04, 0.03} {
		n := beside{own: &b.Cogs[3], next: &b.Cogs[4], kind: ToCog, drift: drift, room: 0.2}
		signs, exact := Evaluator{Signs: true}, Evaluator{}
		got, err := signs.rubMargin(&n, &b.Chain, 20)
		require.NoError(t, err)
		want, err := signs.rubSign(*n.own, *n.next, &b.Chain, 0.2, drift, 20)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		left, err := exact.rubMargin(&n, &b.Chain, 20)
		require.NoError(t, err)
		limit, err := exact.rubLimit(n.own, n.next, &b.Chain, 0.2, 20)
		require.NoError(t, err)
		assert.InDelta(t, limit-math.Max(0, math.Atan(-drift)), left, 1e-12)
		assert.Greater(t, math.Abs(left-got), 1e-3, "another number")
		assert.Equal(t, left > 0, got > 0)
	}
}
