package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// The chance that a normal deviate is farther off than the gap, to both sides: one deviate
// 0.31731, two 0.04550, three 0.00270 by the table of the normal distribution.
func TestTouchingByHand(t *testing.T) {
	for _, c := range []struct{ gap, flex, want float64 }{
		{0, 1, 1}, {-3, 1, 1}, {1, 1, 0.31731}, {2, 1, 0.04550}, {3, 1, 0.00270},
		{0.4, 0.4, 0.31731}, {0.8, 0.4, 0.04550}, {0.8 * mostFlex, 0.8, 0}, {0.81 * mostFlex, 0.8, 0}, {40, 1, 0},
	} {
		chance, overlap := touches(c.gap, c.flex)
		assert.InDelta(t, c.want, chance, 5e-6, "%g mm, %g", c.gap, c.flex)
		assert.Equal(t, -c.gap, overlap)
	}
}

// Ring and bolts beside the stay by hand, at rest: what is asked for there does not count.
func TestRoomBesideTheStayByHand(t *testing.T) {
	b := trail()
	r, tip := &b.Rings[0], b.Rings[0].TipRadius(12.7)
	b.Stay = &Stay{Face: 45, Radius: tip, Flex: 2.5}
	want := r.Line - r.Thickness()/2 - 45
	assert.InDelta(t, want, b.stayRoom(new(Loop), b.RingStayGap()).MM, 1e-12)
	assert.InDelta(t, want, b.RingFace()-45, 1e-12)
	b.Bolts = Bolts{Radius: tip - 10, Depth: 3}
	b.Stay.Angle = math.Atan(0.1) // 1 mm farther inboard beside the bolts
	assert.InDelta(t, want-3+1, b.stayRoom(new(Loop), b.RingStayGap()).MM, 1e-12)
	b.Stay = nil
	assert.False(t, b.stayRoom(new(Loop), b.RingStayGap()).Valid)
}

// What passes runs over that stay farther off changes nothing: the least of ring and chain.
func TestRoomBesideTheStayIsTheLeast(t *testing.T) {
	chain := 0
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		b.Rings[0].Line = rapid.Float64Range(40, 60).Draw(t, "front")
		b.Frame.Drop = rapid.Float64Range(-40, 80).Draw(t, "drop")
		b.Stay = &Stay{Face: rapid.Float64Range(25, 55).Draw(t, "face"), Radius: 60, Angle: Radians(rapid.Float64Range(0, 9).Draw(t, "angle")),
			Flex: rapid.Float64Range(0, 3).Draw(t, "flex"), Diameter: rapid.Float64Range(8, 40).Draw(t, "diameter")}
		r, err := b.Evaluate()
		require.NoError(t, err)
		for i := range r.Gears {
			g := &r.Gears[i]
			want := g.Clearances.Stay().MM + b.Stay.Flex
			assert.Equal(t, want, g.Rooms.Stay.MM)
			assert.Equal(t, want, g.Rooms.Of(MeetsStay).MM)
			if g.Clearances.ChainStay.MM < g.Clearances.RingStay.MM {
				chain++
			}
		}
	})
	assert.Positive(t, chain, "in some it is the chain")
}

// Cog and chain beside the dropout by hand: the chain counts in the smallest cog's gears alone.
func TestRoomBesideTheDropoutByHand(t *testing.T) {
	b := trail()
	assert.False(t, b.dropoutRoom(0).Valid)
	w := &b.Cogs[0]
	b.Dropout = &Dropout{Face: w.Line + w.Thickness()/2 + 4}
	assert.InDelta(t, 4, b.dropoutRoom(1).MM, 1e-12)
	assert.InDelta(t, 4-(b.Chain.Width-w.Thickness())/2, b.dropoutRoom(0).MM, 1e-12)
	b.Chain.Width = w.Thickness() - 0.5
	assert.InDelta(t, 4, b.dropoutRoom(0).MM, 1e-12, "a cog wider than the chain")
}

