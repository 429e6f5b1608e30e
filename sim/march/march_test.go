package march

import (
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/engage"
)

var loose = Tolerance{Width: 0.03, Bevel: 0.05, Slack: 0.0017, RunOut: 0.1}

// bike is an invented 1×5 with a wide range; cog 0 has an odd number of teeth.
func bike() *sim.Bike {
	tooth := engage.Tooth{Tip: 1, Full: 1.6, Relief: 0.3}
	wheel := func(teeth int, line float64) sim.Wheel {
		return sim.Wheel{Sprocket: sim.Sprocket{Teeth: teeth, TipHeight: 2.3, Tooth: tooth}, Line: line}
	}
	return &sim.Bike{
		Chain: sim.Chain{
			Chain: engage.Chain{Pitch: 12.7, InnerWidth: 2.18, OuterWidth: 4, PlateHalfHeight: 4, Bevel: 0.4, Slack: 0.0105, Stiffness: 1e4},
			Width: 5.2, Proud: 0.2, Pin: 3.66, Margin: 1, Weight: 0.0018,
		},
		Frame:     sim.Frame{Stay: 415, Drop: 60},
		Rings:     []sim.Wheel{wheel(32, 47)},
		Cogs:      []sim.Wheel{wheel(11, 60), wheel(18, 53.5), wheel(28, 47), wheel(38, 40.5), wheel(50, 34)},
		Tensioner: &sim.Tensioner{Guide: wheel(12, 0).Sprocket, Tension: wheel(14, 0).Sprocket, Cage: 93, Direction: 0.26, Gap: [2]float64{12, 6}, Folded: -1.3, Stretched: 1.3, Spring: 1200, SpringRate: 250},
		Load:      sim.Load{Torque: 40000, FreehubDrag: 80},
	}
}

// ready makes a gear of a bike ready.
func ready(t testing.TB, b *sim.Bike, cog int, d sim.Direction, s Set) *Gear {
	r, err := b.Evaluate()
	require.NoError(t, err)
	m, err := New(b, r, &r.Gears[cog], d, s)
	require.NoError(t, err)
	return m
}

// log runs one trial and returns what happened.
func log(t testing.TB, m *Gear, n uint64) ([]Event, Result) {
	var all []Event
	out, err := m.Run(7, n, Report{Event: func(e Event) { all = append(all, e) }})
	require.NoError(t, err)
	return all, out
}

func TestStraightChainHasNoEvents(t *testing.T) {
	for d := sim.Riding; d <= sim.Backwards; d++ {
		m := ready(t, bike(), 2, d, Set{Friction: 0.1, Tolerance: loose, Turns: 3})
		events, out := log(t, m, 0)
		assert.Empty(t, events)
		for _, p := range out.Parts {
			assert.Equal(t, 3*32, out.At[p].Arrivals, "%s sees a link a pitch", p)
		}
		assert.InDelta(t, 6*math.Pi, out.Turned, 1e-12)
	}
}

// mirrored returns a bike on the other side of the middle plane: the order of
// cogs is then not what Validate asks for, but a gear's path and march do not
// look at it.
func mirrored(b *sim.Bike) *sim.Bike {
	m := *b
	m.Rings, m.Cogs = append([]sim.Wheel{}, b.Rings...), append([]sim.Wheel{}, b.Cogs...)
	for i := range m.Rings {
		m.Rings[i].Line *= -1
	}
	for i := range m.Cogs {
		m.Cogs[i].Line *= -1
	}
	return &m
}

func TestMirroredBikeHasMirroredLog(t *testing.T) {
	b := bike()
	r, err := b.Evaluate()
	require.NoError(t, err)
	m := mirrored(b)
	turned := loose
	turned.RunOut *= -1
	some := 0
	for _, cog := range []int{0, 4} {
		for d := sim.Riding; d <= sim.Backwards; d++ {
			g := r.Gears[cog]
			one, err := New(b, r, &g, d, Set{Friction: 0.1, Tolerance: loose, Turns: 1})
			require.NoError(t, err)
			h := g
			for i := range h.Loop.Line {
				h.Loop.Line[i] *= -1
			}
			other, err := New(m, r, &h, d, Set{Friction: 0.1, Tolerance: turned, Turns: 1})
			require.NoError(t, err)
			a, _ := log(t, one, 3)
			z, _ := log(t, other, 3)
			require.Equal(t, len(a), len(z))
			some += len(a)
			for i := range a {
				assert.Equal(t, -a[i].Offset, z[i].Offset)
				a[i].Offset, z[i].Offset = 0, 0
				if a[i].Kind == Drops {
					assert.NotEqual(t, a[i].To, z[i].To)
					a[i].To, z[i].To = "", ""
				}
				assert.Equal(t, a[i], z[i])
			}
		}
	}
	assert.Greater(t, some, 50)
}

