package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"chainpath/geom"
)

// highPivot is the trail bike with an idler above the stay.
func highPivot() *Bike {
	b := trail()
	b.Idler = &Idler{Wheel: Wheel{sprocket(16), 49}, X: -60, Z: 190}
	return b
}

// Every length is the sum of tangents that package geom draws round the wheels in riding
// order, and of what lies on their teeth.
func TestLoopWithIdlerIsTheSumOfItsTangents(t *testing.T) {
	for _, b := range []*Bike{highPivot(), func() *Bike {
		b := single()
		b.Idler = highPivot().Idler
		return b
	}()} {
		r := evaluate(t, b)
		for _, g := range r.Gears {
			if !g.Fit.Closes {
				continue
			}
			l := &g.Loop
			path := l.Path()
			require.Equal(t, AtIdler, path[1])
			var wheels []geom.Wheel
			for _, p := range path {
				wheels = append(wheels, l.Wheels[p])
			}
			c, err := bandOver(wheels)
			require.NoError(t, err)
			sum, turn := 0.0, 0.0
			for i, p := range path {
				dy := l.Line[path[(i+1)%len(path)]] - l.Line[p]
				sum += math.Hypot(c.Spans[i].Length, dy)/Pitch + l.teeth[p]*c.Wraps[i]/(2*math.Pi)
				assert.InDelta(t, c.Wraps[i], l.Wraps[p], 1e-9, p)
				turn += float64(l.Wheels[p].Sense) * c.Wraps[i]
			}
			assert.InDelta(t, float64(r.Links), sum, 1e-7, "%d/%d", g.RingTeeth, g.CogTeeth)
			assert.InDelta(t, -2*math.Pi, turn, 1e-9, "the chain turns once round itself")
		}
	}
}

// An idler that just touches the straight run, where it is and in its plane, changes
// neither length, cage, nor bends; and one that the run passes over changes nothing at all.
func TestIdlerOnTheStraightRun(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		cog := rapid.IntRange(0, len(b.Cogs)-1).Draw(t, "cog")
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		want, err := b.Gear(0, cog, links)
		require.NoError(t, err)
		s := want.Loop.Spans[Top]
		at := rapid.Float64Range(0.4, 0.7).Draw(t, "share of the way")
		w := Wheel{sprocket(14), want.CogLine + at*(want.RingLine-want.CogLine)}
		r := w.PitchRadius(Pitch)
		down := r2.Vec{X: s.Dir.Y, Y: -s.Dir.X} // below the run, which goes forward
		touch := r2.Add(r2.Add(s.From, r2.Scale(at*s.Length, s.Dir)), r2.Scale(r, down))
		b.Idler = &Idler{Wheel: w, X: touch.X, Z: touch.Y + 1e-6}
		g, err := b.Gear(0, cog, links)
		require.NoError(t, err)
		require.True(t, g.Loop.Idled)
		assert.InDelta(t, want.Loop.topPitches(), g.Loop.topPitches(), 1e-6)
		assert.InDelta(t, want.CageAngle, g.CageAngle, 1e-6)
		assert.InDelta(t, want.Top.Bend, g.Top.Bend, 1e-6)
		assert.InDelta(t, want.Top.Bend, g.Lead.Bend, 1e-6)
		assert.InDelta(t, want.Loop.Wraps[AtRing], g.Loop.Wraps[AtRing], 1e-6)

		b.Idler.Z = touch.Y - rapid.Float64Range(0.01, 30).Draw(t, "below")
		g, err = b.Gear(0, cog, links)
		require.NoError(t, err)
		assert.False(t, g.Loop.Idled)
		assert.Equal(t, want.Arrivals, g.Arrivals)
		assert.Equal(t, want.Top, g.Top)
		assert.Equal(t, want.CageAngle, g.CageAngle)
	})
}

