package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// drawFree draws numbers of level 2 from ranges about as wide as the shipped ones.
func drawFree(t *rapid.T) *Free {
	f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	return &Free{
		Seat: f(0.05, 0.25, "seat"), Allowance: f(0, 0.6, "allowance"), Spread: f(0.03, 0.2, "spread"),
		Room: f(0, 1.5, "room"), Pins: f(0, 1.5, "pins"), SoftCog: f(0.05, 0.4, "soft cog"), SoftRing: f(0.05, 0.4, "soft ring"),
		Mishap: f(0, 0.01, "bumps"), Guard: f(0, 1, "guard"), ByPull: rapid.Bool().Draw(t, "by pull"),
		DropByBend: rapid.Bool().Draw(t, "by bend"), DropBend: f(0.02, 0.1, "drop"), DropSoft: f(0.002, 0.01, "drop soft"),
		NoiseBend: [2]float64{f(0.02, 0.08, "plain"), f(0.02, 0.08, "wide")}, NoisePull: [2]float64{f(1, 40, "pull plain"), f(1, 40, "pull wide")},
		NoiseSoft: f(0.002, 0.01, "noise soft"), NoiseSoftPull: f(0.5, 5, "pull soft"), NoiseTight: f(0.01, 0.08, "tight"), NoiseTightOff: f(0.002, 0.01, "tight soft"),
		NoiseIdler: f(0.01, 0.09, "idler"), NoiseIdlerOff: f(0.002, 0.01, "idler soft"), Bump: f(0, 60, "bump"), BumpGuard: f(0, 1, "bump guard"),
		Sway: f(0, 5e-5, "sway"), Ridden: f(0.4, 1.6, "ridden"), RideSoft: f(0.3, 1, "ride soft"),
	}
}

// chancesOf returns a bike's chances with a chain that fits it.
func chancesOf(t require.TestingT, b *Bike, f *Free) []Chances {
	require.NoError(t, b.Validate())
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	out := make([]Chances, len(b.Rings)*len(b.Cogs))
	require.NoError(t, new(Odds).Gears(out, b, f, links))
	return out
}

// atMost says that a chance does not pass another, but for rounding; what there is not in
// one there is not in the other.
func atMost(t assert.TestingT, less, more Chances, g int, ks ...Concern) {
	for _, k := range ks {
		assert.Equal(t, less.Is(k), more.Is(k), "gear %d %s", g, k)
		assert.LessOrEqual(t, less[k], more[k]+1e-9, "gear %d %s", g, k)
	}
}

// The farther a ring stands from a cog's line the likelier are noise and, towards a side
// without a wall, a drop. Bend grows with the offset, for the run's length hardly does.
func TestFartherFromStraightIsNeverSafer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFree(t)
		b := single()
		if rapid.Bool().Draw(t, "derailleur") {
			b = trail()
			b.Load.FreehubDrag = rapid.Float64Range(0, 200).Draw(t, "drag")
		}
		cog := rapid.IntRange(0, len(b.Cogs)-1).Draw(t, "cog")
		side := rapid.SampledFrom([]float64{-1, 1}).Draw(t, "side")
		near := rapid.Float64Range(0, 12).Draw(t, "near")
		far := near + rapid.Float64Range(0.01, 4).Draw(t, "more")
		b.Rings[0].Line = b.Cogs[cog].Line + side*near
		less := chancesOf(t, b, f)[cog]
		b.Rings[0].Line = b.Cogs[cog].Line + side*far
		more := chancesOf(t, b, f)[cog]
		atMost(t, less, more, cog, NoiseRiding, DropRiding)
		if side > 0 || cog == len(b.Cogs)-1 { // inboard of it stands the next larger cog
			atMost(t, less, more, cog, DropBackwards)
		}
	})
}

// A worn chain's pitch is longer, and with it the radii: under the same pull the run turns
// by a hair, and is not quieter by more than that. (Under the same torque the pull falls as
// the radius grows, 1 % at most.) That a limp chain rattles more is not modelled.
func TestWornIsNeverQuieter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, b := drawFree(t), trail()
		b.Rings[0].Line = rapid.Float64Range(40, 58).Draw(t, "front")
		b.Load.Tension = rapid.Float64Range(50, 1500).Draw(t, "pull")
		fresh := chancesOf(t, b, f)
		b.Chain.Pitch *= 1 + rapid.Float64Range(0, 0.01).Draw(t, "wear")
		for g, worn := range chancesOf(t, b, f) {
			assert.GreaterOrEqual(t, worn[NoiseRiding], fresh[g][NoiseRiding]-0.005, "gear %d", g)
		}
	})
}

// A harder pull lays the run beside the next larger cog straighter, and so nearer to it.
func TestHarderPullNeverRubsLess(t *testing.T) {
	met := 0.0
	rapid.Check(t, func(t *rapid.T) {
		f, b := drawFree(t), trail()
		b.Rings[0].Line = rapid.Float64Range(38, 60).Draw(t, "front")
		b.Chain.Width += rapid.Float64Range(0, 1.5).Draw(t, "wider")
		b.Load.Torque = 1000 * rapid.Float64Range(5, 60).Draw(t, "torque")
		b.Load.Tension = 0
		light := chancesOf(t, b, f)
		b.Load.Torque *= rapid.Float64Range(1, 4).Draw(t, "times")
		for g, hard := range chancesOf(t, b, f) {
			atMost(t, light[g], hard, g, RubsNextCog)
			met = math.Max(met, hard[RubsNextCog])
		}
	})
	assert.Greater(t, met, 0.5, "some of them rub")
}

// A wider chain is never farther from a neighbour or a tyre.
func TestWiderNeverRubsLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f, b := drawFree(t), double()
		b.Tyre = &Tyre{BeadSeat: 622, Section: 57, Width: rapid.Float64Range(30, 80).Draw(t, "tyre"), Mud: 6}
		narrow := chancesOf(t, b, f)
		b.Chain.Width += rapid.Float64Range(0, 2).Draw(t, "wider")
		for g, wide := range chancesOf(t, b, f) {
			atMost(t, narrow[g], wide, g, RubsNextCog, RubsNextRing, RubsTyreAt)
		}
	})
}