// drops counts the trials of a seed that drop, the same draws for every bike.
func drops(t testing.TB, b *sim.Bike, cog, n int, turns float64) int {
	m := ready(t, b, cog, sim.Backwards, Set{Friction: 0.1, Tolerance: loose, Turns: turns})
	tr, err := m.Try(11, n)
	require.NoError(t, err)
	return tr.By(2 * math.Pi * turns).Drops
}

// neverFewer asserts that a series of drop counts does not fall and that it rises
// somewhere.
func neverFewer(t *testing.T, counts []int, what string) {
	t.Log(what, counts)
	for i := 1; i < len(counts); i++ {
		assert.GreaterOrEqual(t, counts[i], counts[i-1], "%s: %v", what, counts)
	}
	assert.Greater(t, counts[len(counts)-1], counts[0], "%s: %v", what, counts)
}

func TestMoreBendDropsMore(t *testing.T) {
	for _, cog := range []int{0, 4} {
		var counts []int
		for _, out := range []float64{0, 12, 15, 17, 19, 20, 21, 24} {
			b := bike()
			side := 1.0
			if cog == 0 {
				side = -1
			}
			b.Rings[0].Line = b.Cogs[cog].Line + side*out
			counts = append(counts, drops(t, b, cog, 12, 1))
		}
		neverFewer(t, counts, "bend")
	}
}

func TestMoreSlackDropsMore(t *testing.T) {
	for _, cog := range []int{0, 4} {
		var counts []int
		for _, deg := range []float64{0.3, 0.6, 0.9, 1.2, 1.5, 2} {
			b := bike()
			b.Chain.Slack = sim.Radians(deg)
			b.Rings[0].Line = map[int]float64{0: 41.5, 4: 48}[cog]
			counts = append(counts, drops(t, b, cog, 12, 1))
		}
		neverFewer(t, counts, "slack")
	}
}

// Lower teeth of the same form: cut down, the flanks where they were, so that the
// tip becomes thicker the lower it is. (With the tip's thickness kept, a lower
// tooth is a narrower one at every height, and meets the chain nearer the wheel:
// it drops less often.)
func TestLowerTeethDropMore(t *testing.T) {
	for _, cog := range []int{0, 4} {
		var counts []int
		for _, cut := range []float64{0, 0.15, 0.3, 0.45, 0.6, 0.8} {
			b := bike()
			b.Rings[0].Line = map[int]float64{0: 41.5, 4: 48.5}[cog]
			lower := func(s *sim.Sprocket) {
				s.TipHeight -= cut
				s.Tooth.Tip = s.Tooth.Thickness(cut)
			}
			for i := range b.Cogs {
				lower(&b.Cogs[i].Sprocket)
			}
			for i := range b.Rings {
				lower(&b.Rings[i].Sprocket)
			}
			counts = append(counts, drops(t, b, cog, 12, 1))
		}
		neverFewer(t, counts, "cut")
	}
}

func TestSameSeedSameLogOnAnyCores(t *testing.T) {
	b := bike()
	b.Rings[0].Line = 51
	m := ready(t, b, 4, sim.Backwards, Set{Friction: 0.1, Tolerance: loose, Turns: 1})
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one, err := m.Try(5, 12)
	require.NoError(t, err)
	runtime.GOMAXPROCS(4)
	many, err := m.Try(5, 12)
	require.NoError(t, err)
	assert.Equal(t, one, many)
	other, err := m.Try(6, 12)
	require.NoError(t, err)
	assert.NotEqual(t, one.Angles, other.Angles)
	a, _ := log(t, m, 2)
	z, _ := log(t, m, 2)
	assert.Equal(t, a, z)
	assert.NotEmpty(t, a)
}

// A worn chain, a short stay and a wide line drop within a few turns backwards;
// the same bike with the ring over the cog does not.
func TestWornShortWideDropsAndCentredDoesNot(t *testing.T) {
	b := bike()
	b.Chain.Slack, b.Frame.Stay = sim.Radians(1.5), 405
	b.Rings[0].Line = 52
	assert.Equal(t, 10, drops(t, b, 4, 10, 3))
	b.Rings[0].Line = b.Cogs[4].Line
	assert.Equal(t, 0, drops(t, b, 4, 10, 3))
}

