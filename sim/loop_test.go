package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"chainpath/sim/engage"
)

// handbookLinks is the two-wheel length formula of the handbooks in pitches,
// 2a/p + (z1+z2)/2 + (p/a)((z2-z1)/2π)², an approximation of the tangent path.
func handbookLinks(p, a float64, z1, z2 int) float64 {
	return 2*a/p + float64(z1+z2)/2 + p/a*math.Pow(float64(z2-z1)/(2*math.Pi), 2)
}

// twoWheels is a plain drive of two wheels on a level, as the handbooks have it.
func twoWheels(p, a float64, z1, z2 int) *Bike {
	s := func(z int) Sprocket {
		return Sprocket{Teeth: z, TipHeight: 0.18 * p, Tooth: engage.Tooth{Tip: 1, Full: 1.6, Relief: 0.3}}
	}
	c := chain12()
	c.Pitch = p
	return &Bike{
		Chain: c, Frame: Frame{Stay: a}, Rings: []Wheel{{s(z2), 45}}, Cogs: []Wheel{{s(z1), 45}},
		Slot: Slot{Forward: 20, Back: 20}, Load: Load{Torque: 1, SlackSide: 5},
	}
}

// Worked examples of chain length:
// p 12.7, z 21/63, a 500 → 121.875097 → 122 links → a 500.804717 mm (FOSSEE
// Scilab textbook companion 764, ch. 14, ex. 14.3); p 19.05, z 17/34, a 40p →
// 105.683011 → 106 links, ×0.998 → 763.496160 mm (same, ex. 14.4); p 25.4, z
// 21/81, a 40p → 133.3 → 134 links → 1025.4 mm (W. Jiang, Analysis and Design of
// Machine Elements, Wiley 2019, ch. 7). All three use the handbook formula; the
// exact tangent path differs from it by less than 0.02 pitch here.
func TestChainLengthAgainstWorkedExamples(t *testing.T) {
	for _, c := range []struct {
		p, a     float64
		z1, z2   int
		pitches  float64
		digits   float64
		links    int
		centre   float64
		shortens float64
	}{
		{12.7, 500, 21, 63, 121.875097, 1e-6, 122, 500.804717, 1},
		{19.05, 40 * 19.05, 17, 34, 105.683011, 1e-6, 106, 763.496160, 0.998},
		{25.4, 40 * 25.4, 21, 81, 133.3, 0.05, 134, 1025.4, 1},
	} {
		assert.InDelta(t, c.pitches, handbookLinks(c.p, c.a, c.z1, c.z2), c.digits)
		b := twoWheels(c.p, c.a, c.z1, c.z2)
		var l Loop
		exact, err := b.slotLength(&l, 0, 0, c.a)
		require.NoError(t, err)
		assert.InDelta(t, c.pitches, exact, 0.02+c.digits)

		links, err := b.ChooseLinks()
		require.NoError(t, err)
		assert.Equal(t, c.links, links)
		fit, err := b.Close(&l, 0, 0, links)
		require.NoError(t, err)
		assert.True(t, fit.Closes)
		// The centre moves by half of what the length formula is off, in pitches.
		assert.InDelta(t, c.centre, c.shortens*l.stayLength(), 0.02*c.p/2+0.05)
		assert.InDelta(t, links, l.length(), 1e-9)
	}
}

func TestEveryGearHoldsExactlyItsChain(t *testing.T) {
	b := trail()
	b.Tensioner.Folded = Radians(-80)
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	var l Loop
	last := -math.Pi
	for cog := range b.Cogs {
		fit, err := b.Close(&l, 0, cog, links)
		require.NoError(t, err)
		require.True(t, fit.Closes, "cog %d: %s", cog, fit.Reason())
		assert.InDelta(t, links, l.length(), 1e-9)
		assert.Greater(t, l.cageAngle(), last, "larger cogs pull the cage forward")
		last = l.cageAngle()
		turning := 0.0
		for i, w := range l.Wraps {
			turning += float64(l.Wheels[i].Sense) * w
		}
		assert.InDelta(t, -2*math.Pi, turning, 1e-9, "the loop goes round once, clockwise")
	}
}

