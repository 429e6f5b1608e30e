package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// handRun is a guide run of round numbers: 50 mm long, 40 of them free, first overlap 8 mm before
// the tangent point, half a millimetre to lie aside, a pulley that moves the chain from 0.8 mm on.
func handRun() guideRun {
	return guideRun{length: 50, free: 40, enter: 8, seat: 0.5, play: 0.8, bands: [2]float64{1.1, 2.0}, pitch: 12}
}

// Where the chain lies from a pulley aside, by hand: nothing within the play, then as far as seated
// links can, then on a line over the free run, of which the freed pitch takes its part.
func TestGuideRunByHand(t *testing.T) {
	r := handRun()
	for _, c := range []struct{ aside, s, freed, want float64 }{
		{0, 8, 0, 0}, {0.8, 8, 0, 0}, {1.0, 8, 0, 0.2}, {1.3, 8, 0, 0.5}, {1.3, 40, 0, 0.5},
		{3.3, 8, 0, 0.5 + 2*8./40}, {3.3, 8, 12, 0.5 + 2*20./52}, {3.3, 40, 0, 2.5}, {3.3, 60, 0, 2.5}, {3.3, 0, 0, 0.5},
	} {
		assert.InDelta(t, c.want, r.at(c.aside, c.s, c.freed), 1e-12, "%+v", c)
		if c.want > 0 && c.s > 0 && c.s <= 40 {
			assert.InDelta(t, c.aside, r.reach(c.want, c.s, c.freed), 1e-12, "%+v", c)
		}
	}
	assert.Equal(t, 0.8, r.reach(-3, 8, 0), "a place on the other side is reached with the play")
	assert.InDelta(t, 0.8+0.5, r.reach(0.5, 8, 0), 1e-12)
	// The inner plate lands 0.1 mm sooner by 0.1 mm of allowance.
	assert.InDelta(t, 1.3+0.6*40/8, r.climbs(0), 1e-12)
	assert.InDelta(t, 1.3+0.5*40/8, r.climbs(0.1), 1e-12)
	assert.InDelta(t, 1.3+0.5*40/8, r.climbs(0.1), 1e-12)
}

// A run onto a cog by its dimensions: plays from widths and teeth, the pulley's float put on,
// bands from plates, tips and bevel.
func TestRunOntoACogByHand(t *testing.T) {
	b := trail()
	own := &b.Cogs[5]
	own.Tooth = engage.Tooth{Tip: 0.9, Full: 1.7, Relief: Radians(17)}
	b.Tensioner.Guide.Tooth = engage.Tooth{Tip: 1.1, Full: 1.5, Relief: Radians(17)}
	r := b.runOnto(5, 60, 0.4)
	assert.InDelta(t, (2.18-1.7)/2, r.seat, 1e-12)
	assert.InDelta(t, (2.18-1.5)/2+0.4, r.play, 1e-12)
	assert.InDelta(t, (2.18-0.9)/2+0.4, r.bands[engage.Inner], 1e-12)
	assert.InDelta(t, (4.0-0.9)/2+0.4, r.bands[engage.Outer], 1e-12)
	assert.InDelta(t, engage.FirstOverlap(own.Entry(Pitch), 4), r.enter, 1e-12)
	assert.InDelta(t, 60-0.4*engage.FirstOverlap(b.Tensioner.Guide.Entry(Pitch), 4), r.free, 1e-12)
	assert.Equal(t, 1.0, b.runOnto(5, 3, 0).free, "something is always free")

	s := r.strip(own, &b.Chain, r.play+r.seat+1, 1)
	assert.InDelta(t, own.Line+r.seat, s.Start, 1e-12)
	assert.InDelta(t, 1/r.free, s.Drift, 1e-12)
	in := r.strip(own, &b.Chain, r.play+r.seat+1, -1)
	assert.InDelta(t, own.Line-r.seat, in.Start, 1e-12)
	assert.InDelta(t, -1/r.free, in.Drift, 1e-12)
	assert.Equal(t, [4]float64{own.PitchRadius(Pitch), 4, 0, r.free}, [4]float64{s.Height, s.Half, s.From, s.To})
	assert.Zero(t, r.strip(own, &b.Chain, r.play+r.seat, 1).Drift)
}

