package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// plainGear is a gear of which nothing is to be said: every gap just not there, every bend just
// within its limit.
func plainGear() *Gear {
	at := func(p Part, bend float64) Arrival {
		return Arrival{At: p, Bend: bend, Limits: engage.Limits{Climb: Radians(4)}}
	}
	g := &Gear{Fit: Fit{Closes: true, Excess: -100}, noiseFrom: Radians(2.5), tensioned: true, taut: math.SmallestNonzeroFloat64}
	g.Top.Bend = g.noiseFrom
	g.Tensions.Top = [2]float64{400, math.SmallestNonzeroFloat64}
	g.Arrivals = [2][]Arrival{{at(AtRing, 0.01), at(AtTension, 0.03), at(AtCog, 0.02)}, {at(AtCog, 0.02), at(AtRing, 0.01), at(AtGuide, 0)}}
	touching := Gap{Valid: true, At: 30}
	c := &g.Clearances
	c.NextCog, c.NextRing = [2]Gap{touching, touching}, [2]Gap{touching, touching}
	c.Tyre, c.RingStay, c.ChainStay = touching, touching, touching
	return g
}

// saidOf returns the verdicts' codes and reasons of one direction.
func saidOf(g *Gear, d Direction) (codes []Code, reasons []string) {
	g.Verdicts = nil
	g.judge()
	for _, v := range g.Verdicts {
		if v.Direction == d {
			codes, reasons = append(codes, v.Code), append(reasons, v.Reason)
		}
	}
	return codes, reasons
}

// A gear is quiet at every bound itself, and a hair past one it is told of in the directions in
// which it matters, by how much and where. What is not there is not told of.
func TestVerdictsAtBothSidesOfEveryBound(t *testing.T) {
	g := plainGear()
	codes, reasons := saidOf(g, Riding)
	assert.Equal(t, []Code{IsQuiet}, codes)
	assert.Equal(t, []string{"no chain angle is over its limit: at most 1.72° (tension pulley, limit 4.00°)"}, reasons)
	codes, reasons = saidOf(g, Backwards)
	assert.Equal(t, []Code{IsQuiet}, codes)
	assert.Contains(t, reasons[0], "1.15° (cog, limit")

	within := Gap{Valid: true, MM: -1.25, At: 30}
	none := Gap{MM: -1.25}
	for _, c := range []struct {
		change func(g *Gear, by Gap)
		ways   [2]bool
		code   Code
		reason string
	}{
		{func(g *Gear, by Gap) { g.Clearances.NextCog[Riding] = by }, [2]bool{true, false}, RubsCog, "chain and next larger cog overlap by 1.25 mm, 30 mm along the chain"},
		{func(g *Gear, by Gap) { g.Clearances.NextCog[Backwards] = by }, [2]bool{false, true}, RubsCog, "chain and next larger cog overlap by 1.25 mm, 30 mm along the chain"},
		{func(g *Gear, by Gap) { g.Clearances.NextRing[Riding] = by }, [2]bool{true, false}, RubsRing, "chain and next larger chainring overlap by 1.25 mm, 30 mm along the chain"},
		{func(g *Gear, by Gap) { g.Clearances.NextRing[Backwards] = by }, [2]bool{false, true}, RubsRing, "chain and next larger chainring overlap by 1.25 mm, 30 mm along the chain"},
		{func(g *Gear, by Gap) { g.Clearances.Tyre = by }, [2]bool{true, true}, RubsTyre, "chain 1.2 mm into the room kept between it and the tyre, 30 mm behind the bottom bracket"},
		{func(g *Gear, by Gap) { g.Clearances.RingStay = by }, [2]bool{true, true}, HitsStay, "chainring 1.2 mm into the room kept beside the chainstay"},
		{func(g *Gear, by Gap) { g.Clearances.ChainStay = by }, [2]bool{true, true}, HitsStay, "chain 1.2 mm into the room kept beside the chainstay, 30 mm behind the bottom bracket"},
	} {
		g, without := plainGear(), plainGear()
		c.change(g, within)
		c.change(without, none)
		for d := Riding; d <= Backwards; d++ {
			codes, reasons := saidOf(g, d)
			if c.ways[d] {
				assert.Equal(t, []Code{c.code}, codes, "%s %s", c.code, d)
				assert.Equal(t, []string{c.reason}, reasons)
			} else {
				assert.Equal(t, []Code{IsQuiet}, codes, "%s %s", c.code, d)
			}
			codes, _ = saidOf(without, d)
			assert.Equal(t, []Code{IsQuiet}, codes, "%s %s: there is none", c.code, d)
		}
	}
}

