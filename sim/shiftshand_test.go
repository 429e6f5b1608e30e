package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/geom"
	"chainpath/sim/engage"
)

// Places to cross and waits by hand: with a pitch of 14 mm the play of 0.35 mm either way lets a
// twentieth of the fractions pass.
func TestCrossingsByHand(t *testing.T) {
	b := trail()
	b.Chain.Pitch = 14
	for _, c := range []struct {
		n1, n2              int
		places, never, wait float64
	}{
		// 12 and 24 have 2 fractions, twelve times a turn: one lies within with a chance of 0.1.
		{12, 24, 1.2, 0.9, 0.9 + 0.1/12},
		{24, 24, 1.2, 0.95, 0.95 + 0.05/24},
		// 19 and 30 have 30: one and with even odds another.
		{19, 30, 1.5, 0, 0.5 + 0.5/2},
		{11, 50, 2.5, 0, 0.5/2 + 0.5/3},
		{14, 50, 2.5, 0, 0.75/2 + 0.25/4},
	} {
		b.Cogs = []Wheel{{Sprocket: sprocket(c.n1)}, {Sprocket: sprocket(c.n2)}}
		for _, way := range [][2]int{{0, 1}, {1, 0}} {
			s := b.crossing(way[0], way[1])
			assert.Equal(t, way, [2]int{s.From, s.To})
			assert.Equal(t, c.n2, s.Of)
			assert.InDelta(t, c.places, s.Places, 1e-12, "%+v", c)
			assert.InDelta(t, 18, s.Degree, 1e-12)
			assert.InDelta(t, c.never, s.Never, 1e-12, "%+v", c)
			assert.InDelta(t, c.wait, s.Delay, 1e-12, "%+v", c)
		}
	}
	// Gates stand in the place of all that, where the larger cog has some.
	for _, c := range []struct {
		each  []int
		gated bool
	}{{[]int{0, 5}, true}, {[]int{5, 0}, false}, {[]int{5}, false}, {nil, false}, {[]int{0, 1}, true}} {
		b.Gates = Gates{Each: c.each}
		s := b.crossing(0, 1)
		if c.gated {
			n := float64(c.each[1])
			assert.Equal(t, [3]float64{n, n * 7.2, 1 / (2 * n)}, [3]float64{s.Places, s.Degree, s.Delay})
			assert.Zero(t, s.Never)
		} else {
			assert.InDelta(t, 2.5, s.Places, 1e-12)
		}
	}
}

// How far past the next cog's plane its teeth reach into an outer link, by hand, for a run of
// round numbers: the strand comes under the tips at s before the tangent point.
func TestCaughtByHand(t *testing.T) {
	b := trail()
	b.Cogs = []Wheel{{sprocket(20), 50}, {sprocket(24), 46}}
	b.Cogs[1].Tooth = engage.Tooth{Tip: 0.8, Full: 1.8, Relief: 0.3}
	r := handRun()
	r.free = 100
	low := Pitch/(2*math.Sin(math.Pi/20)) - 4
	rim := Pitch/(2*math.Sin(math.Pi/24)) + 2.3
	s := math.Sqrt(rim*rim - low*low)
	plain := 4 - ((4.0-0.8)/2 + 0.4)
	assert.InDelta(t, 0.8+0.5+(plain-0.5)*100/s-4, b.caught(&r, 0), 1e-9)
	b.Gates = Gates{Each: []int{0, 0}, Depth: 0.4}
	assert.InDelta(t, 0.8+0.5+(plain-0.5)*100/s-4, b.caught(&r, 0), 1e-9, "no gates there")
	b.Gates.Each = []int{0, 3}
	gated := 4 - (2.6 + 0.9 + 0.4)
	assert.InDelta(t, 0.8+gated-4, b.caught(&r, 0), 1e-9, "beside the teeth already")
	b.Gates.Depth = -9
	assert.InDelta(t, 0.8+0.5+(plain-0.5)*100/s-4, b.caught(&r, 0), 1e-9, "teeth catch it before so shy a gate")
	b.Gates = Gates{}
	b.Cogs[1].Sprocket = sprocket(9) // its tips lie below the strand
	assert.False(t, math.IsNaN(b.caught(&r, 0)))
}

