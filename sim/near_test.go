package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
	"chainpath/sim/engage"
)

// Through three gears the guess is the parabola through them, through two the line, and of
// one that gear's angle; a gear that does not close begins anew.
func TestGuessIsThePolynomialThroughTheLastGears(t *testing.T) {
	parabola := func(r float64) float64 { return 0.3 - 0.02*r + 0.0007*r*r }
	var n near
	n.keep(parabola(20), 20, true)
	assert.Equal(t, 1, n.known)
	assert.InDelta(t, parabola(20), n.guess(33), 1e-12)
	n.keep(parabola(27), 27, true)
	assert.Equal(t, 2, n.known)
	slope := (parabola(27) - parabola(20)) / 7
	assert.InDelta(t, parabola(27)+slope*6, n.guess(33), 1e-12)
	n.keep(parabola(33), 33, true)
	assert.InDelta(t, parabola(41), n.guess(41), 1e-12)
	n.keep(parabola(41), 41, true)
	assert.Equal(t, 4, n.known)
	assert.InDelta(t, parabola(52), n.guess(52), 1e-12)
	assert.InDelta(t, parabola(12), n.guess(12), 1e-12)
	n.keep(1, 60, false)
	assert.Equal(t, 0, n.known)
	n.keep(0.5, 70, true)
	assert.Equal(t, 1, n.known)
	assert.InDelta(t, 0.5, n.guess(90), 1e-12, "nothing is known of the gear that did not close")
	n.keep(0.6, 70, true)
	assert.Equal(t, 1, n.known, "a cog of the same size tells no more")
	assert.InDelta(t, 0.6, n.guess(80), 1e-12)
}

// From whatever angle it starts, the search that follows comes to the angle that the search
// between the stops finds, or says that it does not know.
func TestFollowComesToWhatFindFinds(t *testing.T) {
	b := trail()
	k := b.Tensioner
	k.Folded = Radians(-80)
	rng := rand.New(rand.NewPCG(2, 2))
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	came := 0
	for range 300 {
		cog := rng.IntN(len(b.Cogs))
		var l, m Loop
		fit, err := b.Close(&l, 0, cog, links)
		require.NoError(t, err)
		require.True(t, fit.Closes)
		require.NoError(t, b.lay(&m, 0, cog))
		c := cageRoot{loop: &m, cage: k.Cage, fixed: m.SpanPitches(Top)}
		start := k.Folded + rng.Float64()*(k.Stretched-k.Folded)
		angle, ok, err := c.follow(start, k.Folded, k.Stretched, float64(links))
		require.NoError(t, err)
		if ok {
			came++
			assert.InDelta(t, l.cageAngle(), angle, 1e-9)
			assert.InDelta(t, float64(links), m.length(), 1e-9)
			assert.True(t, angle > k.Folded && angle < k.Stretched)
		} else {
			assert.Zero(t, angle)
		}
		_, ok, err = c.follow(start, k.Folded, l.cageAngle()-0.01, float64(links))
		require.NoError(t, err)
		assert.False(t, ok, "beyond a stop")
		_, ok, err = c.follow(start, l.cageAngle()+0.01, k.Stretched, float64(links))
		require.NoError(t, err)
		assert.False(t, ok)
	}
	assert.Greater(t, came, 150)
}

// Gears closed in a row are those closed alone, loose and tight ones too.
func TestGearsInARowAreThoseAlone(t *testing.T) {
	for _, links := range []int{104, 108, 112, 116, 120, 130} {
		b := trail()
		var from near
		for cog := range b.Cogs {
			var alone, row Loop
			want, err := b.Close(&alone, 0, cog, links)
			require.NoError(t, err)
			got, err := b.closeNear(&row, 0, cog, links, &from)
			require.NoError(t, err)
			assert.Equal(t, want.Closes, got.Closes)
			assert.Equal(t, want.Short, got.Short)
			assert.InDelta(t, want.Slack, got.Slack, 1e-9)
			assert.InDelta(t, alone.cageAngle(), row.cageAngle(), 1e-9, "%d links, cog %d", links, cog)
		}
	}
}