func TestIdlerArrivalsAndBends(t *testing.T) {
	b := highPivot()
	for _, g := range evaluate(t, b).Gears {
		l := &g.Loop
		assert.InDelta(t, math.Atan(math.Abs(49-g.CogLine)/l.Spans[Top].Length), g.Top.Bend, 1e-12, "cog to idler")
		assert.InDelta(t, math.Atan(math.Abs(g.RingLine-49)/l.Spans[Lead].Length), g.Lead.Bend, 1e-12, "idler to ring")
		at := map[Part][2][]float64{}
		for d, as := range g.Arrivals {
			for _, a := range as {
				x := at[a.At]
				x[d] = append(x[d], a.Bend)
				at[a.At] = x
				if a.At == AtIdler {
					// The idler turns freely: both spans pull alike, and have no moment about it.
					assert.Equal(t, g.Tensions.Top[d], a.Pull)
				}
			}
		}
		assert.Equal(t, [2][]float64{{g.Top.Bend}, {g.Lead.Bend}}, at[AtIdler])
		assert.Equal(t, g.Lead.Bend, at[AtRing][Riding][0])
		assert.Equal(t, g.Top.Bend, at[AtCog][Backwards][0])
		// Moments of both pulls about its axle, by hand.
		c, in, out := l.Wheels[AtIdler].Centre, l.Spans[Top], l.Spans[Lead]
		moment := r2.Cross(r2.Sub(out.From, c), out.Dir) - r2.Cross(r2.Sub(in.To, c), in.Dir)
		assert.InDelta(t, 0, moment, 1e-9)
	}
	first, last := evaluate(t, b).Gears[0], evaluate(t, b).Gears[len(b.Cogs)-1]
	assert.InDelta(t, first.Lead.Bend, last.Lead.Bend, 1e-12, "the same on every cog")
}

// An idler above the straight run takes wrap off ring and cog, as much as it turns the run
// onto each: the chain comes down steeply in front of the ring. By hand from the directions.
func TestIdlerTakesWrapOffRingAndCog(t *testing.T) {
	var x, y Loop
	plain, high := single(), single()
	high.Idler = highPivot().Idler
	for _, at := range []float64{120, 150, 190} {
		high.Idler.Z = at
		_, err := plain.slotLength(&x, 0, 0, 410)
		require.NoError(t, err)
		_, err = high.slotLength(&y, 0, 0, 410)
		require.NoError(t, err)
		require.True(t, y.Idled)
		turned := func(a, b r2.Vec) float64 { return math.Atan2(r2.Cross(a, b), r2.Dot(a, b)) }
		down := turned(y.Spans[Lead].Dir, x.Spans[Top].Dir) // > 0: the run points below the straight one
		up := turned(x.Spans[Top].Dir, y.Spans[Top].Dir)
		assert.Positive(t, down)
		assert.Positive(t, up)
		assert.InDelta(t, x.Wraps[AtRing]-down, y.Wraps[AtRing], 1e-9)
		assert.InDelta(t, x.Wraps[AtCog]-up, y.Wraps[AtCog], 1e-9)
		assert.InDelta(t, down+up, y.Wraps[AtIdler], 1e-9)
	}
}

// Mirrored about the idler's plane all bends are the same and lean the other way.
func TestMirroredIdler(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ring, cog := rapid.Float64Range(-6, 6).Draw(t, "ring"), rapid.Float64Range(-6, 6).Draw(t, "cog")
		a, b := highPivot(), highPivot()
		for s, x := range map[float64]*Bike{1: a, -1: b} {
			x.Cogs = x.Cogs[5:6]
			x.Rings[0].Line, x.Cogs[0].Line = 49+s*ring, 49+s*cog
		}
		p, q := evaluate(t, a).Gears[0], evaluate(t, b).Gears[0]
		assert.InDelta(t, p.Top.Bend, q.Top.Bend, 1e-12)
		assert.InDelta(t, p.Lead.Across, -q.Lead.Across, 1e-12)
		for d := range p.Arrivals {
			for i := range p.Arrivals[d] {
				assert.InDelta(t, p.Arrivals[d][i].Offset, q.Arrivals[d][i].Offset, 1e-9)
			}
		}
	})
}

// An axle that swings about the idler keeps the run between them as long as it was.
func TestAxleSwingsAboutTheIdler(t *testing.T) {
	b := highPivot()
	x, z := b.Frame.Axle()
	from := r2.Vec{X: x - b.Idler.X, Y: z - b.Idler.Z}
	var long []float64
	for _, turn := range []float64{0, -0.1, -0.2} {
		s, c := math.Sincos(turn)
		at := r2.Vec{X: b.Idler.X + c*from.X - s*from.Y, Y: b.Idler.Z + s*from.X + c*from.Y}
		b.Frame = Frame{Stay: r2.Norm(at), Drop: at.Y}
		var l Loop
		_, err := b.slotLength(&l, 0, 3, b.Frame.Stay)
		require.NoError(t, err)
		long = append(long, l.Spans[Top].Length)
	}
	assert.InDelta(t, long[0], long[1], 1e-9)
	assert.InDelta(t, long[0], long[2], 1e-9)
}

