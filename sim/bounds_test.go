package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
	"chainpath/sim/engage"
)

// What a bike is told of at the bound itself, where two dimensions are just alike: which of them
// go and which do not, with the numbers in the message.
func TestValidateAtTheBoundItself(t *testing.T) {
	for _, c := range []struct {
		problem string // "": it goes
		change  func(b *Bike)
	}{
		{"stay 45 mm, want more than the drop 45 mm", func(b *Bike) { b.Frame.Stay = 45 }},
		{"stay 45 mm, want more than the drop -45 mm", func(b *Bike) { b.Frame.Stay, b.Frame.Drop = 45, -45 }},
		{"32-tooth chainring and cog of 51 teeth meet on a stay of", func(b *Bike) {
			b.Frame.Drop = 0
			b.Frame.Stay = sprocket(32).TipRadius(Pitch) + sprocket(51).TipRadius(Pitch)
		}},
		{"rings of 31 and 31 teeth, want the smallest first", func(b *Bike) { b.Rings = []Wheel{{sprocket(31), 45}, {sprocket(31), 52}} }},
		{"rings of 31 and 32 teeth, want the smallest first", func(b *Bike) { b.Rings = []Wheel{{sprocket(31), 45}, {sprocket(32), 45}} }},
		{"cogs of 12 and 12 teeth", func(b *Bike) { b.Cogs[2].Teeth = 12 }},
		{"cogs of 12 and 14 teeth", func(b *Bike) { b.Cogs[2].Line = b.Cogs[1].Line }},
		{"cogs of 42 and 51 teeth", func(b *Bike) { b.Cogs[11].Line = b.Cogs[10].Line }},
		{"from 3 to 3 mm behind the chainring, want some length", func(b *Bike) { b.FrontCage = &FrontCage{From: 3, To: 3, Places: []float64{50}} }},
		{"no place, want at least one", func(b *Bike) { b.FrontCage = &FrontCage{From: 1, To: 3} }},
		{"places 50 and 50 mm, want each further outboard", func(b *Bike) { b.FrontCage = &FrontCage{From: 1, To: 3, Places: []float64{48, 50, 50}} }},
		{"cage stops 10.0° and 10.0°", func(b *Bike) { b.Tensioner.Folded, b.Tensioner.Stretched = Radians(10), Radians(10) }},
		{"its pulleys meet", func(b *Bike) {
			b.Tensioner.Cage = sprocket(12).TipRadius(Pitch) + sprocket(14).TipRadius(Pitch)
		}},
		{"cage spring 0 N·mm with 0 N·mm/rad", func(b *Bike) { b.Tensioner.Spring, b.Tensioner.SpringRate = 0, 0 }},
		{"falls to nothing", func(b *Bike) { b.Tensioner.Folded, b.Tensioner.Spring, b.Tensioner.SpringRate = -1, 250, 250 }},
		{"falls to nothing", func(b *Bike) { b.Tensioner.Stretched, b.Tensioner.Spring, b.Tensioner.SpringRate = 1, 250, -250 }},
		{"width inside outer plates 2.18 mm", func(b *Bike) { b.Chain.OuterWidth = 2.18 }},
		{"pin 0 mm", func(b *Bike) { b.Chain.Pin = 0 }},
		{"pin 8 mm", func(b *Bike) { b.Chain.Pin = 8 }},
		{"", func(b *Bike) { b.Chain.Proud = 0 }},
		{"", func(b *Bike) { b.Chain.Width = b.Chain.OuterWidth }},
		{"ring of 32 teeth: tip height 0 mm", func(b *Bike) { b.Rings[0].TipHeight = 0 }},
		{"cog of 14 teeth: tooth 0 mm at the tip and 1.6 mm in full", func(b *Bike) { b.Cogs[2].Tooth.Tip = 0 }},
		{"", func(b *Bike) { b.Cogs[2].Tooth.Tip = 1.6 }},
		{"cog of 14 teeth: side relief 0.0°", func(b *Bike) { b.Cogs[2].Tooth.Relief = 0 }},
		{"side relief 90.0°", func(b *Bike) { b.Cogs[2].Tooth.Relief = math.Pi / 2 }},
		{"tooth 2.18 mm thick does not fit between inner plates 2.18 mm apart", func(b *Bike) { b.Cogs[2].Tooth.Full = 2.18 }},
		{"tooth 4 mm thick does not fit between outer plates 4 mm apart", func(b *Bike) {
			b.Rings[0].Wide = engage.Tooth{Tip: 1, Full: 4, Relief: 0.3}
		}},
		{"rings 1, cogs 12", func(b *Bike) { b.Tensioner = nil }},
		{"4 chainrings, want 1 to 3", func(b *Bike) { b.Rings = make([]Wheel, 4) }},
		{"", func(b *Bike) { b.Chain.Links = 116 }},
		{"", func(b *Bike) { b.Chain.Links, b.Chain.HalfLink = 117, true }},
		{"116 links is even, want an odd number with a half link", func(b *Bike) { b.Chain.Links, b.Chain.HalfLink = 116, true }},
		{"fixed beside a tensioner", func(b *Bike) { b.Drive = Fixed }},
		{"coaster beside a tensioner", func(b *Bike) { b.Drive = Coaster }},
	} {
		b := trail()
		c.change(b)
		if c.problem == "" {
			assert.NoError(t, b.Validate())
			continue
		}
		err := b.Validate()
		require.ErrorIs(t, err, ErrBike, c.problem)
		assert.ErrorContains(t, err, c.problem)
	}
	for _, d := range []Drive{Fixed, Coaster} {
		assert.NoError(t, pushed(d).Validate())
	}
}

