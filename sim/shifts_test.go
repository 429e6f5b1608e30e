package sim

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Places to cross, counted: cogs are put to each other by lot, and for every tooth of the
// larger one it is looked whether the chain from a tooth of the smaller to it is a whole
// number of pitches. The chain is laid by its angles, not by the fractions of the code.
func TestCrossingsAreCounted(t *testing.T) {
	b := trail()
	rng := rand.New(rand.NewPCG(4, 4))
	for _, teeth := range [][2]int{{11, 13}, {12, 14}, {12, 18}, {16, 24}, {21, 24}, {44, 51}, {12, 24}} {
		b.Cogs = []Wheel{{Sprocket: Sprocket{Teeth: teeth[0], TipHeight: 2.3}}, {Sprocket: Sprocket{Teeth: teeth[1], TipHeight: 2.3}, Line: -3.7}}
		r1, r2 := b.Cogs[0].PitchRadius(Pitch), b.Cogs[1].PitchRadius(Pitch)
		straight := math.Sqrt(r2*r2 - r1*r1 + 3.7*3.7)
		tangent := math.Acos(r1 / r2)
		const turns = 4000
		places, never := 0, 0
		for range turns {
			phase := 2 * math.Pi * rng.Float64()
			n := 0
			for j := range teeth[1] {
				large := phase + 2*math.Pi*float64(j)/float64(teeth[1])
				// From the tooth of the smaller one at angle 0 round to the tangent point, then straight.
				seat := math.Mod(large-tangent+20*math.Pi, 2*math.Pi) / (2 * math.Pi) * float64(teeth[0])
				if off := math.Remainder(seat*Pitch+straight, Pitch); math.Abs(off) <= crossPlay {
					n++
				}
			}
			places += n
			if n == 0 {
				never++
			}
		}
		got := b.crossing(0, 1)
		assert.InDelta(t, float64(places)/turns, got.Places, 0.05*got.Places+0.03, "%v", teeth)
		assert.InDelta(t, float64(never)/turns, got.Never, 0.03, "%v", teeth)
		assert.Equal(t, got.Places, b.crossing(1, 0).Places)
	}
	b.Gates = Gates{Each: []int{0, 4}, Depth: 0.4}
	assert.Equal(t, 4.0, b.crossing(0, 1).Places)
	assert.Equal(t, 0.125, b.crossing(0, 1).Delay)
}

func shiftsOf(t *testing.T, b *Bike) ([]Shift, []IndexWindow) {
	require.NoError(t, b.Validate())
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	f := &Free{Seat: 0.1, Allowance: 0.3, Spread: 0.05, Room: 0.9, SoftCog: 0.1, SoftRing: 0.1}
	var o Odds
	s, w := make([]Shift, 2*(len(b.Cogs)-1)), make([]IndexWindow, len(b.Rings)*len(b.Cogs))
	require.NoError(t, o.Shifts(s, b, f, 0, links))
	require.NoError(t, o.Index(w, b, f, links))
	return s, w
}