// Where the run meets a neighbour: at the play where it does so as it is seated, past the
// neighbour at most, nowhere beside a wheel too small.
func TestWhereTheRunMeetsANeighbour(t *testing.T) {
	b := trail()
	r := b.runOnto(6, 45, 0.3)
	own := &b.Cogs[6]
	near := &Wheel{b.Cogs[7].Sprocket, own.Line - 0.5}
	assert.Equal(t, r.play, r.meets(own, near, &b.Chain, 0, 99), "it lies in it")
	assert.True(t, math.IsInf(r.meets(own, &Wheel{sprocket(9), own.Line - 3.65}, &b.Chain, 0, 99), 1))
	far := r.meets(own, &b.Cogs[7], &b.Chain, 30, 99)
	assert.InDelta(t, r.play+3.65, far, 1e-9, "so much room that it is past the neighbour")
	// More room, farther aside; the same to either side of a cog between two alike.
	before := r.play
	for _, room := range []float64{0, 0.2, 0.5, 0.9, 1.4} {
		inboard := r.meets(own, &b.Cogs[7], &b.Chain, room, 99)
		assert.Greater(t, inboard, before)
		before = inboard
		out := &Wheel{b.Cogs[7].Sprocket, own.Line + 3.65}
		assert.InDelta(t, inboard, r.meets(own, out, &b.Chain, room, 99), 2e-6)
		// One that need not be known any better than up to a place.
		assert.Equal(t, inboard-0.01, r.meets(own, &b.Cogs[7], &b.Chain, room, inboard-0.01))
		assert.Equal(t, inboard, r.meets(own, &b.Cogs[7], &b.Chain, room, inboard+0.01))
	}
}

// The index window by scanning: with the pulley anywhere inside, the arriving links stay below
// the tips, the run clears both neighbours, and the top run, which the seated links take along as
// far as their play lets them, clears the larger one; past either end one of them does not, and
// that is the one that is named.
func TestIndexWindowsByScanning(t *testing.T) {
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.25, Spread: 0.05, Room: 0.5, SoftCog: 0.1, SoftRing: 0.1}
	bound := map[Binding]int{}
	nowhereAtAll := 0
	for i, wider := range []float64{0, 0.6, 0.9, 1.1, 1.4, 1.7, 0.6, 0.9, 1.2} {
		if i == 6 { // cut teeth let go before the runs meet anything
			f.Allowance = 0.85
		}
		for _, front := range []float64{44, 50, 56} {
			b := trail()
			b.Chain.Width += wider
			b.Rings[0].Line = front
			b.Tensioner.Float = 0.3
			b.Tensioner.Hanger = Hanger{Lean: 0.02, Toe: -0.01}
			require.NoError(t, b.Validate())
			links, err := b.ChooseLinks()
			require.NoError(t, err)
			var o Odds
			w := make([]IndexWindow, len(b.Cogs))
			require.NoError(t, o.Index(w, b, f, links))
			var from near
			for cog := range b.Cogs {
				var l Loop
				var y laid
				require.NoError(t, y.lay(b, &l, 0, cog, links, &from))
				r := b.runOnto(cog, y.guide.Length, 0.3)
				x, z := b.guideCentre(cog)
				assert.InDelta(t, b.hangerOff(x, z), w[cog].Off, 1e-12)
				top := Gap{MM: 99}
				if _, n := y.all(); len(n) > 0 {
					s := n[0].strand(&b.Chain, 0)
					if top, err = s.bowed(&o.s, n[0].hardest()); !top.Valid {
						top.MM = 99
					}
					require.NoError(t, err)
				}
				// aside > 0: outboard. What is in its way there.
				inWay := func(aside float64) (in []Binding) {
					side, off := ClimbsOutboard, aside
					if aside < 0 {
						side, off = ClimbsInboard, -aside
					}
					if r.at(off, r.enter, 0) > r.bands[engage.Inner]-f.Allowance {
						in = append(in, side)
					}
					for next, b2 := range map[int]Binding{cog - 1: MeetsSmaller, cog + 1: MeetsLarger} {
						if next < 0 || next >= len(b.Cogs) || (aside > 0) != (b2 == MeetsSmaller) {
							continue
						}
						n := neighbour{own: b.Cogs[cog], next: b.Cogs[next], chain: &b.Chain, strand: r.strip(&b.Cogs[cog], &b.Chain, off, map[bool]int{true: 1, false: -1}[aside > 0])}
						if g := n.straight(); g.Valid && g.MM+f.Room < 0 {
							in = append(in, b2)
						}
					}
					if seated := math.Copysign(math.Min(r.seat, math.Max(0, off-r.play)), aside); top.MM+f.Room+seated < 0 {
						in = append(in, TopMeetsLarger)
					}
					return in
				}
				const past = 2e-4
				got := &w[cog]
				if got.From > got.To {
					nowhereAtAll++
					for x := -3.0; x < 3; x += 0.05 {
						assert.NotEmpty(t, inWay(x), "cog %d: %g is free", cog, x)
					}
					continue
				}
				for _, share := range []float64{past, 0.3, 0.6} {
					assert.Empty(t, inWay(got.From+share*(got.To-got.From)), "%g wider, front %g, cog %d", wider, front, cog)
				}
				assert.Contains(t, inWay(got.From-past), got.Binds[0], "%g wider, front %g, cog %d, from %g", wider, front, cog, got.From)
				assert.Contains(t, inWay(got.To+past), got.Binds[1], "%g wider, front %g, cog %d, to %g", wider, front, cog, got.To)
				bound[got.Binds[0]]++
				bound[got.Binds[1]]++
			}
		}
	}
	for b := ClimbsOutboard; b <= TopMeetsLarger; b++ {
		assert.Positive(t, bound[b], "%s", b)
	}
	assert.Positive(t, nowhereAtAll)
}