// The top run reaches the arriving links where what friction holds ends before them: by
// N·sin(bend)/(2πμ) links of those that are seated, to its side.
func TestLeaningByHand(t *testing.T) {
	r := handRun()
	at := func(seat, bend, across, pull, teeth, wrap float64) float64 {
		l := &Loop{}
		l.teeth[AtCog], l.Wraps[AtCog] = teeth, wrap
		y := laid{loop: l, top: Span{Bend: bend, Across: across}}
		y.pulls.Top[Riding] = pull
		return y.leans(&r, &Free{Seat: seat})
	}
	half := math.Pi
	bend := math.Asin(0.1)
	mu := 0.1 * 20 / (2 * math.Pi * 9) // 9 links are held: all but one of the 10 on the cog
	assert.Equal(t, 0.5, at(mu*0.999, bend, 3, 400, 20, half))
	assert.Equal(t, -0.5, at(mu*0.999, bend, -3, 400, 20, half))
	assert.Zero(t, at(mu*1.001, bend, 3, 400, 20, half))
	assert.Zero(t, at(0, bend, 3, 400, 20, half), "without friction nothing is said")
	assert.Zero(t, at(mu*0.5, bend, 3, 0, 20, half), "without a pull there is none")
	assert.Equal(t, 0.5, at(mu*0.5, bend, 3, 1e-9, 20, half), "how hard it pulls is no matter")
}

// A bent hanger puts its share into every step: that of the cog the step goes to, with its sign
// inboard and against it outboard; lean is in the step both ways, against each other.
func TestStepsTakeHangerAndLean(t *testing.T) {
	straight, bent := trail(), trail()
	bent.Tensioner.Hanger = Hanger{Lean: 0.03, Toe: 0.02}
	for _, seat := range []float64{0.1, 1e-4} {
		f := &Free{Seat: seat, Allowance: 0.3, Spread: 0.05}
		n := 2 * (len(bent.Cogs) - 1)
		was, is := make([]Shift, n), make([]Shift, n)
		var o Odds
		require.NoError(t, o.Shifts(was, straight, f, 0, 116))
		require.NoError(t, o.Shifts(is, bent, f, 0, 116))
		for i := range is {
			x, z := bent.guideCentre(is[i].To)
			off := bent.hangerOff(x, z)
			if is[i].To < is[i].From {
				off = -off
			}
			// The bent guide span's length differs by nothing: the side view is the same.
			assert.InDelta(t, off, is[i].Past-was[i].Past, 1e-9, "step %d", i)
			y := laid{}
			var l Loop
			require.NoError(t, y.lay(bent, &l, 0, is[i].From, 116, &near{}))
			r := bent.runOnto(is[i].From, y.guide.Length, 0)
			lean, past := y.leans(&r, f), 0.0
			own, to := &bent.Cogs[is[i].From], &bent.Cogs[is[i].To]
			if is[i].To > is[i].From {
				lean, past = -lean, bent.caught(&r, is[i].From)
			} else {
				past = r.leaves(0.3) - (to.Line - own.Line)
			}
			assert.Equal(t, lean, is[i].Lean)
			assert.InDelta(t, past+off-lean, is[i].Past, 1e-9)
		}
	}
}

// What there is to index: a tensioner and two cogs.
func TestTwoCogsAreIndexed(t *testing.T) {
	var e Evaluator
	for cogs, want := range map[int]bool{1: false, 2: true} {
		b := trail()
		b.Cogs = b.Cogs[:cogs]
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		w := ShiftWorst{Common: 7}
		require.NoError(t, e.OutcomeShifts(new(Outcome), &w, b, links))
		assert.Equal(t, want, w.Valid)
		if !want {
			assert.Equal(t, ShiftWorst{}, w)
		}
	}
	b := trail()
	b.CogRoom, b.Chain.Seat, b.Cogs[0].Allowance, b.Cogs[1].Allowance = 0.7, 0.2, 0.4, 0.1
	assert.Equal(t, Free{Seat: 0.2, Allowance: 0.4, Room: 0.7}, b.defaultFree())
	b.Tensioner.Gap = [2]float64{6, -40}
	var w ShiftWorst
	require.ErrorIs(t, e.OutcomeShifts(new(Outcome), &w, b, 116), ErrOverlap)
	assert.Equal(t, ShiftWorst{}, w)
}