// Noise is told of when riding alone, past the bend of the run onto the ring, and not where no
// bend is given; a slack top run backwards alone, from no pull on, and of a tensioner alone.
func TestNoiseAndSlackAreToldOfInTheirDirection(t *testing.T) {
	says := func(g *Gear, c Code) [2]bool {
		g.Verdicts = nil
		g.judge()
		return [2]bool{g.Has(Riding, c), g.Has(Backwards, c)}
	}
	g := plainGear()
	assert.Equal(t, [2]bool{}, says(g, IsNoisy))
	g.Top.Bend = math.Nextafter(g.noiseFrom, 1)
	assert.Equal(t, [2]bool{true, false}, says(g, IsNoisy))
	g.Loop.Idled = true
	assert.Equal(t, [2]bool{}, says(g, IsNoisy), "the run from the idler is straight")
	g.Lead.Bend = Radians(3)
	assert.Equal(t, [2]bool{true, false}, says(g, IsNoisy))
	_, reasons := saidOf(g, Riding)
	assert.Equal(t, "top run at 3.00° onto the chainring, over the 2.50° from which reports call it noisy", reasons[0])
	g.noiseFrom = 0
	assert.Equal(t, [2]bool{}, says(g, IsNoisy), "not looked at")

	g = plainGear()
	assert.Equal(t, [2]bool{}, says(g, TopSlack))
	g.taut = 0
	assert.Equal(t, [2]bool{false, true}, says(g, TopSlack))
	g.tensioned = false
	assert.Equal(t, [2]bool{}, says(g, TopSlack))
}

// The arrival that may climb is told of, of several the one that takes most of its limit;
// one that is held, rattles or touches only, is not.
func TestTheWorstClimbIsToldOf(t *testing.T) {
	g := plainGear()
	a := g.Arrivals[Riding]
	a[1].Grade, a[2].Grade = Rattles, Touches
	codes, _ := saidOf(g, Riding)
	assert.Equal(t, []Code{IsQuiet}, codes)
	a[0] = Arrival{At: AtRing, Grade: MayClimb, Bend: Radians(5), Offset: 1.5, Limits: engage.Limits{Climb: Radians(4)}}
	a[2] = Arrival{At: AtCog, Grade: MayClimb, Bend: Radians(4.5), Limits: engage.Limits{Climb: Radians(3)}}
	for range 2 { // whichever comes first
		codes, reasons := saidOf(g, Riding)
		assert.Equal(t, []Code{IsClimbing}, codes)
		assert.Contains(t, reasons[0], "4.50° at the cog, over its limit of 3.00°")
		a[0], a[2] = a[2], a[0]
	}
	a[2].Grade = Touches
	_, reasons := saidOf(g, Riding)
	assert.Equal(t, "5.00° at the chainring, over its limit of 4.00°: links land on the tooth tips, inner ones 1.50 mm off centre", reasons[0])
}

// A chain that does not go round the gear is told of and nothing else; one that hangs slack with
// everything else.
func TestWhatDoesNotCloseIsToldFirst(t *testing.T) {
	g := plainGear()
	g.Clearances.Tyre.MM = -2
	g.Fit = Fit{Short: 2}
	for d := Riding; d <= Backwards; d++ {
		codes, reasons := saidOf(g, d)
		assert.Equal(t, []Code{CannotClose}, codes)
		assert.Equal(t, []string{"chain too short by 2 links"}, reasons)
	}
	g.Fit = Fit{Slack: 12.4, Excess: 12.4}
	for d := Riding; d <= Backwards; d++ {
		codes, reasons := saidOf(g, d)
		assert.Equal(t, []Code{TooLong, RubsTyre}, codes)
		assert.Equal(t, "chain slack by 12 mm with the cage fully folded", reasons[0])
	}
	g.Clearances.Tyre.MM = 0
	codes, _ := saidOf(g, Backwards)
	assert.Equal(t, []Code{TooLong}, codes, "what hangs is not quiet")
	g.Fit = Fit{Slack: 9.9, Excess: 9.9}
	codes, _ = saidOf(g, Backwards)
	assert.Equal(t, []Code{IsQuiet}, codes, "a little more than the cage takes up is usual")
	assert.Equal(t, "chain too short by 1 link", Fit{Short: 1}.Reason())
	assert.Equal(t, "chain slack by 3 mm with the axle fully back in its slot", Fit{Slack: 3, Slot: true}.Reason())
	assert.Empty(t, Fit{Closes: true}.Reason())
	assert.True(t, Fit{Slack: 5}.Mounts())
	assert.False(t, Fit{Short: 1}.Mounts())
}

// A bend at a limit is within it, the next number past it; a straight run lies in the middle,
// and pulls too small to tell are judged as the least one.
func TestArrivalsAtTheirLimits(t *testing.T) {
	b := trail()
	w := &b.Cogs[8].Sprocket
	var s solver
	l := s.limitsOf(w.Entry(Pitch), b.Chain.Chain, 20)
	require.Less(t, l.Quiet, l.Climb)
	after := func(x float64) float64 { return math.Nextafter(x, 1) }
	for _, c := range []struct {
		bend       float64
		free, held Grade
	}{{0, Quiet, Quiet}, {l.Quiet, Quiet, Quiet}, {after(l.Quiet), Touches, Touches}, {l.Climb, Touches, Touches}, {after(l.Climb), MayClimb, Rattles}} {
		p := planned{at: AtCog, wheel: w, bend: c.bend, pull: 20}
		a := s.arrive(&p, b.Chain.Chain, 200)
		assert.Equal(t, c.free, a.Grade, "bend %v", c.bend)
		assert.Equal(t, c.bend > 0, a.Offset > 0)
		assert.Equal(t, l.ClimbLink, a.Link)
		p.held = true
		assert.Equal(t, c.held, s.arrive(&p, b.Chain.Chain, 200).Grade, "held, bend %v", c.bend)
	}
	slack, least := planned{wheel: w, bend: 0.05, pull: -3}, planned{wheel: w, bend: 0.05, pull: leastTension}
	x, y := s.arrive(&slack, b.Chain.Chain, 200), s.arrive(&least, b.Chain.Chain, 200)
	assert.Equal(t, -3.0, x.Pull)
	assert.Len(t, s.limits, 2, "both at the least pull, and at 20 N: solved once each")
	x.Pull = y.Pull
	assert.Equal(t, y, x)
}