// The middle of a ring set and of a cluster, to a picometre.
func TestLinesAreRoundedToAPicometre(t *testing.T) {
	b := double()
	b.Rings[0].Line, b.Rings[1].Line = 41.2, 48.7000000004
	assert.Equal(t, 44.95, b.FrontLine())
	b.Rings[1].Line = 48.700000004
	assert.Equal(t, 44.950000002, b.FrontLine())
	b.Cogs[0].Line, b.Cogs[len(b.Cogs)-1].Line = 60.1+1e-10, 30.2
	assert.Equal(t, 45.15, b.RearLine())
	b.Rings = b.Rings[:1]
	b.Rings[0].Line = 0.1 + 0.2
	assert.Equal(t, 0.3, b.FrontLine())
}

// A straight run leads to no wall and off no wheel, beside whatever cogs and rings.
func TestAStraightRunLeadsToNoWall(t *testing.T) {
	b := double()
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Spread: 0.05, Allowance: 0.3, DropByBend: true, DropBend: 0.05, DropSoft: 0.01}
	o := Odds{Sizes: make([]Sizes, 1)}
	for cog := range b.Cogs {
		p, past := o.dropAtCog(b, f, cog, &Span{Length: 400}, 0, nil)
		assert.Zero(t, p)
		assert.True(t, past < 0 && past > -walled, "how far from leaving, beside no wall: %g", past)
	}
	p, past := b.dropAtRing(f, 0, &Span{Length: 400}, 400, engage.Driven, nil)
	assert.Zero(t, p)
	assert.True(t, past < 0 && past > -walled)
	p, _ = o.dropAtCog(b, f, 1, &Span{Length: 400}, 1, nil)
	assert.InDelta(t, logistic(-5), p, 1e-12, "by the bend alone the straight run has its chance too")
}

// Every wheel that chain arrives on has a place of its own, over all gears, and always the same.
func TestPlacesAreThoseOfWheels(t *testing.T) {
	b := double()
	b.Idler = highPivot().Idler
	b.Idler.Z = 190
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	wheel, place := map[int]*Sprocket{}, map[*Sprocket]int{}
	for ring := range b.Rings {
		for cog := range b.Cogs {
			var y laid
			var l Loop
			require.NoError(t, y.lay(b, &l, ring, cog, links, &near{}))
			arrivals, neighbours := y.all()
			for _, a := range arrivals {
				if w, known := wheel[a.place]; known {
					assert.Same(t, w, a.wheel, "place %d", a.place)
				}
				if p, known := place[a.wheel]; known {
					assert.Equal(t, p, a.place)
				}
				wheel[a.place], place[a.wheel] = a.wheel, a.place
				assert.Equal(t, l.Spans[a.span].Length, y.length(&a))
			}
			for _, n := range neighbours {
				if n.kind == toCog {
					assert.Equal(t, cog, n.place)
				} else {
					assert.Equal(t, len(b.Cogs)+ring, n.place)
				}
			}
		}
	}
	assert.Len(t, wheel, len(b.Rings)+len(b.Cogs)+3)
}

