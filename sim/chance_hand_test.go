package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// The logistic function at known places, by its definition of log odds.
func TestOddsByHand(t *testing.T) {
	assert.Equal(t, 0.5, logistic(0))
	assert.InDelta(t, 0.75, logistic(math.Log(3)), 1e-12)
	assert.InDelta(t, 0.25, logistic(-math.Log(3)), 1e-12)
	assert.InDelta(t, 0.58, either(0.3, 0.4), 1e-15)
	assert.Equal(t, 1.0, either(1, 0.4))
	assert.Equal(t, 0.4, either(0, 0.4))
	chance, overlap := meets(-0.7*math.Log(9), 0.7)
	assert.InDelta(t, 0.9, chance, 1e-12)
	assert.InDelta(t, 0.7*math.Log(9), overlap, 1e-12)
}

// Noise sets in at the bend, or the pull across, of its free number: even odds there, three to
// one past it by ln 3 of its width, by the kind of ring, and by its own number without a cage.
func TestNoiseSetsInWhereItsNumberSays(t *testing.T) {
	f := &Free{NoiseIdler: 0.04, NoiseIdlerOff: 0.01, NoiseBend: [2]float64{0.04, 0.06}, NoiseSoft: 0.005, NoisePull: [2]float64{20, 30}, NoiseSoftPull: 2, NoiseTight: 0.02, NoiseTightOff: 0.003}
	plain, wide, tight := trail(), trail(), single()
	wide.Rings[0].Wide = engage.Tooth{Tip: 2.4, Full: 3.5, Relief: 0.3}
	for i, b := range []*Bike{plain, wide} {
		p, past := b.noise(f, 0, f.NoiseBend[i], 500)
		assert.InDelta(t, 0.5, p, 1e-12)
		assert.InDelta(t, 0, past, 1e-12)
		p, past = b.noise(f, 0, f.NoiseBend[i]+0.005*math.Log(3), 500)
		assert.InDelta(t, 0.75, p, 1e-12)
		assert.InDelta(t, Degrees(0.005*math.Log(3)), past, 1e-9)
		f.ByPull = true
		for _, pull := range []float64{60, 600} {
			from := math.Asin(f.NoisePull[i] / pull)
			p, past = b.noise(f, 0, from, pull)
			assert.InDelta(t, 0.5, p, 1e-9)
			assert.InDelta(t, 0, past, 1e-9)
			p, past = b.noise(f, 0, math.Asin((f.NoisePull[i]+2*math.Log(3))/pull), pull)
			assert.InDelta(t, 0.75, p, 1e-9)
			assert.Positive(t, past)
		}
		p, past = b.noise(f, 0, 0.1, 1)
		assert.Less(t, p, 0.001, "too little pull at any bend")
		assert.InDelta(t, Degrees(0.1-math.Pi/2), past, 1e-9)
		f.ByPull = false
	}
	for _, pull := range []bool{true, false} {
		f.ByPull = pull
		p, past := tight.noise(f, 0, 0.02+0.003*math.Log(3), 500)
		assert.InDelta(t, 0.75, p, 1e-12)
		assert.InDelta(t, Degrees(0.003*math.Log(3)), past, 1e-9)
	}
}

