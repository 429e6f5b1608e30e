package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// driving returns the single speed with a drive, pedalled against with 60 N·m.
func driving(d Drive) *Bike {
	b := single()
	b.Drive, b.Load.BackTorque = d, 60000
	return b
}

func gearOf(t *testing.T, b *Bike) *Gear {
	t.Helper()
	require.NoError(t, b.Validate())
	r, err := b.Evaluate()
	require.NoError(t, err)
	return &r.Gears[0]
}

// Backwards a fixed or coaster cog pulls the bottom run by the moment over the ring's radius;
// riding, a fixed one that is held back does too. A freewheel pulls what its drag asks for.
func TestTensionsOfDrives(t *testing.T) {
	r := single().Rings[0].PitchRadius(Pitch)
	free, fixed, coaster := gearOf(t, driving(Freewheel)), gearOf(t, driving(Fixed)), gearOf(t, driving(Coaster))
	assert.InDelta(t, 5+80/free.Loop.Wheels[AtCog].Radius, free.Tensions.Bottom[Backwards], 1e-9)
	assert.Zero(t, free.Tensions.Braked)
	for _, g := range []*Gear{fixed, coaster} {
		assert.InDelta(t, 60000/r+5, g.Tensions.Bottom[Backwards], 1e-9)
		assert.InDelta(t, 5, g.Tensions.Top[Backwards], 1e-12)
		assert.InDelta(t, 40000/r, g.Tensions.Top[Riding], 1e-9)
		assert.InDelta(t, 5, g.Tensions.Bottom[Riding], 1e-12)
	}
	assert.InDelta(t, 60000/r+5, fixed.Tensions.Braked, 1e-9)
	assert.Zero(t, coaster.Tensions.Braked, "a coaster brake does not hold the chain while it runs forward")
	assert.Len(t, free.Arrivals[Riding], 2)
	assert.Len(t, coaster.Arrivals[Riding], 2)
	require.Len(t, fixed.Arrivals[Riding], 3)
	held := fixed.Arrivals[Riding][2]
	assert.True(t, held.Braked)
	assert.Equal(t, AtCog, held.At)
	assert.InDelta(t, fixed.Tensions.Braked, held.Pull, 1e-12)
	assert.InDelta(t, fixed.Bottom.Bend, held.Bend, 1e-15)
}

// The flat parabola is near the catenary y = a (cosh(x/a) - 1), whose tension at the lowest
// point is w a: 9 mm of sag on 400 mm to a thousandth, 40 mm to a twentieth.
func TestSagIsNearTheCatenary(t *testing.T) {
	const w, long = 0.003, 400.0
	for sag, within := range map[float64]float64{9: 1e-3, 40: 0.05} {
		lo, hi := 50.0, 1e6 // a: its sag falls as it grows
		for range 200 {
			a := (lo + hi) / 2
			if a*(math.Cosh(long/2/a)-1) > sag {
				lo = a
			} else {
				hi = a
			}
		}
		b := single()
		b.Chain.Weight, b.Load.Sag = w, sag
		l := Loop{N: 2}
		l.Spans[Bottom].Length = long
		assert.InEpsilon(t, w*lo, b.slackPull(&l, Bottom), within)
	}
}

// Both runs hang by their own length, a bump takes weight off, and never pulls up.
func TestSagAndBumps(t *testing.T) {
	b := single()
	b.Chain.Weight, b.Load.Sag = 0.003, 8
	g := gearOf(t, b)
	long := g.Bottom.Length
	assert.InDelta(t, 0.003*long*long/64, g.Tensions.Bottom[Riding], 1e-9)
	assert.InDelta(t, 0.003*g.Top.Length*g.Top.Length/64, g.Tensions.Top[Backwards], 1e-9)
	calm := g.Tensions.Bottom[Riding]
	b.Load.Bumps = 0.75
	assert.InDelta(t, calm/4, gearOf(t, b).Tensions.Bottom[Riding], 1e-9)
	b.Load.Bumps = 2
	assert.Zero(t, gearOf(t, b).Tensions.Bottom[Riding])
}

// A cog held back adds a way to come off while riding, and one pedalled against backwards;
// mirrored bikes are alike.
func TestChancesOfDrives(t *testing.T) {
	f := &Free{Seat: 0.1, Spread: 0.05, NoiseTight: Radians(3), NoiseTightOff: Radians(0.3), SoftCog: 0.1, SoftRing: 0.1, Guard: 1}
	chances := func(d Drive, line float64) Chances {
		b := driving(d)
		b.Rings[0].Line = b.Cogs[0].Line + line
		var o Odds
		to := make([]Chances, 1)
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		require.NoError(t, o.Gears(to, b, f, links))
		return to[0]
	}
	for _, line := range []float64{12, 16, 20} {
		free, fixed, coaster := chances(Freewheel, line), chances(Fixed, line), chances(Coaster, line)
		assert.Greater(t, fixed[DropRiding], free[DropRiding], "%g", line)
		assert.InDelta(t, free[DropRiding], coaster[DropRiding], 1e-12)
		assert.InDelta(t, coaster[DropBackwards], fixed[DropBackwards], 1e-12)
		assert.NotEqual(t, free[DropBackwards], coaster[DropBackwards])
		for _, d := range []Drive{Freewheel, Fixed, Coaster} {
			assert.InDelta(t, chances(d, line)[DropRiding], chances(d, -line)[DropRiding], 1e-9)
		}
	}
	assert.Less(t, chances(Fixed, 2)[DropRiding], 0.01, "straight enough it stays on")
}

// A sprung tensioner cannot stand in the run that a fixed or coaster cog pulls.
func TestDriveWithTensionerIsRefused(t *testing.T) {
	b := trail()
	b.Drive = Coaster
	assert.ErrorContains(t, b.Validate(), "drive: a fixed or coaster cog with a sprung tensioner")
}
