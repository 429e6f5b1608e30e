package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/spatial/r2"
)

// cageAt returns a loop whose cog is at the origin and whose pulleys are where told.
func cageAt(guide, tension r2.Vec, line float64) *Loop {
	l := &Loop{N: 4, pitch: 12.7}
	l.Wheels[AtRing].Centre = r2.Vec{X: 430}
	l.Wheels[AtGuide].Centre, l.Wheels[AtTension].Centre = guide, tension
	l.Wheels[AtTension].Radius = Sprocket{Teeth: 11}.PitchRadius(12.7)
	l.Line[AtGuide], l.Line[AtTension] = line, line
	return l
}

// By hand: a pulley beside the ring's plane by more than half of both meets nothing until
// it stands in its way.
func TestPulleyGapByHand(t *testing.T) {
	b := trail()
	b.Tensioner.Width = 12
	b.Cogs = b.Cogs[:1]
	ring := &b.Rings[0]
	ring.Line = 50
	r := ring.TipRadius(12.7) + Sprocket{Teeth: 11}.PitchRadius(12.7) + b.Chain.PlateHalfHeight
	below := func(away, line float64) float64 {
		l := cageAt(r2.Vec{Y: -60}, r2.Vec{X: 430, Y: -away}, line)
		g := b.pulleyGap(l)
		require.True(t, g.Valid)
		return g.MM
	}
	assert.InDelta(t, 7, below(r+7, 50), 1e-9)
	assert.InDelta(t, -2, below(r-2, 50), 1e-9)
	beside := 6 + ring.Thickness()/2
	assert.InDelta(t, 3, below(r-20, 50-beside-3), 1e-9)
	assert.InDelta(t, 5, below(r+3, 50+beside+4), 1e-9, "3, 4, 5")
	b.Tensioner = nil
	assert.False(t, b.pulleyGap(cageAt(r2.Vec{}, r2.Vec{}, 0)).Valid)
}

// By hand: a cage that hangs straight down beside spokes is nearest at its upper end, where
// their cone stands out farthest.
func TestCageGapToSpokesByHand(t *testing.T) {
	b := trail()
	b.Tyre = nil
	b.Tensioner.Width, b.Tensioner.Tension.Teeth = 12, 11
	l := cageAt(r2.Vec{Y: -100}, r2.Vec{Y: -190}, 30)
	assert.False(t, b.cageGap(l).Valid)
	b.Spokes = &Spokes{Flange: 25, FlangeLine: 20, Rim: 305}
	half := plateHeight * b.Tensioner.Tension.TipRadius(12.7)
	plate := 30 - 6 - b.Spokes.at(100-half)
	pulley := 30 - b.Chain.Width/2 - b.Spokes.at(190-l.Wheels[AtTension].Radius-b.Chain.PlateHalfHeight)
	assert.InDelta(t, math.Min(plate, pulley), b.cageGap(l).MM, 1e-9)
	assert.Equal(t, 20.0, b.Spokes.at(10))
	assert.Equal(t, 10.0, b.Spokes.at(165))
}

// Against points: plate and pulley in space, and the tyre's circle.
func TestCageGapToTyreAgainstPoints(t *testing.T) {
	b := trail()
	b.Tensioner.Width, b.Tensioner.Tension.Teeth = 12, 11
	b.Tyre = &Tyre{BeadSeat: 406, Section: 55, Width: 55, Dish: 1}
	major, minor := 203+55-27.5, 27.5
	for _, line := range []float64{20, 26, 32, 45} {
		for _, angle := range []float64{-0.6, 0, 0.5, 0.94} {
			from := r2.Vec{X: 30, Y: -114}
			dir := r2.Vec{X: math.Sin(angle), Y: -math.Cos(angle)}
			to := r2.Add(from, r2.Scale(88, dir))
			l := cageAt(from, to, line)
			least := math.Inf(1)
			see := func(p r2.Vec, y float64) {
				least = math.Min(least, math.Hypot(r2.Norm(p)-major, y-1)-minor)
			}
			pulley := l.Wheels[AtTension].Radius + b.Chain.PlateHalfHeight
			plate := plateHeight * b.Tensioner.Tension.TipRadius(12.7)
			for i := range 181 {
				a := 2 * math.Pi * float64(i) / 180
				round := r2.Vec{X: math.Cos(a), Y: math.Sin(a)}
				for k := range 21 {
					share := float64(k) / 20
					see(r2.Add(to, r2.Scale(share*pulley, round)), line-b.Chain.Width/2)
					see(r2.Add(r2.Add(from, r2.Scale(88*share, dir)), r2.Scale(plate, round)), line-6)
				}
			}
			got := b.cageGap(l).MM
			assert.GreaterOrEqual(t, got, least-0.05, "%g mm, %g rad", line, angle)
			assert.LessOrEqual(t, got, least+0.08*pulley, "%g mm, %g rad: boxes lie within round ends", line, angle)
		}
	}
}

// Further inboard the cage comes nearer.
func TestCageMeetsLess(t *testing.T) {
	b := trail()
	b.Spokes = &Spokes{Flange: 25, FlangeLine: 22, Rim: 300}
	r, err := b.Evaluate()
	require.NoError(t, err)
	for i := range r.Gears {
		l := r.Gears[i].Loop
		before := b.cageGap(&l).MM
		for part := range l.Line {
			l.Line[part]--
		}
		assert.Less(t, b.cageGap(&l).MM, before)
	}
}