// A chain leaves with the logistic chance of how far the less of its two links is past its
// band, more under a larger allowance, never on a straight run; towards a larger neighbour
// stands a wall.
func TestLeavingGoesByTheLesserLink(t *testing.T) {
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Spread: 0.08, Allowance: 0.2}
	b := double()
	last := len(b.Cogs) - 1
	span := func(bend, side float64) *Span {
		return &Span{Length: 420, Across: side * 420 * math.Tan(bend), Bend: bend}
	}
	for _, bend := range []float64{0.02, 0.05, 0.08} {
		s := &b.Cogs[last].Sprocket
		c := b.Chain.Chain
		c.Seat = f.Seat
		w := s.Entry(Pitch)
		w.Allowance = 0.2
		in, out := w.Beyond(c, w.Arrive(c, bend, 12, 420))
		p, past := b.leaves(f, s, span(bend, 1), 12, engage.Idle, 0.2, nil)
		assert.InDelta(t, math.Min(in, out), past, 1e-12)
		assert.InDelta(t, math.Log(p/(1-p)), past/f.Spread, 1e-6)
		less, _ := b.leaves(f, s, span(bend, 1), 12, engage.Idle, 0.1, nil)
		assert.Less(t, less, p)
	}
	p, past := b.leaves(f, &b.Cogs[0].Sprocket, span(0, 1), 12, engage.Idle, 0.2, nil)
	assert.Zero(t, p)
	assert.Less(t, past, 0.0)

	var o Odds
	for _, c := range []struct {
		cog   int
		side  float64
		walls bool
	}{{last, -1, false}, {last, 1, false}, {0, 1, false}, {0, -1, true}, {last - 1, -1, true}} {
		p, past := o.dropAtCog(b, f, c.cog, span(0.08, c.side), 12, nil)
		assert.Equal(t, c.walls, past == -walled, "%+v", c)
		assert.Equal(t, c.walls, p == 0, "%+v", c)
	}
	for _, c := range []struct {
		ring  int
		side  float64
		walls bool
	}{{0, -1, true}, {0, 1, false}, {1, -1, false}, {1, 1, false}} {
		p, past := b.dropAtRing(f, c.ring, span(0.08, c.side), 12, engage.Idle, nil)
		assert.Equal(t, c.walls, past == -walled, "%+v", c)
		assert.Equal(t, c.walls, p == 0, "%+v", c)
	}
	// By the bend alone, where that is the set's way and the run has a pull.
	g := *f
	g.DropByBend, g.DropBend, g.DropSoft = true, 0.05, 0.004
	p, _ = o.dropAtCog(b, &g, last, span(0.05+0.004*math.Log(3), 1), 12, nil)
	assert.InDelta(t, 0.75, p, 1e-12)
	two, one := *b, *b
	two.Cogs, one.Cogs = b.Cogs[:2], b.Cogs[:1]
	p, _ = o.dropAtCog(&two, &g, 1, span(0.05, 1), 12, nil)
	assert.InDelta(t, 0.5, p, 1e-12)
	p, _ = o.dropAtCog(&one, &g, 0, span(0.05, 1), 12, nil)
	r, _ := o.dropAtCog(&one, f, 0, span(0.05, 1), 12, nil)
	assert.Equal(t, r, p, "a cog alone has no cassette's gates")
	p, _ = o.dropAtCog(b, &g, last, span(0.05, 1), 0, nil)
	q, _ := o.dropAtCog(b, f, last, span(0.05, 1), 0, nil)
	assert.Equal(t, q, p, "a slack run goes by its links")
	o.Sizes = make([]Sizes, 1)
	_, past = o.dropAtCog(b, &g, last, span(0.05, 1), 12, nil)
	_, want := o.dropAtCog(b, f, last, span(0.05, 1), 12, nil)
	assert.Equal(t, want, past, "the size is that of the links")
}

// A slack chain without a tensioner comes off by its spare chain and by how far the lines differ,
// smoothly. By hand: 10 mm of sag on 400 mm are 8·100/1200 = 0.667 mm of spare chain, and a cog of tips
// 2.3 mm over its pitch circle under plates 8 mm high takes 6.3·π·0.8 = 15.83 mm to ride over.
func TestASlackChainComesOffByItsSpareChain(t *testing.T) {
	f := &Free{Ridden: 0.8, RideSoft: 0.5}
	b := single()
	b.Chain.Weight, b.Chain.PlateHalfHeight, b.Cogs[0].TipHeight = 0.0018, 4, 2.3
	at := func(sag, across float64) float64 {
		return b.slackDrop(f, 0, 0, 400, b.Chain.Weight*400*400/(8*sag), across)
	}
	assert.InDelta(t, logistic((math.Log(2.0/3/15.8336)+1)/0.5), at(10, 3), 1e-5)
	assert.Less(t, at(10, 0), 0.01, "a straight line with common slack")
	assert.Greater(t, at(80, 0), 0.8, "80 mm of sag, whatever the line")
	for sag := 1.0; sag < 80; sag++ {
		for across := 0.0; across < 10; across += 0.5 {
			assert.InDelta(t, at(sag, across), at(sag+0.5, across), 0.13, "no step")
			assert.Less(t, at(sag, across), at(sag+0.5, across))
			assert.Less(t, at(sag, across), at(sag, across+0.5))
		}
	}
	b.Load.Bumps, b.Load.Sag = 1, 20
	assert.InDelta(t, logistic(math.Log(8*400/1200./15.8336)/0.5), b.slackDrop(f, 0, 0, 400, 0, 0), 1e-5, "without weight the sag tells")
	b.Load.Sag = 0
	assert.Greater(t, b.slackDrop(f, 0, 0, 400, 0, 0), 0.99)
	assert.False(t, math.IsNaN(b.slackDrop(f, 0, 0, 400, 1e-300, 0)))
}

// By hand: a run of 400 mm whose chain weighs 0.0018 N/mm, on ground that throws it by 20 m/s², pulled by
// 6 N, is lifted by atan(0.0018·(20/9.80665)·400/12) = 0.1218 rad; sway adds to the line's difference.
func TestThrownByHand(t *testing.T) {
	b := trail()
	b.Chain.Weight = 0.0018
	f := &Free{Seat: 0.1, Spread: 0.05, Bump: 20}
	span := Span{Length: 400, Across: 12}
	span.Bend = math.Atan(12. / 400)
	_, flat := b.leaves(f, &b.Rings[0].Sprocket, &span, 6, engage.Idle, 0, nil)
	_, past := b.thrown(f, 0, &span, 6, 0, nil)
	r := b.Rings[0].PitchRadius(b.Chain.Pitch)
	assert.InDelta(t, flat+r*math.Atan(0.0018*20/9.80665*400/12)*math.Sin(span.Bend), past, 1e-12)
	f.Sway = 4e-5
	wide := Span{Length: 400, Across: 12 + 4e-5*500*r}
	wide.Bend = math.Atan(wide.Across / 400)
	f.Bump = 0
	_, swung := b.thrown(f, 0, &span, 6, 500, nil)
	_, want := b.leaves(f, &b.Rings[0].Sprocket, &wide, 6, engage.Idle, 0, nil)
	assert.InDelta(t, want, swung, 1e-12)
	chance, _ := single().thrown(f, 0, &span, 6, 500, nil)
	assert.Zero(t, chance, "without a tensioner slack tells")
}