func TestShiftsOfATrailBike(t *testing.T) {
	b := trail()
	b.Tensioner.Float = 0.5
	s, w := shiftsOf(t, b)
	for i, x := range s {
		assert.Equal(t, 1, int(math.Abs(float64(x.To-x.From))), "step %d", i)
		assert.False(t, math.IsNaN(x.Past) || math.IsInf(x.Past, 0))
		assert.True(t, x.Never >= 0 && x.Never <= 1 && x.Delay > 0 && x.Delay <= 1)
		assert.Zero(t, x.Lean, "friction holds the seated links long before the last")
	}
	from, to, binds := Overlap(w)
	assert.Less(t, from, 0.0)
	assert.Greater(t, to, 0.0)
	assert.Equal(t, w[binds[0]].From, from)
	assert.Equal(t, w[binds[1]].To, to)
	low, high, _ := Setting(s)
	for _, x := range s { // each shift is made in the setting, none outside of it
		if x.To > x.From {
			assert.LessOrEqual(t, high, -x.Past)
		} else {
			assert.GreaterOrEqual(t, low, x.Past)
		}
	}

	// A pulley that floats more takes from what shifts need and gives to where gears run.
	more := trail()
	more.Tensioner.Float = 0.8
	s2, w2 := shiftsOf(t, more)
	for i := range s {
		assert.InDelta(t, 0.3, s2[i].Past-s[i].Past, 1e-9)
	}
	for g := range w {
		assert.Less(t, w2[g].From, w[g].From)
		assert.Greater(t, w2[g].To, w[g].To)
	}

	// Gates catch the chain earlier, inboard.
	gated := trail()
	gated.Tensioner.Float = 0.5
	gated.Gates = Gates{Each: make([]int, len(gated.Cogs)), Depth: 0.4}
	for i := range gated.Gates.Each {
		gated.Gates.Each[i] = 4
	}
	s3, _ := shiftsOf(t, gated)
	for i, x := range s3 {
		if x.To > x.From {
			assert.Less(t, x.Past, s[i].Past)
		} else {
			assert.Equal(t, s[i].Past, x.Past)
		}
	}
}

// A bent hanger is trimmed on the middle cog; what is left is how far the pulley is above
// or below that, times the angle, and it narrows what is common.
func TestABentHangerIsToldByHand(t *testing.T) {
	straight, bent := trail(), trail()
	bent.Tensioner.Hanger = Hanger{Lean: Radians(2)}
	_, w := shiftsOf(t, straight)
	_, v := shiftsOf(t, bent)
	mid := len(bent.Cogs) / 2
	_, zMid := bent.guideCentre(mid)
	for g := range v {
		_, z := bent.guideCentre(g)
		assert.InDelta(t, Radians(2)*(zMid-z), v[g].Off, 1e-12)
		assert.Zero(t, w[g].Off)
	}
	assert.Zero(t, v[mid].Off)
	low, high, _ := Overlap(w)
	low2, high2, _ := Overlap(v)
	assert.Less(t, high2-low2, high-low)
	toe := trail()
	toe.Tensioner.Hanger = Hanger{Toe: Radians(2)}
	_, v = shiftsOf(t, toe)
	xMid, _ := toe.guideCentre(mid)
	x, _ := toe.guideCentre(0)
	assert.InDelta(t, Radians(2)*(x-xMid), v[0].Off, 1e-12)
}

// The top run pulls the arriving links aside only where friction lets it through: by the
// closed form, T·sin(bend) is used up by μ·T·2π/N on each link.
func TestTheTopRunReachesArrivingLinksWithoutFriction(t *testing.T) {
	b := trail()
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	var o Odds
	s := make([]Shift, 2*(len(b.Cogs)-1))
	require.NoError(t, o.Shifts(s, b, &Free{Seat: 1e-4, Spread: 0.05}, 0, links))
	last := s[len(s)-1] // off the largest cog, outboard: the ring stands outboard of it and helps
	assert.Positive(t, last.Lean)
	assert.Negative(t, s[0].Lean*math.Copysign(1, b.Rings[0].Line-b.Cogs[0].Line))
}

func BenchmarkShifts(b *testing.B) {
	bike := trail()
	links, err := bike.ChooseLinks()
	require.NoError(b, err)
	f := &Free{Seat: 0.1, Allowance: 0.3, Spread: 0.05, Room: 0.9, SoftCog: 0.1, SoftRing: 0.1}
	var o Odds
	s, w := make([]Shift, 2*(len(bike.Cogs)-1)), make([]IndexWindow, len(bike.Cogs))
	b.ReportAllocs()
	for b.Loop() {
		require.NoError(b, o.Shifts(s, bike, f, 0, links))
		require.NoError(b, o.Index(w, bike, f, links))
	}
}