// What is said to be the least is never more than the gap, and near it for strands that lie
// flat beside the tube.
func TestStrandStayLeastIsNoMore(t *testing.T) {
	b := trail()
	close := 0
	for _, angle := range []float64{-3, 0, 4, 8} {
		for _, face := range []float64{20, 38, 45, 60} {
			b.Stay.Angle, b.Stay.Face = Radians(angle), face
			for cog := range b.Cogs {
				var l Loop
				_, err := b.Close(&l, 0, cog, 116)
				require.NoError(t, err)
				tube := b.Stay.tube(l.Wheels[AtCog].Centre)
				for _, span := range []int{Top, Bottom} {
					least, is := b.strandStayLeast(&l, span, tube), b.strandStay(&l, span, tube).MM
					assert.LessOrEqual(t, least, is+1e-9)
					if is-least < 0.5 {
						close++
					}
				}
			}
		}
	}
	assert.Greater(t, close, 50)
}

// The stay by hand: a face that spreads, the tube's axis half a diameter inboard, the gap to
// the ring's tips or the bolts whichever is nearer, flex taken off.
func TestStayByHand(t *testing.T) {
	s := Stay{Face: 40, Radius: 60, Angle: math.Atan(0.1), Diameter: 20, Flex: 2}
	assert.InDelta(t, 40, s.faceAt(60), 1e-12)
	assert.InDelta(t, 34, s.faceAt(0), 1e-12)
	tube := s.tube(r2.Vec{X: -400, Y: 30})
	assert.InDelta(t, 24, tube.A.Y, 1e-12)
	assert.InDelta(t, 64, tube.B.Y, 1e-9)
	assert.Equal(t, [4]float64{0, 0, -400, 30}, [4]float64{tube.A.X, tube.A.Z, tube.B.X, tube.B.Z})

	b := trail()
	b.Stay = &s
	tip := b.Rings[0].TipRadius(Pitch)
	g := b.RingStayGap()
	assert.InDelta(t, 53-0.8-(40+(tip-60)*0.1)-2, g.MM, 1e-9)
	assert.InDelta(t, tip, g.At, 1e-12)
	b.Bolts = Bolts{Radius: 55, Depth: 5}
	g = b.RingStayGap()
	assert.InDelta(t, 53-0.8-5-(40-0.5)-2, g.MM, 1e-9)
	assert.Equal(t, 55.0, g.At)
	b.Stay = nil
	assert.False(t, b.RingStayGap().Valid)

	var wire Loop
	_, err := b.Close(&wire, 0, 6, 116)
	require.NoError(t, err)
	for diameter, is := range map[float64]bool{0: false, 0.5: true, 20: true} {
		b.Stay = &Stay{Face: 40, Diameter: diameter}
		assert.Equal(t, is, b.chainStayGap(&wire).Valid, "a stay of %g mm", diameter)
	}

	// A strand level with the tube and beside it: the distance of the near face, the tube's
	// half diameter and flex off.
	l := Loop{N: 2, Line: [5]float64{50, 50}}
	l.Spans[Top] = geom.Span{From: r2.Vec{X: -300}, To: r2.Vec{X: -100}, Dir: r2.Vec{X: 1}, Length: 200}
	b.Stay = &Stay{Face: 30, Diameter: 20, Flex: 2}
	flat := b.Stay.tube(r2.Vec{X: -400})
	assert.InDelta(t, 50-b.Chain.Width/2-30-2, b.strandStay(&l, Top, flat).MM, 1e-9)
	assert.InDelta(t, 50-b.Chain.Width/2-30-2, b.strandStayLeast(&l, Top, flat), 1e-9)
	l.Line = [5]float64{20, 20} // right above its axis
	l.Spans[Top].From.Y, l.Spans[Top].To.Y = 40, 40
	assert.InDelta(t, 40-b.Chain.PlateHalfHeight-10-2, b.strandStay(&l, Top, flat).MM, 1e-9)
	assert.InDelta(t, 40-b.Chain.PlateHalfHeight-10-2, b.strandStayLeast(&l, Top, flat), 1e-9)
}