// What is allocated does not grow with the turns.
func TestMemoryIsFlat(t *testing.T) {
	b := bike()
	b.Rings[0].Line = 50
	size := func(turns float64) uint64 {
		m := ready(t, b, 3, sim.Backwards, Set{Friction: 0.1, Tolerance: loose, Turns: turns})
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		out, err := m.Run(1, 1, Report{})
		runtime.ReadMemStats(&after)
		require.NoError(t, err)
		require.False(t, out.Dropped)
		require.Positive(t, out.At[sim.AtCog].Guided)
		return after.TotalAlloc - before.TotalAlloc
	}
	assert.InDelta(t, float64(size(1)), float64(size(10)), 4096)
}

// A link lies where package engage, which solves a single entry with hard bounds
// and another method, has it, at the slope that the span then has. (That is a
// little off the bend: the chain moves within its play, and is stiff, at both ends.)
func TestArrivalIsThatOfASingleEntry(t *testing.T) {
	for _, line := range []float64{37, 40, 43} {
		b := bike()
		b.Load.FreehubDrag = 0 // one tension throughout, as there
		b.Rings[0].Line = line
		r, err := b.Evaluate()
		require.NoError(t, err)
		g := &r.Gears[4]
		watch := []float64{}
		for a := 1.0; a < 3; a += 0.001 {
			watch = append(watch, a)
		}
		m, err := New(b, r, g, sim.Backwards, Set{Friction: 0.1, Turns: 0.5, Watch: watch})
		require.NoError(t, err)
		now, at, seen := -1, 0.0, 0
		_, err = m.Run(1, 1, Report{
			Arrival: func(angle float64, part sim.Part, link int, offset float64) {
				if part == sim.AtCog {
					now, at = link, offset
				}
			},
			Places: func(_ float64, p []Place) {
				if now < 0 {
					return
				}
				seen++
				i, j := 8+6, 8+18 // links in the open part of the top span
				require.Empty(t, p[i].At+p[j].At)
				slope := math.Atan((p[j].Y - p[i].Y) / (p[j].Along - p[i].Along))
				var e engage.Entry
				require.NoError(t, e.Set(b.Cogs[4].Entry(12.7), b.Chain.Chain, kind(now), g.Tensions.Top[sim.Backwards]))
				want, st := e.Offset(slope)
				require.Equal(t, engage.Solved, st)
				assert.InDelta(t, math.Abs(want), math.Abs(at), 3e-3, "line %g, %s link", line, kind(now))
				now = -1
			},
		})
		require.NoError(t, err)
		assert.Greater(t, seen, 8)
	}
}

// Without tolerances what happens at ring and cog goes by their limits.
func TestEventsGoByTheLimits(t *testing.T) {
	for _, line := range []float64{34, 36, 38, 40, 42, 44, 46, 48, 50} {
		b := bike()
		b.Rings[0].Line = line
		r, err := b.Evaluate()
		require.NoError(t, err)
		for d, at := range map[sim.Direction]sim.Part{sim.Riding: sim.AtRing, sim.Backwards: sim.AtCog} {
			g := &r.Gears[4]
			a := g.Arrivals[d][0]
			require.Equal(t, at, a.At)
			m, err := New(b, r, g, d, Set{Friction: 0.1, Turns: 1})
			require.NoError(t, err)
			_, out := log(t, m, 1)
			x := out.At[at]
			switch margin := 0.01; {
			case a.Bend < a.Limits.Quiet-margin:
				assert.Zero(t, x.Guided+x.Climbs, "line %g %s", line, d)
			case a.Bend > a.Limits.Quiet+margin && a.Bend < a.Limits.Climb-margin:
				assert.Positive(t, x.Guided, "line %g %s", line, d)
				assert.Zero(t, x.Climbs, "line %g %s", line, d)
			case a.Bend > a.Limits.Climb+margin:
				assert.Positive(t, x.Climbs, "line %g %s", line, d)
			}
		}
	}
}