func TestFitSaysByHowMuch(t *testing.T) {
	b := trail()
	var l Loop
	b.Chain.Links = 100
	fit, err := b.Close(&l, 0, len(b.Cogs)-1, 100)
	require.NoError(t, err)
	assert.False(t, fit.Closes)
	// Adding the links it names is enough, two fewer is not.
	n := 100 + fit.Short
	more, _ := b.Close(&l, 0, len(b.Cogs)-1, n)
	assert.True(t, more.Closes)
	fewer, _ := b.Close(&l, 0, len(b.Cogs)-1, n-2)
	assert.False(t, fewer.Closes)
	assert.Equal(t, 2, fewer.Short)
	assert.Contains(t, fewer.Reason(), "too short by 2 links")

	loose, err := b.Close(&l, 0, 0, 130)
	require.NoError(t, err)
	assert.InDelta(t, (130-l.length())*Pitch, loose.Slack, 1e-9)
	assert.InDelta(t, b.Tensioner.Folded, l.cageAngle(), 1e-12)
	assert.Contains(t, loose.Reason(), "cage fully folded")

	s := single()
	tight, _ := s.Close(&l, 0, 0, 80)
	assert.Greater(t, tight.Short, 10)
	slack, _ := s.Close(&l, 0, 0, 100)
	assert.Greater(t, slack.Slack, 10.0)
	assert.Contains(t, slack.Reason(), "axle fully back")
}

func TestChosenLengthIsTheShortestWithItsMargin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := trail()
		b.Frame.Stay = rapid.Float64Range(405, 470).Draw(t, "stay")
		b.Chain.Margin = rapid.Float64Range(0, 4).Draw(t, "margin")
		b.Chain.HalfLink = rapid.Bool().Draw(t, "half link")
		n, err := b.ChooseLinks()
		require.NoError(t, err)
		assert.Equal(t, b.Chain.HalfLink, n%2 == 1)
		last := len(b.Cogs) - 1
		var l Loop
		_, err = b.Close(&l, 0, last, 0) // far too short: drawn at the tightest place
		require.NoError(t, err)
		assert.GreaterOrEqual(t, float64(n), l.length()+b.Chain.Margin-1e-6)
		assert.Less(t, float64(n-2), l.length()+b.Chain.Margin)
	})
}

func TestOverlappingPartsAreNamed(t *testing.T) {
	b := trail()
	b.Frame.Stay = 120
	_, err := b.Evaluate()
	require.ErrorIs(t, err, ErrBike)
	assert.ErrorContains(t, err, "32-tooth chainring and cog of 51 teeth")
	b = trail()
	b.Tensioner.Gap = [2]float64{-40, -40}
	_, err = b.Evaluate()
	require.ErrorIs(t, err, ErrOverlap)
	assert.ErrorContains(t, err, "guide pulley and cog")
}

// The cage's pull by virtual work: the spring's moment per angle equals tension
// times the change of path length per angle, with the arcs on pitch circles.
func TestCagePullByVirtualWork(t *testing.T) {
	b := trail()
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	arc := func(l *Loop) float64 {
		sum := 0.0
		for i := range l.N {
			sum += l.Spans[i].Length + l.Wheels[i].Radius*l.Wraps[i]
		}
		return sum
	}
	for _, cog := range []int{4, 6, 9, 11} {
		var l Loop
		fit, err := b.Close(&l, 0, cog, links)
		require.NoError(t, err)
		require.True(t, fit.Closes)
		pull, a := b.Tensioner.pull(&l), l.cageAngle()
		const h = 1e-5
		c := cageRoot{loop: &l, cage: b.Tensioner.Cage}
		_, _, err = c.at(a + h)
		require.NoError(t, err)
		more := arc(&l)
		_, _, err = c.at(a - h)
		require.NoError(t, err)
		slope := (more - arc(&l)) / (2 * h)
		assert.InEpsilon(t, b.Tensioner.Spring+b.Tensioner.SpringRate*a, -pull*slope, 1e-6)
	}
}

// The derivative the cage search uses, against central differences of the same
// length; the arcs of the pitch polygon make it a little off.
func TestCageSlope(t *testing.T) {
	b := trail()
	var l Loop
	require.NoError(t, b.lay(&l, 0, 6))
	c := cageRoot{loop: &l, cage: b.Tensioner.Cage}
	for _, a := range []float64{-0.7, -0.1, 0.4, 1.0} {
		hi, _, _ := c.at(a + 1e-6)
		lo, _, _ := c.at(a - 1e-6)
		_, slope, err := c.at(a)
		require.NoError(t, err)
		assert.InEpsilon(t, (hi-lo)/2e-6, slope, 0.03)
	}
}