// What a pair of gaps keeps is the smaller of those that there are.
func TestTheSmallerGapIsKept(t *testing.T) {
	var g Gap
	g.keepMin(Gap{MM: -9})
	assert.Equal(t, Gap{}, g)
	g.keepMin(Gap{Valid: true, MM: 4, At: 1})
	g.keepMin(Gap{Valid: true, MM: 4, At: 2})
	assert.Equal(t, 1.0, g.At, "the first of two alike")
	g.keepMin(Gap{Valid: true, MM: 3, At: 3})
	g.keepMin(Gap{MM: -1})
	assert.Equal(t, Gap{Valid: true, MM: 3, At: 3}, g)
	var x Extreme
	x.keepMax(-2, 1, 2, AtRing)
	x.keepMax(-2, 3, 4, AtCog)
	x.keepMax(-3, 3, 4, AtCog)
	assert.Equal(t, Extreme{true, -2, 1, 2, AtRing}, x)
	x.keepMin(-2, 5, 6, AtCog)
	assert.Equal(t, 1, x.Ring)
	x.keepMin(-2.5, 5, 6, AtCog)
	assert.Equal(t, Extreme{true, -2.5, 5, 6, AtCog}, x)
	assert.Equal(t, 3.0, Clearances{RingStay: Gap{Valid: true, MM: 5}, ChainStay: Gap{Valid: true, MM: 3}}.Stay().MM)
}

// A chain that lies outboard of its neighbour is on side +1, on the same plane too.
func TestSideOfANeighbour(t *testing.T) {
	for _, c := range []struct {
		own, next float64
		want      int
	}{{45, 41, 1}, {41, 45, -1}, {45, 45, 1}} {
		assert.Equal(t, c.want, (&neighbour{own: Wheel{Line: c.own}, next: Wheel{Line: c.next}}).side())
	}
	n := beside{own: &Wheel{Line: 45}, next: &Wheel{Line: 41}, drift: -0.02, pulls: [2]float64{300, 8}}
	assert.Equal(t, 300.0, n.hardest())
	n.own, n.next, n.pulls = n.next, n.own, [2]float64{3, 9}
	assert.Equal(t, 9.0, n.hardest())
}

// Room is put onto the gap of a straight strand too, whichever way the links fall, and the
// bowed strand comes no nearer than the straight one.
func TestRoomIsPutOntoEveryGap(t *testing.T) {
	b := trail()
	own, next := &b.Cogs[6], &b.Cogs[7]
	var s solver
	for _, drift := range []float64{0, -0.02, 0.02} {
		gap := func(room float64) float64 {
			n := beside{own: own, next: next, drift: drift}
			x := n.strand(&b.Chain, room)
			g, err := x.bowed(&s, 20)
			require.NoError(t, err)
			require.True(t, g.Valid)
			return g.MM
		}
		n := beside{own: own, next: next, drift: drift}
		x := n.strand(&b.Chain, 0)
		assert.InDelta(t, 0.7, gap(0.7)-gap(0), 1e-12)
		assert.InDelta(t, -0.4, gap(-0.4)-gap(0), 1e-12)
		assert.GreaterOrEqual(t, gap(0), x.straight().MM-1e-12)
	}
	// Level with its own cog: lines apart, less half of both widths where both are full.
	x := (&beside{own: own, next: next}).strand(&b.Chain, 0)
	apart := own.Line - next.Line
	plates := apart - (b.Chain.Width-2*b.Chain.Proud)/2 - next.Thickness()/2
	rivets := apart - b.Chain.Width/2 - next.Thickness()/2
	assert.LessOrEqual(t, rivets-1e-12, x.straight().MM)
	assert.LessOrEqual(t, x.straight().MM, plates+1e-12)
}