// On an odd number of teeth inner and outer links change places from turn to turn
// of the wheel; on an even one each tooth has always the same kind.
func TestOddTeethAlternate(t *testing.T) {
	for cog, odd := range map[int]bool{0: true, 1: false} {
		b := bike()
		b.Rings[0].Line = b.Cogs[cog].Line + 12
		m := ready(t, b, cog, sim.Backwards, Set{Friction: 0.1, Turns: 2})
		kinds := map[int][2]bool{}
		_, err := m.Run(1, 1, Report{Event: func(e Event) {
			if e.At == sim.AtCog && e.Kind <= Climbs {
				k := kinds[e.Tooth]
				if e.Inner {
					k[0] = true
				} else {
					k[1] = true
				}
				kinds[e.Tooth] = k
			}
		}})
		require.NoError(t, err)
		met := 0
		for _, k := range kinds {
			if k[0] {
				met++
			}
		}
		if odd {
			assert.Equal(t, 11, met, "inner links meet every tooth")
		} else {
			assert.Equal(t, 9, met, "inner links meet every other tooth")
		}
	}
}

func TestSlackTopSpan(t *testing.T) {
	b := bike()
	b.Load.FreehubDrag = 900
	r, err := b.Evaluate()
	require.NoError(t, err)
	g := &r.Gears[3]
	require.Negative(t, g.Tensions.Top[sim.Backwards])
	m, err := New(b, r, g, sim.Backwards, Set{Friction: 0.1, Turns: 1})
	require.NoError(t, err)
	p := m.track.pull
	assert.True(t, p.Slack)
	assert.Positive(t, p.Surplus)
	// The bottom run carries the drag.
	assert.InDelta(t, 900/b.Cogs[3].PitchRadius(12.7), p.Bottom, 1e-9)
	// Surplus and sag of a parabola, to second order.
	assert.InDelta(t, p.Surplus, 8*p.Sag*p.Sag/(3*g.Top.Length), 1e-9)
	assert.InDelta(t, float64(r.Links), m.track.stations[len(m.track.stations)-1].to, 1e-6)
	_, err = m.Run(1, 1, Report{})
	require.NoError(t, err)
}

func TestWhatCannotRun(t *testing.T) {
	b := bike()
	r, err := b.Evaluate()
	require.NoError(t, err)
	for _, s := range []Set{{Turns: 0}, {Turns: math.Inf(1)}, {Turns: math.NaN()}, {Turns: 1, Friction: -1}, {Turns: 1, Friction: math.NaN()}} {
		_, err = New(b, r, &r.Gears[0], sim.Riding, s)
		assert.ErrorIs(t, err, ErrMarch)
	}
	b.Chain.Links = 80
	r, err = b.Evaluate()
	require.NoError(t, err)
	_, err = New(b, r, &r.Gears[4], sim.Riding, Set{Turns: 1})
	assert.ErrorContains(t, err, "too short")
}

// No drops in n trials: the upper end solves (1-p)^n = α/2; all of them: the lower
// end p^n = α/2 (Clopper and Pearson, Biometrika 26, 1934). In between both ends
// give back the binomial tail.
func TestInterval(t *testing.T) {
	lo, hi := interval(0, 20, 0.95)
	assert.Zero(t, lo)
	assert.InDelta(t, 1-math.Pow(0.025, 1.0/20), hi, 1e-9)
	lo, hi = interval(20, 20, 0.95)
	assert.InDelta(t, math.Pow(0.025, 1.0/20), lo, 1e-9)
	assert.Equal(t, 1.0, hi)
	tail := func(p float64, from, to, n int) float64 {
		sum := 0.0
		for k := from; k <= to; k++ {
			lg := func(x int) float64 { v, _ := math.Lgamma(float64(x + 1)); return v }
			sum += math.Exp(lg(n) - lg(k) - lg(n-k) + float64(k)*math.Log(p) + float64(n-k)*math.Log(1-p))
		}
		return sum
	}
	lo, hi = interval(7, 50, 0.95)
	assert.InDelta(t, 0.025, tail(lo, 7, 50, 50), 1e-7)
	assert.InDelta(t, 0.025, tail(hi, 0, 7, 50), 1e-7)
}

func TestTrialsCountAndMedian(t *testing.T) {
	inf := math.Inf(1)
	tr := Trials{Runs: 4, Turns: 1, Angles: []float64{3, inf, 1, 2}}
	assert.Equal(t, 2.0, median(tr.Angles))
	assert.Equal(t, inf, median([]float64{1, inf, inf, 2, inf}))
	c := tr.By(2)
	assert.Equal(t, 2, c.Drops)
	assert.Equal(t, 0.5, c.P)
}
