package sim

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
	"chainpath/sim/engage"
)

// Where something goes wrong nothing is answered beside the error: no length, angle, limit or gap.
func TestNothingIsAnsweredBesideAnError(t *testing.T) {
	b := trail()
	b.Tensioner.Cage = 30 // its pulleys overlap
	var l Loop
	require.NoError(t, b.lay(&l, 0, 6))
	c := cageRoot{loop: &l, cage: 30, fixed: l.topPitches()}
	n, slope, err := c.at(0.3)
	require.ErrorIs(t, err, ErrOverlap)
	assert.Equal(t, [2]float64{}, [2]float64{n, slope})
	guide := l.Wheels[AtGuide].Centre // from there a cage so long that its pulley stands in the chainring
	into := cageRoot{loop: &l, cage: math.Hypot(guide.X, guide.Y), fixed: c.fixed}
	n, slope, err = into.at(math.Atan2(-guide.X, guide.Y))
	require.ErrorIs(t, err, ErrOverlap)
	assert.Equal(t, [2]float64{}, [2]float64{n, slope})
	angle, ok, err := c.follow(0.3, -1, 1, 110)
	require.ErrorIs(t, err, ErrOverlap)
	assert.False(t, ok)
	assert.Zero(t, angle)
	fit, err := c.find(-1, 1, 110, false)
	require.ErrorIs(t, err, ErrOverlap)
	assert.Equal(t, Fit{}, fit)
	links, err := b.ChooseLinks()
	require.ErrorIs(t, err, ErrOverlap)
	assert.Zero(t, links)

	away := trail()
	away.Tensioner.Gap = [2]float64{-60, -60}
	links, err = away.ChooseLinks()
	require.ErrorIs(t, err, ErrOverlap)
	assert.Zero(t, links)

	s := single()
	s.Frame = Frame{Stay: 52, Drop: 10}
	n, err = s.slotLength(&l, 0, 0, 52)
	require.ErrorIs(t, err, ErrOverlap)
	assert.Zero(t, n)
	links, err = s.ChooseLinks()
	require.ErrorIs(t, err, ErrOverlap)
	assert.Zero(t, links)
	s.Idler = &Idler{Wheel: Wheel{sprocket(16), 44}, X: -30, Z: 20}
	n, err = s.slotLength(&l, 0, 0, 410)
	require.ErrorIs(t, err, ErrOverlap, "the idler stands in the ring")
	assert.Zero(t, n)

}

// An idler keeps clear of the largest ring and cog on every side: a hair farther than both tips it
// goes, a hair nearer not, with both lengths told.
func TestAnIdlerKeepsClear(t *testing.T) {
	b := highPivot()
	tip := sprocket(16).TipRadius(Pitch)
	x, z := b.Frame.Axle()
	for _, w := range []struct {
		name  string
		teeth int
		x, z  float64
	}{{"chainring", 32, 0, 0}, {"cog", 51, x, z}} {
		clear := tip + sprocket(w.teeth).TipRadius(Pitch)
		for _, angle := range []float64{0.4, 1.3, 2.5, 3.6, 5.1} {
			at := func(away float64) error {
				b.Idler.X, b.Idler.Z = w.x+away*math.Cos(angle), w.z+away*math.Sin(angle)
				return b.Validate()
			}
			assert.NoError(t, at(clear+1e-6), "%s at %g rad", w.name, angle)
			err := at(clear - 1e-6)
			require.ErrorIs(t, err, ErrBike)
			assert.ErrorContains(t, err, fmt.Sprintf("its teeth hit the %d-tooth %s, whose centre is", w.teeth, w.name))
		}
	}
	b.Idler.X, b.Idler.Z = 0, 60
	assert.ErrorContains(t, b.Validate(), "its teeth hit the 32-tooth chainring, whose centre is 60.0 mm away, want more than 101.9 mm")
	two := double()
	two.Idler = &Idler{Wheel: Wheel{sprocket(16), 49}, X: 0, Z: sprocket(40).TipRadius(Pitch) + tip}
	assert.ErrorContains(t, two.Validate(), "46-tooth chainring", "the largest one")
}

// A gap to a neighbour is looked at as closely as it matters: one surely beyond is what it is at
// least, for ranks that of the straight strand where this is enough, else that of the bowed one.
func TestGapsAreMetAsCloselyAsTheyMatter(t *testing.T) {
	b := trail()
	own, next := &b.Cogs[6], &b.Cogs[7]
	n := beside{own: own, next: next, kind: toCog, drift: -0.03, pulls: [2]float64{400, 8}}
	strand := n.strand(&b.Chain, 0)
	straight, least := strand.straight().MM, (&beside{own: own, next: next, drift: -0.03}).straightLeast(&b.Chain)
	var o Odds
	hard := n.strand(&b.Chain, 0)
	bowed, err := hard.bowed(&o.s, 400)
	require.NoError(t, err)
	require.True(t, least < straight-1e-6 && straight < bowed.MM-1e-6 && bowed.MM < leastMeeting)
	for _, c := range []struct{ enough, want float64 }{
		{math.Inf(1), bowed.MM}, {straight, bowed.MM}, {math.Nextafter(straight, -9), straight}, {(least + straight) / 2, straight},
		{least, straight}, {math.Nextafter(least, -9), least}, {least - 1, least},
	} {
		g, err := o.meet(&n, &b.Chain, c.enough)
		require.NoError(t, err)
		assert.True(t, g.Valid)
		assert.InDelta(t, c.want, g.MM, 1e-12, "enough %v", c.enough)
	}
	far := &Wheel{next.Sprocket, own.Line - 9}
	n.next = far
	g, err := o.meet(&n, &b.Chain, math.Inf(1))
	require.NoError(t, err)
	assert.InDelta(t, (&beside{own: own, next: far, drift: -0.03}).straightLeast(&b.Chain), g.MM, 1e-12)
	assert.Greater(t, g.MM, leastMeeting)
}

// A strand whose middle line meets the tube's own says nothing of how far it is at least.
func TestAStrandInTheStay(t *testing.T) {
	b := trail()
	b.Stay = &Stay{Face: 30, Diameter: 20}
	l := Loop{N: 2, Line: [NumParts]float64{20, 20}}
	l.Spans[Top] = geom.Span{From: r2.Vec{X: -300}, To: r2.Vec{X: -100}, Dir: r2.Vec{X: 1}, Length: 200}
	tube := b.Stay.tube(r2.Vec{X: -400})
	assert.True(t, math.IsInf(b.strandStayLeast(&l, Top, tube), -1))
	l.Line = [NumParts]float64{20.5, 20.5}
	assert.InDelta(t, 0.5-b.Chain.Width/2-10, b.strandStayLeast(&l, Top, tube), 1e-9)
}

// What package engage cannot set up is handed on by every way into the engine.
func TestEngagesErrorsAreHandedOn(t *testing.T) {
	f := &Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Spread: 0.05, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1}
	b := double()
	b.Chain.Width = 7
	b.Chain.Slack = -1
	n := len(b.Rings) * len(b.Cogs)
	var o Odds
	for name, ask := range map[string]func() error{
		"chances":  func() error { return o.Gears(make([]Chances, n), b, f, 112) },
		"index":    func() error { return o.Index(make([]IndexWindow, n), b, f, 112) },
		"evaluate": func() error { _, err := b.Gear(0, 2, 112); return err },
	} {
		require.ErrorIs(t, ask(), engage.ErrEntry, name)
	}
}
