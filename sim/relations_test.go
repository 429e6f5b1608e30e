package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/engage"
)

// Every relation that a bike has to keep: good on one side of its bound and refused, with the
// part named, on the other.
func TestValidateAtBothSidesOfEveryBound(t *testing.T) {
	wide := engage.Tooth{Tip: 2.4, Full: 3.5, Relief: tooth.Relief}
	meet := sprocket(32).TipRadius(Pitch) + sprocket(51).TipRadius(Pitch)
	pulleys := sprocket(12).TipRadius(Pitch) + sprocket(14).TipRadius(Pitch)
	for _, c := range []struct {
		part   string
		change func(b *Bike, beyond float64) // 0: at the bound or just within, 1: beyond it
	}{
		{"frame.stay", func(b *Bike, x float64) { b.Frame.Drop = 434.999 + x }},
		{"frame.stay", func(b *Bike, x float64) { b.Frame.Drop = -434.999 - x }},
		{"frame.stay", func(b *Bike, x float64) {
			if x > 0 {
				b.Frame.Stay = math.Inf(1)
			}
		}},
		{"frame.stay", func(b *Bike, x float64) { b.Frame.Stay = meet + 1e-9 - x }},
		{"frame.stay", func(b *Bike, x float64) { b.Slot.Forward = b.Frame.Stay - meet - 1e-9 + x }},
		{"rings", func(b *Bike, x float64) { b.Rings[0].Teeth = 9 - int(x) }},
		{"rings", func(b *Bike, x float64) { b.Rings[0].TipHeight = 1e-9 - x }},
		{"rings", func(b *Bike, x float64) { b.Rings[0].Wide, b.Rings[0].Teeth = wide, 32-int(x) }},
		{"rings", func(b *Bike, x float64) { b.Rings[0].Wide = wide; b.Chain.OuterWidth = 3.5001 - 0.01*x }},
		{"cogs", func(b *Bike, x float64) { b.Cogs[3].Tooth.Tip = 1.6 + 0.01*x }},
		{"cogs", func(b *Bike, x float64) { b.Cogs[3].Tooth.Tip = 1e-9 - x }},
		{"cogs", func(b *Bike, x float64) { b.Cogs[3].Tooth.Relief = 1e-9 - x }},
		{"cogs", func(b *Bike, x float64) { b.Cogs[3].Tooth.Relief = math.Pi/2 - 1e-9 + x }},
		{"cogs", func(b *Bike, x float64) { b.Cogs[3].Tooth.Full = 2.1799 + 0.01*x }},
		{"cogs", func(b *Bike, x float64) { b.Cogs[1].Teeth = 11 - int(x) }},
		{"cogs", func(b *Bike, x float64) { b.Cogs[1].Line = b.Cogs[0].Line - 1e-9 + x }},
		{"cogs", func(b *Bike, x float64) {
			if x > 0 {
				b.Cogs = nil
			}
		}},
		{"tensioner.guide", func(b *Bike, x float64) { b.Tensioner.Guide.Teeth = 9 - int(x) }},
		{"tensioner.tension", func(b *Bike, x float64) { b.Tensioner.Tension.Teeth = 9 - int(x) }},
		{"tensioner.stops", func(b *Bike, x float64) { b.Tensioner.Folded = b.Tensioner.Stretched - 1e-9 + x }},
		{"tensioner.cage", func(b *Bike, x float64) { b.Tensioner.Cage = pulleys + 1e-9 - x }},
		{"tensioner.spring", func(b *Bike, x float64) { b.Tensioner.Spring, b.Tensioner.SpringRate = 1e-9-x, 0 }},
		{"tensioner.spring", func(b *Bike, x float64) {
			b.Tensioner.SpringRate = -b.Tensioner.Spring/b.Tensioner.Stretched + 1e-9 - x
		}},
		{"tensioner.spring", func(b *Bike, x float64) { b.Tensioner.SpringRate = -b.Tensioner.Spring/b.Tensioner.Folded - 1e-9 + x }},
		{"chain.links", func(b *Bike, x float64) { b.Chain.Links = 116 + int(x) }},
		{"chain.links", func(b *Bike, x float64) { b.Chain.Links, b.Chain.HalfLink = 115+int(x), true }},
		{"chain.outer_width", func(b *Bike, x float64) { b.Chain.OuterWidth = 2.18 + 1e-9 - 0.1*x }},
		{"chain.pin", func(b *Bike, x float64) { b.Chain.Pin = 1e-9 - x }},
		{"chain.pin", func(b *Bike, x float64) { b.Chain.Pin = 8 - 1e-9 + x }},
		{"chain.pin", func(b *Bike, x float64) { b.Chain.Proud = -x }},
		{"chain.width", func(b *Bike, x float64) { b.Chain.Width = 4 - x }},
		{"front.cage", func(b *Bike, x float64) { b.FrontCage = &FrontCage{From: 1, To: 1 + 1e-9 - x, Places: []float64{50}} }},
		{"front.cage", func(b *Bike, x float64) {
			b.FrontCage = &FrontCage{From: 1, To: 2, Places: []float64{50, 50 + 1e-9 - x}}
		}},
		{"front.cage", func(b *Bike, x float64) { b.FrontCage = &FrontCage{From: 1, To: 2, Places: make([]float64, 1-int(x))} }},
		{"tensioner", func(b *Bike, x float64) {
			b.Tensioner, b.Cogs, b.Slot = nil, b.Cogs[:1+int(x)], Slot{20, 20}
		}},
		{"rings", func(b *Bike, x float64) {
			b.Rings = nil
			for i := range 3 + int(x) {
				b.Rings = append(b.Rings, Wheel{sprocket(20 + i), 40 + float64(i)})
			}
		}},
		{"rings", func(b *Bike, x float64) { b.Rings = []Wheel{{sprocket(31), 45}, {sprocket(32 - int(x)), 52}} }},
		{"rings", func(b *Bike, x float64) { b.Rings = []Wheel{{sprocket(31), 45}, {sprocket(32), 45 + 1e-9 - x}} }},
		{"tensioner", func(b *Bike, x float64) {
			b.Cogs, b.Slot = b.Cogs[:1], Slot{20, 20}
			if x > 0 {
				b.Tensioner, b.Rings = nil, []Wheel{{sprocket(22), 45}, {sprocket(32), 52}}
			}
		}},
	} {
		b := trail()
		c.change(b, 0)
		assert.NoError(t, b.Validate(), c.part)
		b = trail()
		c.change(b, 1)
		err := b.Validate()
		var e *BikeError
		require.ErrorAs(t, err, &e, c.part)
		assert.ErrorIs(t, err, ErrBike)
		assert.Equal(t, c.part, e.Part, e.Problem)
	}
	assert.Equal(t, 180.0, Degrees(math.Pi))
	assert.InDelta(t, math.Pi/6, Radians(30), 1e-15)
}