// The share that still leaves goes by the room beside the ring on that side.
func TestLettingGoByHand(t *testing.T) {
	b := double()
	falls := (b.Chain.Width + b.Rings[0].Thickness()) / 2
	r := FrontRoom{Valid: true, Gap: [2]float64{falls, falls + softHold*math.Log(3)}}
	assert.InDelta(t, 0.5, b.letsGo(0, &r, false), 1e-12)
	assert.InDelta(t, 0.75, b.letsGo(0, &r, true), 1e-12)
	assert.Equal(t, falls, r.Least())
}

// Every way into the engine hands on that wheels overlap, at whatever gear, and answers nothing
// else.
func TestOverlapsAreHandedOnEverywhere(t *testing.T) {
	b := trail()
	b.Tensioner.Gap = [2]float64{6, -40}
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Spread: 0.05, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1}
	n := len(b.Cogs)
	var o Odds
	var out Outcome
	for name, err := range map[string]error{
		"chances":  o.Gears(make([]Chances, n), b, f, 116),
		"index":    o.Index(make([]IndexWindow, n), b, f, 116),
		"outcome":  new(Outcomes).Outcome(&out, b, 116),
		"evaluate": func() error { b := *b; b.Chain.Links = 116; _, err := b.Evaluate(); return err }(),
		"bends":    func() error { _, err := new(Outcomes).Bends(nil, b, 116); return err }(),
		"length":   func() error { _, err := b.ChooseLinks(); return err }(),
	} {
		require.ErrorIs(t, err, ErrOverlap, name)
	}
	s := single()
	s.Frame.Stay, s.Slot = 140, Slot{}
	s.Frame.Drop = 0
	s.Rings[0].Sprocket, s.Cogs[0].Sprocket = sprocket(100), sprocket(16)
	_, err := s.ChooseLinks()
	require.ErrorIs(t, err, ErrOverlap)
	require.ErrorIs(t, new(Outcomes).Outcome(&out, s, 98), ErrOverlap)
}

// Spokes between flange and rim on a line, beyond both as there.
func TestSpokesAt(t *testing.T) {
	s := Spokes{Flange: 20, FlangeLine: 30, Rim: 300, RimLine: 2}
	for r, want := range map[float64]float64{0: 30, 20: 30, 160: 16, 300: 2, 400: 2, 90: 23} {
		assert.InDelta(t, want, s.at(r), 1e-12)
	}
}

// Where a guide pulley may stand is a matter of the cluster: with another ring beside, so near
// that the chain meets it, windows are those of each ring alone.
func TestIndexWindowsDoNotSeeTheOtherRing(t *testing.T) {
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.3, Spread: 0.05, Room: 0.9, SoftCog: 0.1, SoftRing: 0.1}
	b := double()
	b.Rings[1].Line = b.Rings[0].Line + 3.2
	n := len(b.Cogs)
	both := make([]IndexWindow, 2*n)
	var o Odds
	require.NoError(t, o.Index(both, b, f, 112))
	for ring := range b.Rings {
		alone := *b
		alone.Rings = b.Rings[ring : ring+1]
		one := make([]IndexWindow, n)
		require.NoError(t, o.Index(one, &alone, f, 112))
		for g, w := range one {
			assert.InDelta(t, w.From, both[ring*n+g].From, 1e-9)
			assert.InDelta(t, w.To, both[ring*n+g].To, 1e-9)
			assert.Equal(t, w.Binds, both[ring*n+g].Binds)
		}
	}
}

// The top run hangs slack backwards from no pull on, surely or not at all; without a tensioner there
// is no such thing.
func TestTheTopRunHangsFromNoPullOn(t *testing.T) {
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Spread: 0.05, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1, NoiseTightOff: 0.01}
	b := trail()
	r := evaluate(t, b)
	g := &r.Gears[7]
	require.True(t, g.Fit.Closes)
	for top, want := range map[float64]float64{-0.5: 1, -1e-9: 1, 1e-9: 0, 0.5: 0, 1.5: 0} {
		b.Load.FreehubDrag = (g.Tensions.Bottom[Backwards] - top) * b.Cogs[7].PitchRadius(Pitch)
		o := Odds{Sizes: make([]Sizes, len(b.Cogs))}
		c := make([]Chances, len(b.Cogs))
		require.NoError(t, o.Gears(c, b, f, r.Links))
		assert.Equal(t, want, c[7][TopSlackBackwards], "%g N", top)
		assert.InDelta(t, -top, o.Sizes[7][TopSlackBackwards], 1e-9)
	}
	assert.Equal(t, -1.0, chancesOf(t, single(), f)[0][TopSlackBackwards])
}