// A hanging top span: the bottom run pulls what the freehub's drag asks, the chain given by the
// cage is what its swing frees, and sag and tension are those of a shallow parabola.
func TestHangingTopSpan(t *testing.T) {
	b := trail()
	b.Chain.Weight = 0.0026
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	hung := 0
	for cog := range b.Cogs {
		for _, drag := range []float64{50, 400, 900} {
			var l Loop
			fit, err := b.Close(&l, 0, cog, links)
			require.NoError(t, err)
			if !fit.Closes {
				continue
			}
			b.Load.FreehubDrag = drag
			pull, was := b.Tensioner.pull(&l), l.length()
			h := b.Hang(&l)
			assert.InDelta(t, drag/b.Cogs[cog].PitchRadius(Pitch), h.Bottom, 1e-9)
			if pull >= h.Bottom {
				assert.Zero(t, h.Sag)
				assert.Equal(t, leastTension, h.Tension)
				assert.InDelta(t, was, l.length(), 1e-12, "it is left as it was")
				continue
			}
			assert.InDelta(t, (was-l.length())*Pitch, h.Surplus, 1e-6)
			assert.GreaterOrEqual(t, h.Tension, leastTension)
			if h.Surplus > 1e-6 {
				hung++
				span := l.Spans[Top].Length
				assert.InDelta(t, h.Surplus, 8*h.Sag*h.Sag/(3*span), 1e-9)
				assert.InDelta(t, math.Max(leastTension, b.Chain.Weight*span*span/(8*h.Sag)), h.Tension, 1e-9)
			}
			if a := l.cageAngle(); a < b.Tensioner.Stretched-1e-6 && h.Surplus > 1e-6 {
				assert.InEpsilon(t, h.Bottom, b.Tensioner.pull(&l), 1e-6)
			}
		}
	}
	assert.Greater(t, hung, 5)
	slight := 0
	for cog := range b.Cogs {
		var l Loop
		fit, err := b.Close(&l, 0, cog, links)
		require.NoError(t, err)
		if !fit.Closes {
			continue
		}
		b.Load.FreehubDrag = 1.0002 * b.Tensioner.pull(&l) * b.Cogs[cog].PitchRadius(Pitch)
		if h := b.Hang(&l); h.Surplus > 0 && h.Surplus < 1 {
			slight++
			assert.InDelta(t, math.Sqrt(3*h.Surplus*l.Spans[Top].Length/8), h.Sag, 1e-9, "a little chain sags too")
		}
	}
	assert.Positive(t, slight)
	s := single()
	var l Loop
	_, err = s.Close(&l, 0, 0, 98)
	require.NoError(t, err)
	h := s.Hang(&l)
	assert.Zero(t, h.Sag, "without a tensioner nothing hangs")
	assert.Equal(t, leastTension, h.Tension)
}

// Power over angular speed: 100 W at 60 1/min is 15.9155 N·m.
func TestTorqueOfAPower(t *testing.T) {
	assert.InDelta(t, 15915.494, TorqueOf(100, 60), 1e-3)
	assert.InDelta(t, 1000, TorqueOf(2*math.Pi*1.5, 90), 1e-9)
	for _, cadence := range []float64{0, -60, math.NaN()} {
		assert.Zero(t, TorqueOf(100, cadence))
	}
	assert.Zero(t, TorqueOf(0, 60))
}

// Pulls of a folded cage with chain left over are none, and without a tensioner those stated.
func TestPullsOfASlackChain(t *testing.T) {
	b := trail()
	var l Loop
	fit, err := b.Close(&l, 0, 0, 130)
	require.NoError(t, err)
	require.Positive(t, fit.Slack)
	p, _ := b.pulls(&l, fit)
	drag := b.Load.FreehubDrag / b.Cogs[0].PitchRadius(Pitch)
	assert.Equal(t, [2]float64{}, p.Bottom)
	assert.InDelta(t, -drag, p.Top[Backwards], 1e-9)
	assert.InDelta(t, 40000/b.Rings[0].PitchRadius(Pitch), p.Top[Riding], 1e-9)
	s := single()
	_, err = s.Close(&l, 0, 0, 98)
	require.NoError(t, err)
	q, _ := s.pulls(&l, Fit{Slot: true, Slack: 3, Excess: 3})
	drag = 80 / s.Cogs[0].PitchRadius(Pitch)
	assert.InDelta(t, 5, q.Bottom[Riding], 1e-12)
	assert.InDelta(t, 5+drag, q.Bottom[Backwards], 1e-9)
	assert.Equal(t, 5.0, q.Top[Backwards])
}