// The nearer of the runs to the tyre, kept from run to run: a gap that is smaller already stays.
func TestTheNearerRunToTheTyreIsKept(t *testing.T) {
	b := highPivot()
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	var l Loop
	_, err = b.Close(&l, 0, 11, links)
	require.NoError(t, err)
	g := b.tyreGap(&l)
	smaller, larger := Gap{Valid: true, MM: g.MM - 1, At: 7}, Gap{Valid: true, MM: g.MM + 1, At: 7}
	assert.False(t, b.nearerTyre(&l, &smaller, Top, Bottom, Lead))
	assert.Equal(t, 7.0, smaller.At)
	assert.True(t, b.nearerTyre(&l, &larger, Top, Bottom, Lead))
	assert.Equal(t, g, larger)
	// By points along the runs: the torus' own distance, less the mud.
	minor := b.Tyre.Width / 2
	major := b.Tyre.OutsideDiameter()/2 - minor
	least, at := math.Inf(1), 0.0
	for _, i := range []int{Top, Bottom, Lead} {
		s := l.Spans[i]
		for k := range 4001 {
			u := s.Length * float64(k) / 4000
			y := l.Line[i] + l.side(i)*u/s.Length - b.Chain.Width/2
			for _, up := range []float64{-b.Chain.PlateHalfHeight, 0, b.Chain.PlateHalfHeight} {
				p := r2.Add(r2.Add(s.From, r2.Scale(u, s.Dir)), r2.Scale(up, r2.Vec{X: -s.Dir.Y, Y: s.Dir.X}))
				if d := math.Hypot(r2.Norm(r2.Sub(p, l.Wheels[AtCog].Centre))-major, y-b.Tyre.Dish) - minor - b.Tyre.Mud; d < least {
					least, at = d, -p.X
				}
			}
		}
	}
	assert.InDelta(t, least, g.MM, 1e-3)
	assert.InDelta(t, at, g.At, 8, "within the chain's height of where it is")
}

// A strip beside the axle, by hand: its height over the axle, what it lies at across above the
// axle, and travel away from it whichever way it is laid.
func TestStripBesideTheAxle(t *testing.T) {
	axle := r2.Vec{X: -400, Y: 30}
	s := stripBeside(axle, r2.Vec{X: -380, Y: 70}, r2.Vec{X: 1}, 300, 4, 50, 0.01)
	assert.Equal(t, geom.Strip{Height: 40, Half: 4, Start: 50 - 0.2, Drift: 0.01, From: 20, To: 320}, s)
	back := stripBeside(axle, r2.Vec{X: -80, Y: 70}, r2.Vec{X: -1}, 300, 4, 53, -0.01)
	assert.InDelta(t, s.Start, back.Start, 1e-12)
	back.Start = s.Start
	assert.Equal(t, s, back)
	// One that the axle is in the middle of is left as it is laid.
	mid := stripBeside(axle, r2.Vec{X: -450, Y: 70}, r2.Vec{X: 1}, 100, 4, 50, 0.01)
	assert.Equal(t, [2]float64{-50, 50}, [2]float64{mid.From, mid.To})
	assert.Equal(t, 0.01, mid.Drift)
}

// A cage that hangs straight down from a small tyre is nearest with its round upper end, by hand: the
// boxes that fill it reach 0.92 of its radius towards the axle; one that hangs up from a large wheel's
// side with its lower.
func TestRoundEndsOfACage(t *testing.T) {
	b := trail()
	b.Tensioner.Width, b.Tensioner.Tension.Teeth = 12, 11
	b.Tyre = &Tyre{BeadSeat: 60, Section: 30, Width: 20, Dish: 1}
	half := plateHeight * b.Tensioner.Tension.TipRadius(Pitch)
	down := cageAt(r2.Vec{Y: -100}, r2.Vec{Y: -190}, 1+6)
	assert.InDelta(t, 100-0.92*half-60, b.cageGap(down).MM, 1e-9)
	up := cageAt(r2.Vec{Y: -190}, r2.Vec{Y: -100}, 1+b.Chain.Width/2)
	pulley := up.Wheels[AtTension].Radius + b.Chain.PlateHalfHeight
	assert.InDelta(t, 100-0.92*pulley-60, b.cageGap(up).MM, 0.1, "the pulley with the chain on it")
}
