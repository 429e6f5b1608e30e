package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
}

// The bends of every gear are those of the whole evaluation.
func TestBendsOfEveryGear(t *testing.T) {
	for _, b := range []*Bike{trail(), double()} {
		r := evaluate(t, b)
		bends, err := new(Outcomes).Bends(nil, b, r.Links)
		require.NoError(t, err)
		require.Len(t, bends, 2*len(r.Gears))
		for i, g := range r.Gears {
			assert.InDelta(t, g.Top.Bend, bends[2*i], 1e-9)
			assert.InDelta(t, g.Bottom.Bend, bends[2*i+1], 1e-9)
		}
	}
}
