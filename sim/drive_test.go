package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func pushed(d Drive) *Bike {
	b := single()
	b.Drive, b.Load.BackTorque = d, 70000
	return b
}

// By hand: the bottom run carries M/r of the ring and what hangs; the top run hangs alone.
// Riding is as ever.
func TestAPushedCogTightensTheBottomRun(t *testing.T) {
	free := evaluate(t, single()).Gears[0].Tensions
	for _, d := range []Drive{Fixed, Coaster} {
		b := pushed(d)
		g := evaluate(t, b).Gears[0]
		r := b.Rings[0].PitchRadius(Pitch)
		assert.Equal(t, free.Top[Riding], g.Tensions.Top[Riding])
		assert.Equal(t, 5.0, g.Tensions.Bottom[Riding])
		assert.Equal(t, 5.0, g.Tensions.Top[Backwards])
		assert.InDelta(t, 70000/r+5, g.Tensions.Bottom[Backwards], 1e-9)
		// Moments about the crank: the pull's difference times the radius is the push.
		assert.InDelta(t, 70000, (g.Tensions.Bottom[Backwards]-g.Tensions.Top[Backwards])*r, 1e-6)
	}
}

// The tight run comes onto the ring, and where the legs slow a rolling wheel onto the cog.
func TestArrivalsOfAPushedCog(t *testing.T) {
	at := func(b *Bike) (p []Part, pulls []float64) {
		for _, a := range evaluate(t, b).Gears[0].Arrivals[Backwards] {
			p, pulls = append(p, a.At), append(pulls, a.Pull)
		}
		return p, pulls
	}
	p, pulls := at(pushed(Coaster))
	assert.Equal(t, []Part{AtCog, AtRing}, p)
	assert.Less(t, pulls[0], pulls[1])
	p, pulls = at(pushed(Fixed))
	assert.Equal(t, []Part{AtCog, AtRing, AtCog}, p)
	assert.Equal(t, pulls[1], pulls[2])
	riding := evaluate(t, pushed(Fixed)).Gears[0].Arrivals[Riding]
	assert.Equal(t, evaluate(t, single()).Gears[0].Arrivals[Riding], riding, "pushing back is no matter of riding")
}

func TestOnlyABikeWithoutTensionerIsPushed(t *testing.T) {
	b := trail()
	b.Drive = Fixed
	require.ErrorContains(t, b.Validate(), "tensioner")
	require.NoError(t, pushed(Coaster).Validate())
}

// A hanging cable by hand: w L²/(8 f); half the sag pulls twice as hard; both runs share
// one surplus, which the arc length of the parabola is, by summed chords.
func TestSagOfASlackRun(t *testing.T) {
	b := pushed(Fixed)
	b.Chain.Weight = 0.0018
	b.Load.Sag = 10
	g := evaluate(t, b).Gears[0]
	l := g.Bottom.Length
	assert.InDelta(t, 0.0018*l*l/80, g.Tensions.Bottom[Riding], 1e-12)
	assert.InDelta(t, g.Top.Length, l, 1e-9, "both runs of ring and cog alone are alike")
	assert.InDelta(t, 10, g.Sags.Top, 1e-9)
	assert.InDelta(t, g.Tensions.Bottom[Riding], g.Tensions.Top[Backwards], 1e-12)
	arc, n := 0.0, 10000
	y := func(x float64) float64 { return 4 * 10 * x / l * (1 - x/l) }
	for i := range n {
		dx := l / float64(n)
		arc += math.Hypot(dx, y(float64(i+1)*dx)-y(float64(i)*dx))
	}
	assert.InDelta(t, arc-l, g.Sags.Surplus, 0.002*g.Sags.Surplus)
	b.Load.Sag = 0.5
	small := evaluate(t, b).Gears[0]
	assert.True(t, small.Sags.Valid)
	assert.InDelta(t, 20*g.Tensions.Bottom[Riding], small.Tensions.Bottom[Riding], 1e-9, "a small sag is one")
	b.Load.Sag = 5
	assert.InDelta(t, 2*g.Tensions.Bottom[Riding], evaluate(t, b).Gears[0].Tensions.Bottom[Riding], 1e-12)
}

func TestBumpsTakeTheWeightOff(t *testing.T) {
	b := pushed(Fixed)
	b.Chain.Weight, b.Load.Sag = 0.0018, 10
	still := evaluate(t, b).Gears[0]
	b.Load.Bumps = 0.75
	g := evaluate(t, b).Gears[0]
	assert.InDelta(t, still.Tensions.Bottom[Riding]/4, g.Tensions.Bottom[Riding], 1e-12)
	assert.Equal(t, still.Sags.Top, g.Sags.Top, "the shape stays")
	b.Load.Bumps = 3
	g = evaluate(t, b).Gears[0]
	assert.Zero(t, g.Tensions.Top[Backwards], "no chain pushes")
	assert.False(t, g.Has(Backwards, TopSlack), "that is the freehub's")
	b.Load.Sag, b.Load.Bumps = 0, 0.5
	assert.Equal(t, 2.5, evaluate(t, b).Gears[0].Tensions.Bottom[Riding], "of a stated tension likewise")
}

// A slack chain comes off by the field's rule, each way by its own slack run; and pushing
// on a bent line never makes a chance less than that of a coaster's.
func TestChancesOfAPushedCog(t *testing.T) {
	f := Free{Seat: 0.1, Ridden: 0.8, RideSoft: 0.5, NoiseIdler: 0.04, NoiseIdlerOff: 0.01, Spread: 0.05, Room: 0.9, SoftCog: 0.1, SoftRing: 0.1, NoiseSoft: 0.01, NoiseSoftPull: 1, NoiseTightOff: 0.01}
	odds := func(b *Bike) Chances {
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		var o Odds
		to := make([]Chances, 1)
		require.NoError(t, o.Gears(to, b, &f, links))
		return to[0]
	}
	b := pushed(Fixed)
	b.Rings[0].Line = b.Cogs[0].Line + 5
	tight := odds(b)
	b.Load.Sag, b.Chain.Weight = 30, 0.0018
	loose := odds(b)
	assert.Greater(t, loose[DropRiding], tight[DropRiding]+0.2)
	assert.Greater(t, loose[DropBackwards], tight[DropBackwards])
	b.Load.Sag = 3
	assert.InDelta(t, tight[DropRiding], odds(b)[DropRiding], 1e-3, "tight enough")
	rapid.Check(t, func(t *rapid.T) {
		x, y := pushed(Fixed), pushed(Coaster)
		line := x.Cogs[0].Line + rapid.Float64Range(-30, 30).Draw(t, "line")
		x.Rings[0].Line, y.Rings[0].Line = line, line
		p, q := odds(x), odds(y)
		assert.GreaterOrEqual(t, p[DropBackwards], q[DropBackwards])
		assert.Equal(t, p[DropRiding], q[DropRiding])
	})
	bent := pushed(Fixed)
	bent.Rings[0].Line = bent.Cogs[0].Line + 38
	assert.Greater(t, odds(bent)[DropBackwards], 0.5, "a bend of five degrees")
}
