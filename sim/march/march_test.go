package march

import (
	"context"
	"math"
	"runtime"
	"slices"
	"sync/atomic"
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
			Chain: engage.Chain{Pitch: 12.7, InnerWidth: 2.18, OuterWidth: 4, PlateHalfHeight: 4, Bevel: 0.4, Slack: 0.0105, Stiffness: 8e4, Contact: 3.88, Seat: 0.1},
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
func ready(t testing.TB, b *sim.Bike, cog int, d sim.Direction, s Set) *Drive {
	r, err := b.Evaluate()
	require.NoError(t, err)
	m, err := New(b, &r.Gears[cog], r.Links, d, s)
	require.NoError(t, err)
	return m
}

// log runs one trial and returns what happened.
func log(t testing.TB, m *Drive, n uint64) ([]Event, Fate) {
	var all []Event
	out, err := m.Run(7, n, Observer{Event: func(e Event) { all = append(all, e) }})
	require.NoError(t, err)
	return all, out
}

func TestStraightChainHasNoEvents(t *testing.T) {
	for d := sim.Riding; d <= sim.Backwards; d++ {
		m := ready(t, bike(), 2, d, Set{Tolerance: loose, Turns: 3})
		events, out := log(t, m, 0)
		assert.Empty(t, events)
		for _, p := range out.Parts {
			assert.Equal(t, 3*32, out.At[p].Arrivals, "%s sees a link a pitch", p)
		}
		assert.InDelta(t, 6*math.Pi, out.Turned, 1e-12)
	}
}

// keeps makes a ring that no chain comes off, so that what a cog does can be seen.
func keeps(b *sim.Bike) *sim.Bike {
	b.Rings[0].Allowance = -5
	return b
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

// alone returns the bike with one cog, which has no neighbours that hold a chain, and
// the ring so far outboard of it.
func alone(cog int, out float64) *sim.Bike {
	b := bike()
	b.Cogs = b.Cogs[cog : cog+1]
	b.Rings[0].Line = b.Cogs[0].Line + out
	return b
}

func TestMirroredBikeHasMirroredLog(t *testing.T) {
	turned := loose
	turned.RunOut *= -1
	some := 0
	for _, cog := range []int{0, 4} {
		b := alone(cog, 18)
		r, err := b.Evaluate()
		require.NoError(t, err)
		m := mirrored(b)
		for d := sim.Riding; d <= sim.Backwards; d++ {
			g := r.Gears[0]
			one, err := New(b, &g, r.Links, d, Set{Tolerance: loose, Turns: 1})
			require.NoError(t, err)
			h := g
			for i := range h.Loop.Line {
				h.Loop.Line[i] *= -1
			}
			other, err := New(m, &h, r.Links, d, Set{Tolerance: turned, Turns: 1})
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

// try marches trials of one and the same bike, which differ in their links alone.
func try(t testing.TB, b *sim.Bike, cog int, d sim.Direction, s Set, n int) Trials {
	m := ready(t, b, cog, d, s)
	tr, err := Try(context.Background(), 11, n, s.Turns, func() (Maker, error) {
		return func(uint64) (*Drive, error) { return m, nil }, nil
	}, nil)
	require.NoError(t, err)
	return tr
}

// drops counts the trials of a seed that drop backwards, the same draws for every bike.
func drops(t testing.TB, b *sim.Bike, cog, n int, turns float64) int {
	tr := try(t, b, cog, sim.Backwards, Set{Tolerance: loose, Spread: 0.05, Turns: turns}, n)
	return tr.By(2 * math.Pi * turns)
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
		for _, out := range []float64{0, 16, 18, 20, 22, 28} {
			counts = append(counts, drops(t, alone(cog, out), 0, 8, 0.5))
		}
		neverFewer(t, counts, "bend")
	}
}

func TestMoreSlackDropsMore(t *testing.T) {
	for _, cog := range []int{0, 4} {
		var counts []int
		for _, deg := range []float64{0.3, 0.9, 1.5, 2} {
			b := alone(cog, 17)
			b.Chain.Slack = sim.Radians(deg)
			counts = append(counts, drops(t, b, 0, 8, 0.5))
		}
		neverFewer(t, counts, "slack")
	}
}

func TestMoreAllowanceDropsMore(t *testing.T) {
	var counts []int
	for _, a := range []float64{0, 0.2, 0.4, 0.6} {
		b := alone(4, 17)
		b.Cogs[0].Allowance = a
		counts = append(counts, drops(t, b, 0, 8, 0.5))
	}
	neverFewer(t, counts, "allowance")
}

// Lower teeth of the same form: cut down, the flanks where they were, so that the
// tip becomes thicker the lower it is. (With the tip's thickness kept, a lower
// tooth is a narrower one at every height, and meets the chain nearer the wheel:
// it drops less often.)
func TestLowerTeethDropMore(t *testing.T) {
	for _, cog := range []int{0, 4} {
		var counts []int
		for _, cut := range []float64{0, 0.3, 0.6, 0.8} {
			b := alone(cog, 18)
			lower := func(s *sim.Sprocket) {
				s.TipHeight -= cut
				s.Tooth.Tip = s.Tooth.Thickness(cut)
			}
			lower(&b.Cogs[0].Sprocket)
			lower(&b.Rings[0].Sprocket)
			counts = append(counts, drops(t, b, 0, 8, 0.5))
		}
		neverFewer(t, counts, "cut")
	}
}

func TestSameSeedSameLogOnAnyCores(t *testing.T) {
	b := alone(4, 21)
	s := Set{Tolerance: loose, Spread: 0.1, Turns: 1}
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	one := try(t, b, 0, sim.Backwards, s, 12)
	runtime.GOMAXPROCS(4)
	many := try(t, b, 0, sim.Backwards, s, 12)
	assert.Equal(t, one, many)
	m := ready(t, b, 0, sim.Backwards, s)
	first, _ := log(t, m, 2)
	other, _ := log(t, m, 3)
	assert.NotEqual(t, first, other)
	again, _ := log(t, m, 2)
	assert.Equal(t, first, again)
	assert.NotEmpty(t, first)
}

// A worn chain, a short stay and a wide line drop within a few turns backwards;
// the same bike with the ring over the cog does not.
func TestWornShortWideDropsAndCentredDoesNot(t *testing.T) {
	b := alone(4, 22)
	b.Chain.Slack, b.Frame.Stay = sim.Radians(1.5), 405
	assert.Equal(t, 10, drops(t, b, 0, 10, 3))
	b.Rings[0].Line = b.Cogs[0].Line
	assert.Equal(t, 0, drops(t, b, 0, 10, 3))
}

// What is allocated does not grow with the turns.
func TestMemoryIsFlat(t *testing.T) {
	b := bike()
	b.Rings[0].Line = 50
	size := func(turns float64) uint64 {
		m := ready(t, b, 3, sim.Backwards, Set{Tolerance: loose, Turns: turns})
		_, err := m.Run(1, 1, Observer{})
		require.NoError(t, err)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		out, err := m.Run(1, 1, Observer{})
		runtime.ReadMemStats(&after)
		require.NoError(t, err)
		require.False(t, out.Dropped)
		require.Positive(t, out.At[sim.AtCog].Guided)
		return after.TotalAlloc - before.TotalAlloc
	}
	assert.InDelta(t, float64(size(1)), float64(size(10)), 4096)
}

// offsets marches a gear without tolerances and returns where links arrived at a
// wheel, inner and outer ones.
func offsets(t *testing.T, m *Drive, at sim.Part) (in, out []float64, r Fate) {
	r, err := m.Run(1, 1, Observer{Arrival: func(_ float64, part sim.Part, link int, off float64) {
		switch {
		case part != at:
		case kind(link) == engage.Inner:
			in = append(in, math.Abs(off))
		default:
			out = append(out, math.Abs(off))
		}
	}})
	require.NoError(t, err)
	return in, out, r
}

// runOf returns the run onto ring or cog, as package engage marches it from wheel to
// wheel, and how: with more links on the wheels than its results are made with, and
// longer, since the whole chain lies on the whole of them.
func runOf(b *sim.Bike, g *sim.Gear, d sim.Direction) (engage.Run, engage.MarchOptions) {
	c := b.Chain.Chain
	r := engage.Run{
		Chain: c, To: b.Rings[0].Entry(c.Pitch), From: b.Cogs[0].Entry(c.Pitch), Length: g.Top.Length, Tension: g.Tensions.Top[d],
		Contact: c.Contact, Seat: c.Seat, ToHold: hold, Tooth: toothLength,
	}
	if d == sim.Backwards {
		r.To, r.From, r.ToHold = r.From, r.To, 1
	}
	return r, engage.MarchOptions{Seated: 14, Pitches: 40}
}

// Links arrive where package engage's run from wheel to wheel has them, which knows the
// straight run alone. Friction remembers, and steps and starts differ: backwards under
// one tension half of them lie within 0.002 mm and all within 0.04; riding, where the
// tension falls along the ring here and is one there, all within 0.05.
func TestArrivalsAreThoseOfARun(t *testing.T) {
	var s engage.Marcher
	var far []float64
	for _, cog := range []int{0, 2, 4} {
		for _, out := range []float64{-19, -13, -6, 6, 13, 19} {
			for d, bound := range map[sim.Direction]float64{sim.Riding: 0.05, sim.Backwards: 0.04} {
				b := alone(cog, out)
				b.Load.FreehubDrag = 0 // one tension throughout, as there
				b.Chain.Bevel = 2      // nothing climbs
				r, err := b.Evaluate()
				require.NoError(t, err)
				g := &r.Gears[0]
				m, err := New(b, g, r.Links, d, Set{Turns: 1})
				require.NoError(t, err)
				in, _, _ := offsets(t, m, [2]sim.Part{sim.AtRing, sim.AtCog}[d])
				run, how := runOf(b, g, d)
				want, err := s.Arrive(&run, g.Top.Bend, how)
				require.NoError(t, err)
				assert.InDelta(t, want.Inner, in[len(in)-1], bound, "cog %d, line %+g, %s, bend %.2f°", b.Cogs[0].Teeth, out, d, sim.Degrees(g.Top.Bend))
				if d == sim.Backwards {
					far = append(far, math.Abs(want.Inner-in[len(in)-1]))
				}
			}
		}
	}
	slices.Sort(far)
	t.Logf("backwards: %.2g mm (median), %.2g (largest)", far[len(far)/2], far[len(far)-1])
	assert.Less(t, far[len(far)/2], 0.003)
}

// Without tolerances the chain comes off by level 2's rule, both links past their guided
// bands: put to the march's own arrivals exactly, and to those of the run from wheel to
// wheel as far as that has one answer.
func TestDropsGoByTheRule(t *testing.T) {
	const scatter = 0.2 // between the steady states that friction's memory allows, mm: the run itself in 4 and in 12 steps a pitch, at 3.9°
	var s engage.Marcher
	dropped, stayed := 0, 0
	for _, cog := range []int{0, 2, 4} {
		for out := 12.0; out <= 30; out += 3 {
			for _, allowance := range []float64{0, 0.3, 0.6} {
				b := keeps(alone(cog, out))
				b.Load.FreehubDrag = 0
				b.Cogs[0].Allowance = allowance
				r, err := b.Evaluate()
				require.NoError(t, err)
				g := &r.Gears[0]
				m, err := New(b, g, r.Links, sim.Backwards, Set{Turns: 0.5})
				require.NoError(t, err)
				run, how := runOf(b, g, sim.Backwards)
				over := func(a engage.Offsets) float64 {
					inner, outer := run.To.Beyond(run.Chain, a)
					return math.Min(inner, outer)
				}
				var last engage.Offsets // by the march's own arrivals: an inner link, and the outer one after it
				own := false
				res, err := m.Run(1, 1, Observer{Arrival: func(_ float64, at sim.Part, link int, off float64) {
					switch {
					case at != sim.AtCog:
					case kind(link) == engage.Inner:
						last.Inner = math.Abs(off)
					default:
						last.Outer = math.Abs(off)
						own = own || over(last) > 0
					}
				}})
				require.NoError(t, err)
				assert.Equal(t, own, res.Dropped, "cog %d, %g mm, allowance %g", b.Cogs[0].Teeth, out, allowance)
				a, err := s.Arrive(&run, g.Top.Bend, how)
				require.NoError(t, err)
				switch margin := over(a); {
				case margin > scatter:
					dropped++
					assert.True(t, res.Dropped, "cog %d, %g mm, allowance %g: %.3f mm beyond", b.Cogs[0].Teeth, out, allowance, margin)
				case margin < -scatter:
					stayed++
					assert.False(t, res.Dropped, "cog %d, %g mm, allowance %g: %.3f mm within", b.Cogs[0].Teeth, out, allowance, margin)
				}
			}
		}
	}
	assert.Greater(t, dropped, 8)
	assert.Greater(t, stayed, 8)
}

// A chain that comes off a cog alone is held where a larger cog stands beside it, on
// the side of that; one that comes off a ring alone by the front cage of a double, unless
// that lets go; and pulleys never lose it.
func TestWhatHoldsTheChain(t *testing.T) {
	const far = 27
	s := Set{Turns: 0.5}
	run := func(b *sim.Bike, ring, cog int, d sim.Direction, s Set) Fate {
		t.Helper()
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		g, err := b.Gear(ring, cog, links)
		require.NoError(t, err)
		m, err := New(b, g, links, d, s)
		require.NoError(t, err)
		_, out := log(t, m, 0)
		return out
	}
	for _, side := range []float64{-1, 1} {
		b := keeps(alone(3, side*far))
		require.True(t, run(b, 0, 0, sim.Backwards, s).Dropped)
		wall := bike().Cogs[4]
		wall.Line = b.Cogs[0].Line - 6.5
		b.Cogs = append(b.Cogs, wall)
		out := run(b, 0, 0, sim.Backwards, s)
		assert.Equal(t, side > 0, out.Dropped, "inboard stands a wall")
		assert.Positive(t, out.At[sim.AtCog].Climbs)
	}
	for _, side := range []float64{-1, 1} {
		b := alone(2, side*far)
		b.Chain.Bevel = 0.1
		require.True(t, run(b, 0, 0, sim.Riding, s).Dropped)
		second := b.Rings[0]
		second.Teeth, second.Line = 24, b.Rings[0].Line-8
		b.Rings = append([]sim.Wheel{second}, b.Rings...)
		out := run(b, 1, 0, sim.Riding, s)
		assert.False(t, out.Dropped, "a front cage holds")
		assert.Positive(t, out.At[sim.AtRing].Climbs)
		s := s
		s.Guard = 1
		assert.True(t, run(b, 1, 0, sim.Riding, s).Dropped, "and lets go")
		b.Rings[0].Line += 6 // the small ring's line is where the large one's was, nearly
		b.Rings[1].Line += 6
		out = run(b, 0, 0, sim.Riding, s)
		assert.Equal(t, side > 0, out.Dropped, "the cog lies outboard: pulled towards the larger ring")
	}
	b := bike()
	b.Tensioner.IndexError = 3
	out := run(b, 0, 2, sim.Backwards, Set{Turns: 1})
	assert.Positive(t, out.At[sim.AtGuide].Climbs)
	assert.Equal(t, out.At[sim.AtGuide].Climbs, out.At[sim.AtGuide].FallsBack)
	assert.False(t, out.Dropped)
}

// Over many chains that differ by Spread alone the share that comes off is level 2's
// chance of the margin, 1/(1 + e^(-margin/s)).
func TestSpreadGivesLevelTwosChance(t *testing.T) {
	b := keeps(alone(4, 17))
	b.Load.FreehubDrag = 0
	r, err := b.Evaluate()
	require.NoError(t, err)
	g := &r.Gears[0]
	var s engage.Marcher
	run, how := runOf(b, g, sim.Backwards)
	a, err := s.Arrive(&run, g.Top.Bend, how)
	require.NoError(t, err)
	inner, outer := run.To.Beyond(run.Chain, a)
	const spread, n = 0.3, 150
	want := 1 / (1 + math.Exp(-math.Min(inner, outer)/spread))
	require.Greater(t, want, 0.1)
	require.Less(t, want, 0.9)
	tr := try(t, b, 0, sim.Backwards, Set{Spread: spread, Turns: 0.15}, n)
	got := float64(tr.By(math.Pi)) / n
	assert.InDelta(t, want, got, 3*math.Sqrt(want*(1-want)/n)+0.03, "three standard deviations, and 0.03 for what the run leaves out")
	t.Logf("chance %.3f, share %.3f", want, got)
}

// On an odd number of teeth inner and outer links change places from turn to turn
// of the wheel; on an even one each tooth has always the same kind.
func TestOddTeethAlternate(t *testing.T) {
	for cog, odd := range map[int]bool{0: true, 1: false} {
		b := bike()
		b.Rings[0].Line = b.Cogs[cog].Line + 15
		m := ready(t, b, cog, sim.Backwards, Set{Turns: 2})
		kinds := map[int][2]bool{}
		_, err := m.Run(1, 1, Observer{Event: func(e Event) {
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
	m, err := New(b, g, r.Links, sim.Backwards, Set{Turns: 1})
	require.NoError(t, err)
	p := m.track.pull
	assert.True(t, p.Slack)
	assert.Positive(t, p.Surplus)
	// The bottom run carries the drag.
	assert.InDelta(t, 900/b.Cogs[3].PitchRadius(12.7), p.Bottom, 1e-9)
	// Surplus and sag of a parabola, to second order.
	assert.InDelta(t, p.Surplus, 8*p.Sag*p.Sag/(3*g.Top.Length), 1e-9)
	assert.InDelta(t, float64(r.Links), m.track.stations[len(m.track.stations)-1].to, 1e-6)
	_, err = m.Run(1, 1, Observer{})
	require.NoError(t, err)
}

func TestWhatCannotRun(t *testing.T) {
	b := bike()
	r, err := b.Evaluate()
	require.NoError(t, err)
	for _, s := range []Set{{Turns: 0}, {Turns: math.Inf(1)}, {Turns: math.NaN()}, {Turns: 1, Spread: -1}, {Turns: 1, Spread: math.NaN()}, {Turns: 1, Guard: 1.1}, {Turns: 1, Guard: math.NaN()}} {
		_, err = New(b, &r.Gears[0], r.Links, sim.Riding, s)
		assert.ErrorIs(t, err, ErrMarch)
	}
	b.Chain.Links = 80
	r, err = b.Evaluate()
	require.NoError(t, err)
	_, err = New(b, &r.Gears[4], r.Links, sim.Riding, Set{Turns: 1})
	assert.ErrorContains(t, err, "too short")
}

func TestTrialsCountAndMedian(t *testing.T) {
	inf := math.Inf(1)
	tr := Trials{Runs: 4, Turns: 1, Angles: []float64{3, inf, 1, 2}, Cannot: make([]bool, 4)}
	assert.Equal(t, 2.0, median(tr.Angles))
	assert.Equal(t, inf, median([]float64{1, inf, inf, 2, inf}))
	assert.Equal(t, 2, tr.By(2))
	assert.Equal(t, Spread{Sets: 2, All: 1, Some: 1}, tr.Among(2))
	tr.Cannot[1] = true
	assert.Equal(t, 3, tr.Of())
	assert.Equal(t, Spread{Sets: 2, All: 2}, tr.Among(2))
}

// Trials that are stopped are the first of those that are not; all are counted.
func TestTrialsThatAreStopped(t *testing.T) {
	m := ready(t, bike(), 2, sim.Backwards, Set{Tolerance: loose, Spread: 0.05, Turns: 0.3})
	maker := func() (Maker, error) { return func(uint64) (*Drive, error) { return m, nil }, nil }
	var done atomic.Int64
	all, err := Try(context.Background(), 7, 9, 0.3, maker, &done)
	require.NoError(t, err)
	assert.EqualValues(t, 9, done.Load())
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	some, err := Try(ctx, 7, 9, 0.3, maker, &done)
	assert.ErrorIs(t, err, ErrStopped)
	assert.Less(t, some.Runs, 9)
	assert.Equal(t, all.Results[:some.Runs], some.Results)
	assert.Len(t, some.Angles, some.Runs)
}

// Draws that cannot be are left out, unless they are more than half.
func TestDrawsThatCannotBe(t *testing.T) {
	m := ready(t, bike(), 2, sim.Riding, Set{Turns: 0.1})
	some := func(every uint64) func() (Maker, error) {
		return func() (Maker, error) {
			return func(n uint64) (*Drive, error) {
				if n%every == 0 {
					return nil, ErrCannot
				}
				return m, nil
			}, nil
		}
	}
	tr, err := Try(context.Background(), 1, 8, 0.1, some(4), nil)
	require.NoError(t, err)
	assert.Equal(t, 6, tr.Of())
	assert.Equal(t, []bool{true, false, false, false, true, false, false, false}, tr.Cannot)
	_, err = Try(context.Background(), 1, 8, 0.1, some(1), nil)
	assert.ErrorIs(t, err, ErrCannot)
	_, err = Try(context.Background(), 1, 8, 0.1, func() (Maker, error) { return nil, ErrMarch }, nil)
	assert.ErrorIs(t, err, ErrMarch)
}

// An idler is a wheel of the march: the stations close on the links, the whole top run pulls
// alike, links arrive on it, and plates hold them where it has some.
func TestMarchOverAnIdler(t *testing.T) {
	b := bike()
	w := b.Cogs[1]
	b.Idler = &sim.Idler{Wheel: sim.Wheel{Sprocket: w.Sprocket, Line: 47}, X: -60, Z: 180}
	for d := sim.Riding; d <= sim.Backwards; d++ {
		r, err := b.Evaluate()
		require.NoError(t, err)
		g := &r.Gears[2]
		require.True(t, g.Loop.Idled)
		track, err := newTrack(b, g, d, r.Links)
		require.NoError(t, err)
		last := track.stations[len(track.stations)-1]
		assert.InDelta(t, float64(r.Links), last.from+g.Loop.Seat(sim.AtRing)/2, 1e-6)
		i := slices.IndexFunc(track.stations, func(s station) bool { return s.part == sim.AtIdler })
		idler := track.stations[i]
		assert.InDelta(t, g.Tensions.Top[d], track.tensionAt((idler.from+idler.to)/2), 1e-9)
		assert.InDelta(t, g.Loop.Seat(sim.AtIdler), idler.to-idler.from, 1e-9)
		events, out := log(t, ready(t, b, 2, d, Set{Tolerance: loose, Turns: 1}), 0)
		assert.Empty(t, events, "a straight chain")
		assert.Positive(t, out.At[sim.AtIdler].Arrivals)
	}
	b.Idler.Line = 47 + 40
	_, out := log(t, ready(t, b, 2, sim.Riding, Set{Turns: 1}), 0)
	require.True(t, out.Dropped)
	assert.Equal(t, sim.AtIdler, out.Drop.At)
	assert.Contains(t, out.Drop.To, "idler")
	b.Idler.Held = true
	_, out = log(t, ready(t, b, 2, sim.Riding, Set{Turns: 0.3}), 0)
	assert.False(t, out.Dropped && out.Drop.At == sim.AtIdler)
}
