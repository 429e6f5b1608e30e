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
	assert.Equal(t, []Concern{DropRiding, RubsTyreAt, CageMeets, MeetsWheel, PulleyMeets, MeetsStay, MeetsDropout, DropBackwards, RubsNextRing, RubsNextCog,
		NoiseRiding, TopSlackBackwards, DoesNotClose, RubsFrontCage, ChainTooLong}, ToldOrder())
	for i, k := range ToldOrder() {
		assert.Equal(t, i+1, Hazards[k].Order)
	}
	// The usual weights, which outputs name: as many noises as one of the rest is worth.
	for k, want := range map[Concern]float64{
		NoiseRiding: 1, TopSlackBackwards: 1, RubsFrontCage: 1, ChainTooLong: 1, RubsNextCog: 2, RubsNextRing: 2, DropBackwards: 2,
		RubsTyreAt: 5, PulleyMeets: 5, DropRiding: 10, CageMeets: 10, DoesNotClose: 10, MeetsStay: 2, MeetsDropout: 2, MeetsWheel: 10,
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
	f := Free{Seat: 0.17, Allowance: 0.4}
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

// What an evaluator has looked up is found again and not made anew: wheels by their shape, chain
// and drive, tables by wheel and chain, or by the pair with lines apart and room.
func TestWhatWasLookedUpIsFoundAgain(t *testing.T) {
	var e Evaluator
	c := chain12()
	a, b := sprocket(20), sprocket(22)
	table := e.source(a, c.Chain, false).table
	require.NotNil(t, table)
	assert.Same(t, table, e.source(a, c.Chain, false).table)
	other := c.Chain
	other.Bevel += 0.01
	for i, k := range []*limitSource{e.source(b, c.Chain, false), e.source(a, other, false), e.source(a, c.Chain, true)} {
		assert.NotSame(t, table, k.table, "%d", i)
	}
	assert.True(t, e.source(a, c.Chain, true).wheel.Driven)
	assert.Len(t, e.sources, 4)
	assert.Len(t, e.limit, 4)
	exact := Evaluator{Exact: true}
	assert.Nil(t, exact.source(a, c.Chain, false).table)

	own, next := &Wheel{a, 45}, &Wheel{b, 41}
	rub := e.rubTable(own, next, &c, 0.5)
	require.NotNil(t, rub)
	moved := &Wheel{a, 55}
	assert.Same(t, rub, e.rubTable(moved, &Wheel{b, 51}, &c, 0.5), "only the lines apart matter")
	assert.NotSame(t, rub, e.rubTable(own, next, &c, 0.6))
	assert.NotSame(t, rub, e.rubTable(moved, next, &c, 0.5))
	assert.NotSame(t, rub, e.rubTable(next, own, &c, 0.5))
	wide := c
	wide.Width += 0.1
	assert.NotSame(t, rub, e.rubTable(own, next, &wide, 0.5))
	assert.Nil(t, exact.rubTable(own, next, &c, 0.5))

	q := &e.cache
	k := q.at(&e, 3, &a, &c, false)
	assert.Same(t, k, q.at(&e, 3, &a, &c, false))
	driven := q.at(&e, 3, &a, &c, true)
	assert.True(t, driven.wheel.Driven)
	assert.Same(t, k, q.at(&e, 3, &a, &c, false), "beside the same wheel that drives")
	assert.Equal(t, 22, q.at(&e, 3, &b, &c, false).sprocket.Teeth, "another wheel in its place")
	assert.Equal(t, 20, q.at(&e, 4, &a, &c, false).sprocket.Teeth)

	first := q.rub(&e, 2, own, next, &c, 0.5)
	assert.Same(t, rub, first)
	assert.Same(t, rub, q.rub(&e, 2, moved, &Wheel{b, 51}, &c, 0.5))
	assert.NotSame(t, rub, q.rub(&e, 2, own, next, &c, 0.6))
	assert.NotSame(t, rub, q.rub(&e, 2, moved, next, &c, 0.5))
	assert.NotSame(t, rub, q.rub(&e, 2, next, own, &c, 0.5))
	assert.NotSame(t, rub, q.rub(&e, 2, &Wheel{a, 45}, &Wheel{a, 41}, &c, 0.5))
	assert.Same(t, rub, q.rub(&e, 2, own, next, &c, 0.5))
}

// Places of tensions are looked up where one has changed, in either run and direction.
func TestPlacesFollowThePulls(t *testing.T) {
	var q wheelCache
	q.pulls.pulls = Tensions{Top: [2]float64{math.NaN(), math.NaN()}, Bottom: [2]float64{math.NaN(), math.NaN()}}
	for _, p := range []Tensions{
		{Top: [2]float64{400, 7}, Bottom: [2]float64{8, 8}},
		{Top: [2]float64{400, 7}, Bottom: [2]float64{8, 8}},
		{Top: [2]float64{300, 7}, Bottom: [2]float64{8, 80}},
		{Top: [2]float64{300, -2}, Bottom: [2]float64{9, 80}},
		{Top: [2]float64{300, 9}, Bottom: [2]float64{80, 80}},
		{Top: [2]float64{300, 9}, Bottom: [2]float64{80, 8}},
	} {
		at := q.pullsAt(&p)
		for d := range p.Top {
			assert.Equal(t, placeOf(p.Top[d]), at.top[d])
			assert.Equal(t, placeOf(p.Bottom[d]), at.bottom[d])
			for _, a := range []planned{{direction: Direction(d), top: true}, {direction: Direction(d)}} {
				want := placeOf(p.Bottom[d])
				if a.top {
					want = placeOf(p.Top[d])
				}
				assert.Equal(t, want, at.of(&a))
			}
		}
	}
}

// A table solves for a node once, at the node's own tension, and lies on the line between nodes.
func TestATableSolvesEachNodeOnce(t *testing.T) {
	var tab table
	var asked []float64
	solve := func(tension float64) (float64, float64, error) {
		asked = append(asked, tension)
		return 1e-5 * tension, -2e-5 * tension, nil
	}
	read := func(pull float64) (float64, float64) {
		a, b, err := tab.at(placeOf(pull), solve)
		require.NoError(t, err)
		return a, b
	}
	a, b := read(4.01)
	require.Len(t, asked, 2)
	assert.InDelta(t, 4, asked[0], 1e-12)
	assert.InDelta(t, 4*math.Exp2(1./64), asked[1], 1e-12)
	assert.InDelta(t, 4.01e-5, a, 1e-9)
	assert.InDelta(t, -8.02e-5, b, 1e-9)
	read(4.03)
	assert.Len(t, asked, 2, "between the same nodes")
	read(4.08)
	assert.Len(t, asked, 3, "one node is known")
	a, b = read(4)
	assert.InDelta(t, 4e-5, a, 1e-15)
	assert.InDelta(t, -8e-5, b, 1e-15)
	a, _ = read(8192)
	assert.InDelta(t, 8192e-5, a, 1e-12, "the last node")

	fails := func(float64) (float64, float64, error) { return 0, 0, ErrBike }
	_, _, err := new(table).at(placeOf(50), fails)
	require.ErrorIs(t, err, ErrBike)

	// Jumps between other nodes are found beside the first, which is not looked for again.
	var two table
	looks := 0
	steps := func(tension float64) (float64, float64, error) {
		looks++
		return math.Floor(tension / 3.01), 0, nil
	}
	for i, pull := range []float64{3.009, 6.019, 3.011, 6.021} {
		a, _, err := two.at(placeOf(pull), steps)
		require.NoError(t, err)
		assert.InDelta(t, math.Floor(pull/3.01), a, 1e-12, "%g N", pull)
		if i > 0 {
			assert.LessOrEqual(t, looks, 2*(2+cutSteps), "%g N", pull)
		}
	}
	assert.Len(t, two.cuts, 2)

	// Where either value jumps, its place is found, and the other value stays a line.
	for k := range 2 {
		var tab table
		n := 0
		step := func(tension float64) (float64, float64, error) {
			n++
			v := [2]float64{0.1, 0.1}
			if tension > 4.02 {
				v[k] = 0.3
			}
			return v[0], v[1], nil
		}
		at := func(pull float64) [2]float64 {
			a, b, err := tab.at(placeOf(pull), step)
			require.NoError(t, err)
			return [2]float64{a, b}
		}
		for _, pull := range []float64{4.001, 4.0199, 4.0201, 4.04} {
			want := [2]float64{0.1, 0.1}
			if pull > 4.02 {
				want[k] = 0.3
			}
			got := at(pull)
			assert.InDelta(t, want[0], got[0], 1e-12, "%g N", pull)
			assert.InDelta(t, want[1], got[1], 1e-12, "%g N", pull)
		}
		assert.LessOrEqual(t, n, 2+cutSteps, "looked for once")
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

	away, err := e.rubsLeadingAway(&own, &next, &b.Chain, 0, 0.02, [2]float64{400, 8})
	require.NoError(t, err)
	assert.False(t, away)
	away, err = e.rubsLeadingAway(&own, &next, &b.Chain, -3, 0.02, [2]float64{400, 8})
	require.NoError(t, err)
	assert.True(t, away, "so wide a chain has not got away in time")
}

// A falling jump is one as well as a rising one, of the first value or the second, and a difference
// of the bound itself is none.
func TestJumpsEitherWay(t *testing.T) {
	for _, c := range []struct {
		a, b float64
		want way
	}{{0, 0, lineWay}, {jump, 0, lineWay}, {0, jump, lineWay}, {0, -jump, lineWay}, {1.01 * jump, 0, steepWay}, {-1.01 * jump, 0, steepWay}, {0, 1.01 * jump, steepWay}, {0, -1.01 * jump, steepWay}} {
		var tab table
		calls := 0
		require.NoError(t, tab.fill(128, func(float64) (float64, float64, error) {
			if calls++; calls == 1 {
				return 0, 0, nil
			}
			return c.a, c.b, nil
		}))
		assert.Equal(t, c.want, tab.nodes[128].way, "%+v", c)
		assert.True(t, tab.nodes[128].set && tab.nodes[129].set && !tab.nodes[130].set && !tab.nodes[127].set)
	}
}

// What an evaluator keeps of tensions that pass by is bounded, and where it may read a table it does:
// the pair's table is filled, but not by one that is exact, or past its end.
func TestTablesAreReadWhereTheyMayBe(t *testing.T) {
	b := trail()
	own, next := &b.Cogs[3], &b.Cogs[4]
	filled := func(tab *table) (n int) {
		for i := range tab.nodes {
			if tab.nodes[i].set {
				n++
			}
		}
		return n
	}
	var e Evaluator
	tab := e.rubTable(own, next, &b.Chain, 0)
	_, err := e.rubLimit(tab, own, next, &b.Chain, 0, 9000, placeOf(9000))
	require.NoError(t, err)
	assert.Zero(t, filled(tab), "past its end")
	_, err = e.rubLimit(tab, own, next, &b.Chain, 0, 20, placeOf(20))
	require.NoError(t, err)
	assert.Equal(t, 2, filled(tab))
	k := e.source(own.Sprocket, b.Chain.Chain, false)
	_, _, err = e.limits(k, 20, placeOf(20))
	require.NoError(t, err)
	assert.Equal(t, 2, filled(k.table))
	assert.Empty(t, e.s.limits)
	exact := Evaluator{Exact: true}
	k = exact.source(own.Sprocket, b.Chain.Chain, false)
	for i := range 2 * mostKept {
		pull := 1 + 0.01*float64(i)
		_, _, err := exact.limits(k, pull, placeOf(pull))
		require.NoError(t, err)
		require.LessOrEqual(t, len(exact.s.limits), mostKept+1)
	}
}

// With signs alone a margin to a neighbour is the gap over a pitch, else the bend that is left.
func TestSignsAreGapsOverAPitch(t *testing.T) {
	b := trail()
	for _, drift := range []float64{-0.04, 0.03} {
		n := beside{own: &b.Cogs[3], next: &b.Cogs[4], kind: ToCog, drift: drift, room: 0.2}
		signs, exact := Evaluator{Signs: true}, Evaluator{Exact: true}
		got, err := signs.rubMargin(&n, &b.Chain, 20)
		require.NoError(t, err)
		want, err := signs.rubSign(*n.own, *n.next, &b.Chain, 0.2, drift, 20)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		left, err := exact.rubMargin(&n, &b.Chain, 20)
		require.NoError(t, err)
		limit, err := exact.rubLimit(nil, n.own, n.next, &b.Chain, 0.2, 20, placeOf(20))
		require.NoError(t, err)
		assert.InDelta(t, limit-math.Max(0, math.Atan(-drift)), left, 1e-12)
		assert.Greater(t, math.Abs(left-got), 1e-3, "another number")
		assert.Equal(t, left > 0, got > 0)
	}
}

// A run that leads away from its neighbour meets it where shift pins stand out farther than its gap is
// wide, and not where room makes up for what it lacks.
func TestRunsThatLeadAwayMeetPins(t *testing.T) {
	b := trail()
	own, next := &b.Cogs[6], &b.Cogs[7]
	n := beside{own: own, next: next, kind: ToRing, drift: 0.001, pulls: [2]float64{400, 8}, span: Top}
	least := (&beside{own: own, next: next, drift: n.drift}).straightLeast(&b.Chain)
	require.Positive(t, least)
	var e Evaluator
	w := &pullsAt{}
	for room, meets := range map[float64]bool{0: false, -least - 0.5: true, 0.5: false, -least + 0.01: false} {
		n.room = room
		got, err := e.quickRubs(&n, &b.Chain, w, least)
		require.NoError(t, err)
		assert.Equal(t, meets, got, "room %g", room)
	}
	n.room = least + 0.5
	got, err := e.quickRubs(&n, &b.Chain, w, -least)
	require.NoError(t, err)
	assert.False(t, got)
}