// What a straight strand's gap surely is at least, by hand: lines apart, less half of chain and
// teeth, less the drift towards the neighbour until the plates leave its tips.
func TestStraightLeastByHand(t *testing.T) {
	b := trail()
	own, next := &Wheel{sprocket(20), 50}, &Wheel{sprocket(24), 46}
	low := own.PitchRadius(Pitch) - 4
	rim := next.PitchRadius(Pitch) + 2.3
	reach := math.Sqrt(rim*rim - low*low)
	assert.InDelta(t, 4-2.6-0.8, (&beside{own: own, next: next, drift: 0}).straightLeast(&b.Chain), 1e-12)
	assert.InDelta(t, 4-2.6-0.8, (&beside{own: own, next: next, drift: 0.05}).straightLeast(&b.Chain), 1e-12, "away from it")
	assert.InDelta(t, 4-2.6-0.8-0.05*reach, (&beside{own: own, next: next, drift: -0.05}).straightLeast(&b.Chain), 1e-12)
	assert.InDelta(t, 4-2.6-0.8-0.05*reach, (&beside{own: &Wheel{sprocket(20), 46}, next: &Wheel{sprocket(24), 50}, drift: 0.05}).straightLeast(&b.Chain), 1e-12)
	assert.InDelta(t, 4-2.6-0.8, (&beside{own: own, next: &Wheel{sprocket(10), 46}, drift: -0.05}).straightLeast(&b.Chain), 1e-12, "its tips lie below the plates")
}

// A loop's cage angle by hand, and that there is none without a tensioner.
func TestCageAngleByHand(t *testing.T) {
	l := Loop{N: 4}
	l.Wheels[AtGuide].Centre.X, l.Wheels[AtTension].Centre.X = 10, 10+30
	l.Wheels[AtGuide].Centre.Y, l.Wheels[AtTension].Centre.Y = -50, -50-40
	assert.InDelta(t, math.Atan(0.75), l.cageAngle(), 1e-12)
	l.Wheels[AtTension].Centre.X = 10 - 30
	assert.InDelta(t, -math.Atan(0.75), l.cageAngle(), 1e-12)
	l.N = 2
	assert.Zero(t, l.cageAngle())
	// A wheel's chain: its teeth by the share of a turn; a span in space by both of its ends.
	l = Loop{N: 2, pitch: 12, Line: [NumParts]float64{40, 45}}
	l.teeth[AtCog], l.Wraps[AtCog] = 18, math.Pi
	l.Spans[Top] = geom.Span{Length: 12}
	assert.InDelta(t, 9, l.Seat(AtCog), 1e-12)
	assert.InDelta(t, 13./12, l.SpanPitches(Top), 1e-12, "5, 12, 13")
	assert.InDelta(t, 9+13./12, l.part(int(AtCog)), 1e-12)
}

// The kernel's numbers of an idler, of pushed cogs and of a tube beside every run are those of
// the full evaluation too, for whole bikes and one after the other.
func TestOutcomeOfEveryLayout(t *testing.T) {
	tabled, exact := &Evaluator{}, &Evaluator{Exact: true}
	for _, held := range []bool{false, true} {
		for _, line := range []float64{42, 60} {
			for _, diameter := range []float64{0, 16, 30} {
				for _, links := range []int{0, 118} {
					b := highPivot()
					b.Idler.Held, b.Idler.Line = held, line
					b.Idler.Z = 60 + 2*line
					b.Stay.Diameter, b.Stay.Face = diameter, 30
					b.Tyre.Dish = 0.1 * line
					b.Chain.Links = links
					if b.Validate() == nil {
						checkOutcome(t, b, tabled, exact)
					}
				}
			}
		}
	}
	for _, d := range []Drive{Fixed, Coaster} {
		for _, line := range []float64{30, 44, 60} {
			b := pushed(d)
			b.Rings[0].Line = line
			b.Stay = &Stay{Face: 30, Radius: 80, Angle: 0.03, Flex: 1, Diameter: 18}
			checkOutcome(t, b, tabled, exact)
		}
	}
}