func TestOddsAtAnIdler(t *testing.T) {
	f := Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.3, Spread: 0.05, Room: 0.9, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1, NoiseTightOff: 0.01}
	odds := func(line float64, held bool) Chances {
		b := highPivot()
		b.Cogs = b.Cogs[5:6]
		b.Cogs[0].Line, b.Rings[0].Line, b.Idler.Line, b.Idler.Held = 46, 46+line, 46+line, held
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		var o Odds
		to := make([]Chances, 1)
		require.NoError(t, o.Gears(to, b, &f, links))
		return to[0]
	}
	straight, off := odds(0, false), odds(40, false)
	assert.Less(t, straight[DropRiding], 0.01)
	assert.Greater(t, off[DropRiding], 0.5, "the ring's run is straight: it comes off the idler")
	held := odds(40, true)
	assert.Less(t, held[DropRiding], 0.01, "plates hold it")
	assert.InDelta(t, straight[NoiseRiding], off[NoiseRiding], 1e-9, "noise is the ring's")
	assert.Greater(t, held[NoiseRiding], straight[NoiseRiding]+0.3, "plates are rubbed")
	// Inboard of the cog a cluster of one has no wall either.
	assert.InDelta(t, off[DropRiding], odds(-40, false)[DropRiding], 1e-6)
}

// The fast path says what the full evaluation does.
func TestOutcomeWithIdler(t *testing.T) {
	b := highPivot()
	r := evaluate(t, b)
	var e Outcomes
	var o Outcome
	require.NoError(t, e.Outcome(&o, b, r.Links))
	most, tyre, stay := 0.0, math.Inf(1), math.Inf(1)
	for _, g := range r.Gears {
		most = math.Max(most, g.Top.Bend)
		tyre, stay = math.Min(tyre, g.Clearances.Tyre.MM), math.Min(stay, g.Clearances.Stay().MM)
	}
	assert.InDelta(t, most, o.TopBend.Value, 1e-12)
	assert.InDelta(t, tyre, o.Tyre.Value, 1e-9)
	assert.InDelta(t, stay, o.Stay.Value, 1e-9)
}

func TestIdlerThatMeetsAWheelIsRefused(t *testing.T) {
	b := highPivot()
	b.Idler.X, b.Idler.Z = 0, 80
	require.ErrorContains(t, b.Validate(), "idler")
	b.Idler.X, b.Idler.Z = b.Frame.Stay*-0.98, 60
	require.ErrorContains(t, b.Validate(), "cog")
	b = highPivot()
	b.Idler.Teeth = 6
	require.ErrorContains(t, b.Validate(), "at least 9")
}

// Two spans that one free wheel joins hang with one pull and share the surplus; a third of
// the top run's length each way gives what one span of it all would not.
func TestSlackRunOverAnIdler(t *testing.T) {
	b := pushed(Fixed)
	b.Idler = &Idler{Wheel: Wheel{sprocket(14), 43}, X: -150, Z: 160}
	b.Chain.Weight, b.Load.Sag = 0.0018, 12
	g := evaluate(t, b).Gears[0]
	require.True(t, g.Loop.Idled)
	sum := 0.0
	for _, i := range []int{Top, Lead} {
		l := g.Loop.Spans[i].Length
		f := 0.0018 * l * l / (8 * g.Sags.Pull[Backwards])
		sum += 8 * f * f / (3 * l)
		assert.LessOrEqual(t, f, g.Sags.Top+1e-9)
	}
	assert.InDelta(t, g.Sags.Surplus, sum, 1e-9)
}

// The top run is one span, and over an idler two.
func TestSpansOfTheTopRun(t *testing.T) {
	assert.Equal(t, []int{Top}, (&Loop{}).topSpans())
	assert.Equal(t, []int{Top, Lead}, (&Loop{Idled: true}).topSpans())
}
