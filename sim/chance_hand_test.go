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
	f := &Free{NoiseBend: [2]float64{0.04, 0.06}, NoiseSoft: 0.005, NoisePull: [2]float64{20, 30}, NoiseSoftPull: 2, NoiseTight: 0.02, NoiseTightOff: 0.003}
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
	f := &Free{Seat: 0.1, Spread: 0.08, Allowance: 0.2}
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

// A slack chain without a tensioner comes off from about 3 mm of line difference on; one that
// is tight does not.
func TestASlackChainComesOffByItsLine(t *testing.T) {
	f := &Free{Seat: 0.1, Spread: 0.05, Allowance: 0.3, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1, NoiseTightOff: 0.01}
	at := func(off, slack float64) Chances {
		b := single()
		b.Rings[0].Line = b.Cogs[0].Line + off
		b.Load.SlackSide, b.Load.FreehubDrag = slack, 0
		return chancesOf(t, b, f)[0]
	}
	for _, off := range []float64{-3, 3} {
		loose, tight := at(off, 1.9), at(off, 2)
		for _, k := range []Concern{DropRiding, DropBackwards} {
			// Beside what its links do at that bend, half of slackMost.
			assert.InDelta(t, either(tight[k], 0.25), loose[k], 0.01)
		}
	}
	assert.InDelta(t, either(at(3, 2)[DropRiding], 0.375)-either(at(3, 2)[DropRiding], 0.25), at(3+0.6*math.Log(3), 1.9)[DropRiding]-at(3, 1.9)[DropRiding], 0.01)
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
	f := &Free{Seat: 0.1, Spread: 0.05, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1}
	n := len(b.Cogs)
	var o Odds
	var e Evaluator
	var out Outcome
	for name, err := range map[string]error{
		"chances":  o.Gears(make([]Chances, n), b, f, 116),
		"index":    o.Index(make([]IndexWindow, n), b, f, 116),
		"outcome":  new(Outcomes).Outcome(&out, b, 116),
		"evaluate": func() error { b := *b; b.Chain.Links = 116; _, err := b.Evaluate(); return err }(),
		"margins":  func() error { _, err := e.Margins(nil, b, 116); return err }(),
		"gear":     func() error { _, err := e.Gear(nil, b, 0, n-1, 116); return err }(),
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
	f := &Free{Seat: 0.1, Allowance: 0.3, Spread: 0.05, Room: 0.9, SoftCog: 0.1, SoftRing: 0.1}
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
	f := &Free{Seat: 0.1, Spread: 0.05, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1, NoiseTightOff: 0.01}
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