// Chain lengths: the least even count that is at least so many pitches, odd with a half link;
// missing pitches as links that can be added.
func TestWholeLinkCounts(t *testing.T) {
	for _, c := range []struct {
		n    float64
		half bool
		want int
	}{{110, false, 110}, {110.2, false, 112}, {109.3, false, 110}, {111, false, 112}, {110 + 1e-10, false, 110}, {110 + 1e-6, false, 112}, {110, true, 111}, {111, true, 111}, {111.1, true, 113}, {110.1, true, 111}} {
		b := trail()
		b.Chain.HalfLink = c.half
		assert.Equal(t, c.want, b.evenUp(c.n), "%+v", c)
	}
	for _, c := range []struct {
		missing float64
		half    bool
		want    int
	}{{0.1, false, 2}, {2, false, 2}, {2 + 1e-10, false, 2}, {2.1, false, 4}, {3, false, 4}, {0.1, true, 1}, {1, true, 1}, {1.1, true, 2}, {2.5, true, 3}} {
		assert.Equal(t, c.want, wholeLinks(c.missing, c.half), "%+v", c)
	}
}

// With a slot the chosen count puts the axle nearest to the stated stay, for stays all the way
// between two counts.
func TestChosenLinksPutTheAxleNearest(t *testing.T) {
	b := single()
	b.Slot = Slot{Forward: 30, Back: 30}
	ups, downs := 0, 0
	for stay := 400.0; stay < 426; stay += 0.37 {
		b.Frame.Stay = stay
		n, err := b.ChooseLinks()
		require.NoError(t, err)
		off := func(links int) float64 {
			var l Loop
			fit, err := b.Close(&l, 0, 0, links)
			require.NoError(t, err)
			require.True(t, fit.Closes && fit.Slot && fit.Mounts())
			assert.InDelta(t, links, l.length(), 1e-9)
			return l.stayLength() - stay
		}
		got := off(n)
		for _, other := range []int{n - 2, n + 2} {
			assert.LessOrEqual(t, math.Abs(got), math.Abs(off(other))+0.02)
		}
		if got > 0 {
			ups++
		} else {
			downs++
		}
	}
	assert.Greater(t, ups, 10)
	assert.Greater(t, downs, 10)
	b.Chain.Links = 77
	n, err := b.ChooseLinks()
	require.NoError(t, err)
	assert.Equal(t, 77, n, "the given one")
}