// Cog and chain beside spokes and rotor by hand.
func TestRoomBesideTheWheelByHand(t *testing.T) {
	b := trail()
	assert.False(t, b.wheelRoom(11).Valid)
	w := &b.Cogs[11]
	back, chain, radius := w.Line-w.Thickness()/2, w.Line-b.Chain.Width/2, w.PitchRadius(12.7)
	b.Spokes = &Spokes{Flange: 30, FlangeLine: 18, Rim: 300, RimLine: 0}
	assert.InDelta(t, back-18, b.wheelRoom(0).MM, 1e-12, "spokes lean away: the cog's back at the flange")
	lean := 18.0 / 270
	at := 18 - lean*(radius-b.Chain.PlateHalfHeight-30)
	assert.Less(t, back-18, chain-at)
	assert.InDelta(t, back-18, b.wheelRoom(11).MM, 1e-12)
	b.Chain.Width += 2 * (chain - at - back + 18 + 0.25) // the chain 0.25 mm nearer
	assert.InDelta(t, back-18-0.25, b.wheelRoom(11).MM, 1e-9)
	assert.InDelta(t, back-18, b.wheelRoom(10).MM, 1e-12)

	b = trail() // spokes that stand outboard at the rim: the tips
	b.Spokes = &Spokes{Flange: 30, FlangeLine: 10, Rim: 300, RimLine: 20}
	tip := w.TipRadius(12.7)
	assert.InDelta(t, back-(10+(tip-30)*10/270), b.wheelRoom(0).MM, 1e-12)

	b.Cogs = b.Cogs[:1] // a cog below the spokes' holes, 3 mm aside and 4 below
	w = &b.Cogs[0]
	b.Spokes = &Spokes{Flange: w.TipRadius(12.7) + 4, FlangeLine: w.Line - w.Thickness()/2 - 3, Rim: 300}
	g := Gap{}
	b.besideWheel(&g, w.Line-w.Thickness()/2, 0, w.TipRadius(12.7))
	assert.InDelta(t, 5, g.MM, 1e-12)

	b = trail()
	b.Rotor = &Rotor{Line: 20, Radius: 80}
	assert.InDelta(t, back-20, b.wheelRoom(11).MM, 1e-12, "the chain stands beyond its edge")
	b.Rotor.Radius = radius
	assert.InDelta(t, chain-20, b.wheelRoom(11).MM, 1e-12)
	g = Gap{}
	b.besideWheel(&g, 23, radius+4, radius+8)
	assert.InDelta(t, 5, g.MM, 1e-12, "3 mm aside and 4 beyond")
}

// A room that is not known has no chance.
func TestUnknownRoomsHaveNoChance(t *testing.T) {
	rooms := []Concern{MeetsStay, MeetsDropout, MeetsWheel}
	b, f := trail(), plainFree()
	for g, c := range chancesOf(t, b, f) {
		assert.True(t, c.Is(MeetsStay), "gear %d", g)
	}
	b.Stay = nil
	for _, c := range chancesOf(t, b, f) {
		for _, k := range rooms {
			assert.Equal(t, -1.0, c[k], "%s", k)
		}
	}
	b = trail()
	b.Dropout, b.Rotor = &Dropout{Face: 80}, &Rotor{Line: 10, Radius: 80}
	for _, c := range chancesOf(t, b, f) {
		for _, k := range rooms {
			assert.True(t, c.Is(k), "%s", k)
		}
	}
}

func plainFree() *Free {
	return &Free{Seat: 0.12, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Allowance: 0.3, Spread: 0.06, Room: 0.8, Pins: 0.7, SoftCog: 0.15, SoftRing: 0.2, Mishap: 0.002, Guard: 0.04,
		DropBend: 0.05, DropSoft: 0.004, NoiseBend: [2]float64{0.05, 0.05}, NoisePull: [2]float64{30, 33}, NoiseSoft: 0.004, NoiseSoftPull: 2, NoiseTight: 0.03, NoiseTightOff: 0.004}
}

// A ring that moves inboard never touches the stay less, a cluster that moves outboard never
// the dropout, and one that moves inboard never the spokes; over some mm surely more.
func TestNearerNeverTouchesLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, b := drawFree(t), trail()
		b.Stay.Diameter = rapid.Float64Range(0, 30).Draw(t, "diameter")
		b.Dropout = &Dropout{Face: b.CogFace() + 4}
		b.Spokes = &Spokes{Flange: 30, FlangeLine: 18, Rim: 300, RimLine: rapid.Float64Range(-5, 25).Draw(t, "rim")}
		from := chancesOf(t, b, f)
		by := rapid.Float64Range(0, 10).Draw(t, "by")
		b.Rings[0].Line -= by
		in := chancesOf(t, b, f)
		for g := range in {
			atMost(t, from[g], in[g], g, MeetsStay)
			if by > 7 { // 53 mm less half a ring and 7 is inside 45
				assert.Greater(t, in[g][MeetsStay], from[g][MeetsStay])
			}
		}
		b.Rings[0].Line += by
		for i := range b.Cogs {
			b.Cogs[i].Line += by
		}
		out := chancesOf(t, b, f)
		for g := range out {
			atMost(t, from[g], out[g], g, MeetsDropout)
			atMost(t, out[g], from[g], g, MeetsWheel)
			if by > 4 {
				assert.Equal(t, 1.0, out[g][MeetsDropout])
			}
		}
	})
}

// Less room than is asked for beside the stay is told with numbers while nothing touches.
func TestLessRoomThanWishedIsToldSo(t *testing.T) {
	b := trail()
	b.Stay = &Stay{Face: b.RingFace() - 1.8, Radius: b.Rings[0].TipRadius(12.7), Flex: 6}
	r, err := b.Evaluate()
	require.NoError(t, err)
	said := func(r *Result) (v Verdict) {
		for _, v := range r.Gears[0].Verdicts {
			if v.Code == HitsStay {
				return v
			}
		}
		return v
	}
	v := said(r)
	assert.Equal(t, "less room than wished beside the chainstay", v.Words())
	assert.Equal(t, "chainring 1.8 mm clear of the chainstay, 6 wanted", v.Reason)
	b.Stay.Face += 2
	r, err = b.Evaluate()
	require.NoError(t, err)
	v = said(r)
	assert.Equal(t, "too close to the chainstay", v.Words())
	assert.Equal(t, "chainring 6.2 mm into the room kept beside the chainstay", v.Reason)
}