// Arrivals are compared by their share of the climb limit, held ones last.
func TestNearerArrival(t *testing.T) {
	at := func(bend, climb float64, held bool) Arrival {
		return Arrival{Bend: bend, Held: held, Limits: engage.Limits{Climb: climb}}
	}
	assert.True(t, at(0.03, 0.04, false).nearer(at(0.05, 0.1, false)))
	assert.False(t, at(0.05, 0.1, false).nearer(at(0.03, 0.04, false)))
	assert.False(t, at(0.03, 0.04, false).nearer(at(0.03, 0.04, false)))
	assert.False(t, at(0.03, 0.04, true).nearer(at(0.05, 0.1, false)))
	assert.True(t, at(0.05, 0.1, false).nearer(at(0.03, 0.04, true)))
	assert.True(t, at(0.03, 0.04, true).nearer(at(0.05, 0.1, true)))
}

// The gap to the guide pulley goes by the tip radius between the two ends.
func TestGuideGap(t *testing.T) {
	b := trail()
	assert.InDelta(t, 10, b.guideGap(0), 1e-12)
	assert.InDelta(t, 6, b.guideGap(11), 1e-12)
	r := func(i int) float64 { return b.Cogs[i].PitchRadius(Pitch) }
	assert.InDelta(t, 10-4*(r(5)-r(0))/(r(11)-r(0)), b.guideGap(5), 1e-12)
	b.Cogs = b.Cogs[:1]
	assert.Equal(t, 10.0, b.guideGap(0))
}

// A stop past the angle at which the loop is shortest is no use: chains that fit are held on
// the near side of it, and one that is too short is drawn there.
func TestTheCageStopsAtItsTightest(t *testing.T) {
	b := trail()
	b.Tensioner.Stretched = Radians(170)
	var l Loop
	released := false
	for cog := range b.Cogs {
		fit, err := b.Close(&l, 0, cog, 20)
		require.NoError(t, err)
		require.Positive(t, fit.Short)
		at, least := l.cageAngle(), l.length()
		require.Less(t, at, Radians(169))
		assert.Equal(t, wholeLinks(least-20, false), fit.Short)
		c := cageRoot{loop: &l, cage: b.Tensioner.Cage, fixed: l.SpanPitches(Top)}
		for _, by := range []float64{-0.1, -0.02, 0.02, 0.1} {
			n, _, err := c.at(at + by)
			require.NoError(t, err)
			if by > 0 && c.past(0) { // no longer on the guide pulley, which it leaves just there
				released = true
				assert.InDelta(t, 0, l.Wraps[AtGuide]+by, 1e-8, "by %g", by)
				continue
			}
			assert.Greater(t, n, least-1e-3, "by %g", by)
		}
		links := int(math.Ceil(least/2+0.1)) * 2
		fit, err = b.Close(&l, 0, cog, links)
		require.NoError(t, err)
		require.True(t, fit.Closes, "%d links, least %g", links, least)
		assert.InDelta(t, links, l.length(), 1e-9)
		assert.Less(t, l.cageAngle(), at)
	}
	assert.True(t, released, "the guide pulley's wrap is 0 before the tightest place in some gear")
}

// The list of what may go wrong: every entry told once, by a code of its own, and none of a
// milder harm weighs more.
func TestHazardsAreToldApart(t *testing.T) {
	codes := map[string]bool{}
	for _, k := range ToldOrder() {
		h := Hazards[k]
		assert.False(t, codes[h.Code], h.Code)
		codes[h.Code] = true
		assert.Equal(t, h.Code, k.String())
		assert.Equal(t, h.Words, k.Words())
		assert.NotEmpty(t, h.Words+h.Cause+h.Head[0]+h.Letter)
		assert.Contains(t, []string{"mm", "deg", "n"}, h.Unit)
		assert.True(t, h.Ways[0] || h.Ways[1])
		assert.Positive(t, h.Weight)
		for _, o := range Hazards {
			if h.Harm == Danger && o.Harm != Danger && o.Harm != Unfit {
				assert.GreaterOrEqual(t, h.Weight, o.Weight, "%s beside %s", h.Code, o.Code)
			}
		}
	}
	assert.Len(t, codes, int(NumConcerns))
	assert.Equal(t, 1, Hazards[ToldOrder()[0]].Order)
}