// heldOf returns which arrivals of a gear cannot be left, by direction and wheel, with runs that
// lead so far outboard going forward.
func heldOf(b *Bike, ring, cog int, top, lead float64, idled bool) map[Direction]map[Part]bool {
	l := &Loop{Idled: idled}
	y := laid{b: b, ring: ring, cog: cog, loop: l, top: Span{Across: top}, lead: Span{Across: lead}}
	out := map[Direction]map[Part]bool{Riding: {}, Backwards: {}}
	for _, p := range y.plan(nil) {
		out[p.direction][p.at] = p.held
	}
	return out
}

// A wall stands towards a larger neighbour alone: beside a cog that is not the largest with the
// ring inboard of it, beside a ring that is not the largest with the cog outboard of it. A
// straight run leads to no wall. With an idler its own runs count at cog and ring.
func TestWallsStandTowardsLargerNeighbours(t *testing.T) {
	b := double()
	last := len(b.Cogs) - 1
	b.Rings[0].Line, b.Rings[1].Line = 45, 52
	for _, c := range []struct {
		ring, cog         int
		line              float64
		cogBack, ringBack bool
	}{
		{0, 0, 46, true, true}, {0, last, 46, false, true}, {0, last - 1, 46, true, true},
		{0, 0, 45, false, false}, {0, 0, 44, false, false}, {0, last, 44, false, false},
		{1, 0, 53, true, false}, {1, last, 53, false, false}, {1, 0, 52, false, false},
	} {
		b.Cogs[c.cog].Line = c.line
		h := heldOf(b, c.ring, c.cog, b.Rings[c.ring].Line-c.line, 0, false)
		assert.Equal(t, c.cogBack, h[Backwards][AtCog], "%+v", c)
		assert.Equal(t, c.ringBack, h[Backwards][AtRing], "%+v", c)
		assert.True(t, h[Riding][AtRing], "a front cage stands about the top run")
		assert.True(t, h[Riding][AtTension] && h[Backwards][AtGuide])
		assert.False(t, h[Riding][AtCog])
	}
	b.Rings = b.Rings[:1]
	b.Cogs[0].Line = 46
	assert.False(t, heldOf(b, 0, 0, -1, 0, false)[Riding][AtRing], "no larger ring, no cage")

	b = double()
	b.Idler = &Idler{}
	for _, c := range []struct {
		ring, cog int
		top, lead float64
		wall      bool // backwards, beside the cog
	}{
		{0, 0, -1, 1, true}, {0, 0, 1, -1, false}, {0, 0, 0, 0, false},
		{0, last, -1, -1, false}, {0, last - 1, -1, 1, true}, {1, 0, -1, -1, true},
	} {
		b.Rings[c.ring].Line = b.Cogs[c.cog].Line // straight from cog to ring: no wall but by the runs
		h := heldOf(b, c.ring, c.cog, c.top, c.lead, true)
		assert.Equal(t, c.wall, h[Backwards][AtCog], "%+v", c)
		assert.False(t, h[Riding][AtIdler] || h[Backwards][AtIdler])
		b.Idler.Held = true
		h = heldOf(b, c.ring, c.cog, c.top, c.lead, true)
		assert.True(t, h[Riding][AtIdler] && h[Backwards][AtIdler])
		b.Idler.Held = false
	}
}

// Which way a run leads, and its bend, by its ends.
func TestSpansOfADrawnLoop(t *testing.T) {
	assert.Equal(t, "outboard", Span{Across: 1e-9}.Side())
	assert.Equal(t, "inboard", Span{Across: -1e-9}.Side())
	assert.Equal(t, "straight", Span{}.Side())
	var l Loop
	l.N, l.Line = 2, [NumParts]float64{43, 46}
	l.Spans[Top].Length, l.Spans[Bottom].Length = 300, 150
	assert.Equal(t, Span{Length: 300, Across: 3, Bend: math.Atan(0.01)}, spanOf(&l, Top, +1))
	assert.Equal(t, Span{Length: 150, Across: 3, Bend: math.Atan(0.02)}, spanOf(&l, Bottom, -1))
	l.Line[AtRing] = 43
	assert.Equal(t, Span{Length: 300}, spanOf(&l, Top, +1))
	l.Line[AtRing], l.Spans[Top].Length = 43, 0
	assert.Zero(t, spanOf(&l, Top, +1).Bend)
}
