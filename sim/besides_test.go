package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/geom"
)

// What a straight strand's gap surely is at least, by hand: lines apart, less half of chain and
// teeth, less the drift towards the neighbour until the plates leave its tips.
func TestStraightLeastByHand(t *testing.T) {
	b := trail()
	own, next := &Wheel{sprocket(20), 50}, &Wheel{sprocket(24), 46}
	low := own.PitchRadius(Pitch) - 4
	rim := next.PitchRadius(Pitch) + 2.3
	reach := math.Sqrt(rim*rim - low*low)
	assert.InDelta(t, 4-2.6-0.8, (&beside{own: own, next: next, drift: 0}).straightLeast(&b.Chain), 1e-12)
	assert.InDelta(t, 4-2.6-0.8, (&beside{own: own, next: next, drift: 0.05}).straightLeast(&b.Chain), 1e-12, "away from it")
	assert.InDelta(t, 4-2.6-0.8-0.05*reach, (&beside{own: own, next: next, drift: -0.05}).straightLeast(&b.Chain), 1e-12)
	assert.InDelta(t, 4-2.6-0.8-0.05*reach, (&beside{own: &Wheel{sprocket(20), 46}, next: &Wheel{sprocket(24), 50}, drift: 0.05}).straightLeast(&b.Chain), 1e-12)
	assert.InDelta(t, 4-2.6-0.8, (&beside{own: own, next: &Wheel{sprocket(10), 46}, drift: -0.05}).straightLeast(&b.Chain), 1e-12, "its tips lie below the plates")
}

// A loop's cage angle by hand, and that there is none without a tensioner.
func TestCageAngleByHand(t *testing.T) {
	l := Loop{N: 4}
	l.Wheels[AtGuide].Centre.X, l.Wheels[AtTension].Centre.X = 10, 10+30
	l.Wheels[AtGuide].Centre.Y, l.Wheels[AtTension].Centre.Y = -50, -50-40
	assert.InDelta(t, math.Atan(0.75), l.cageAngle(), 1e-12)
	l.Wheels[AtTension].Centre.X = 10 - 30
	assert.InDelta(t, -math.Atan(0.75), l.cageAngle(), 1e-12)
	l.N = 2
	assert.Zero(t, l.cageAngle())
	// A wheel's chain: its teeth by the share of a turn; a span in space by both of its ends.
	l = Loop{N: 2, pitch: 12, Line: [NumParts]float64{40, 45}}
	l.teeth[AtCog], l.Wraps[AtCog] = 18, math.Pi
	l.Spans[Top] = geom.Span{Length: 12}
	assert.InDelta(t, 9, l.Seat(AtCog), 1e-12)
	assert.InDelta(t, 13./12, l.SpanPitches(Top), 1e-12, "5, 12, 13")
	assert.InDelta(t, 9+13./12, l.part(int(AtCog)), 1e-12)
}

// The kernel's numbers of an idler, of pushed cogs and of a tube beside every run are those of
// the full evaluation too, for whole bikes and one after the other.
func TestOutcomeOfEveryLayout(t *testing.T) {
	e := new(Outcomes)
	for _, held := range []bool{false, true} {
		for _, line := range []float64{42, 60} {
			for _, diameter := range []float64{0, 16, 30} {
				for _, links := range []int{0, 118} {
					b := highPivot()
					b.Idler.Held, b.Idler.Line = held, line
					b.Idler.Z = 60 + 2*line
					b.Stay.Diameter, b.Stay.Face = diameter, 30
					b.Tyre.Dish = 0.1 * line
					b.Chain.Links = links
					if b.Validate() == nil {
						checkOutcome(t, b, e)
					}
				}
			}
		}
	}
	for _, d := range []Drive{Fixed, Coaster} {
		for _, line := range []float64{30, 44, 60} {
			b := pushed(d)
			b.Rings[0].Line = line
			b.Stay = &Stay{Face: 30, Radius: 80, Angle: 0.03, Flex: 1, Diameter: 18}
			checkOutcome(t, b, e)
		}
	}
}