// A slot takes what is between its ends, and says what is over or missing beyond.
func TestSlotEnds(t *testing.T) {
	b := single()
	var l Loop
	at := func(stay float64) float64 {
		n, err := b.slotLength(&l, 0, 0, stay)
		require.NoError(t, err)
		return n
	}
	const links = 98
	// Ends put exactly where that chain is taut, a little within and beyond.
	lo, hi := 350.0, 470.0
	for range 80 {
		if mid := (lo + hi) / 2; at(mid) < links {
			lo = mid
		} else {
			hi = mid
		}
	}
	for _, c := range []struct {
		forward, back float64
		closes        bool
	}{{5, 5, true}, {1e-6, 5, true}, {5, 1e-6, true}, {-1e-3, 5, false}, {5, -1e-3, false}} {
		b.Frame.Stay, b.Slot = lo, Slot{Forward: c.forward, Back: c.back}
		fit, err := b.Close(&l, 0, 0, links)
		require.NoError(t, err)
		assert.Equal(t, c.closes, fit.Closes, "%+v", c)
		assert.True(t, fit.Slot)
		assert.Equal(t, c.forward < 0, fit.Short > 0)
		if c.back < 0 {
			assert.InDelta(t, (links-at(lo-1e-3))*Pitch, fit.Slack, 1e-9)
			assert.InDelta(t, 2e-3, fit.Slack, 1e-4, "about twice what the axle lacks")
		}
	}
	b.Slot.Forward = lo - b.Frame.Drop
	_, err := b.Close(&l, 0, 0, links)
	require.ErrorIs(t, err, ErrBike)
	assert.ErrorContains(t, err, "slot")
}

// Wheels that overlap are named whichever two they are, one after the other around the loop.
func TestOverlapsAreNamedAroundTheLoop(t *testing.T) {
	for _, c := range []struct {
		words  string
		change func(b *Bike)
	}{
		{"cog and chainring", func(b *Bike) { b.Frame.Stay, b.Frame.Drop = 35, 0 }},
		{"guide pulley and cog", func(b *Bike) { b.Tensioner.Gap = [2]float64{-30, -30} }},
		{"tension pulley and guide pulley", func(b *Bike) { b.Tensioner.Cage = 30 }},
	} {
		b := trail()
		c.change(b)
		var l Loop
		_, err := b.Close(&l, 0, 11, 116)
		require.ErrorIs(t, err, ErrOverlap)
		assert.ErrorContains(t, err, c.words)
		fit, _ := b.Close(&l, 0, 11, 116)
		assert.Equal(t, Fit{}, fit)
	}
	s := single()
	s.Frame, s.Slot = Frame{Stay: 52, Drop: 10}, Slot{0, 0.1}
	var l Loop
	_, err := s.Close(&l, 0, 0, 98)
	require.ErrorIs(t, err, ErrOverlap)
	assert.ErrorContains(t, err, "cog and chainring")
}
