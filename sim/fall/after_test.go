package fall

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// Leans at the touch, while the next link lands and at the neighbour, by the same dynamics; far where
// the model is further off than half a degree. There a strand comes with its outer side down by 1° a
// link at the touch, and gets up within ten degrees of the cranks, which is not quasi-static.
func TestLeansAreThoseOfTheDynamics(t *testing.T) {
	type lean struct{ angle, want, far float64 }
	tests := map[*bike][][]lean{
		&big: {
			{{0, -1.8, 0}, {10, -1.6, 0}, {46.9, -0.3, 0}, {83.4, -0.5, 0}, {95.5, 0.3, 0}, {138.3, 1, 1.6}},
			{{10, -0.8, 0}, {46.9, -0.1, 0}, {83.4, -2.6, 2.5}, {95.5, -1.9, 1.7}, {138.3, -1.3, 0.9}},
			{{10, -0.2, 2}, {46.9, -1.1, 0}, {83.4, -2.5, 2.1}, {95.5, -2.4, 1.6}, {138.3, -2.3, 1.2}},
		},
		&small: {
			{{0, -1.9, 0}, {6.3, -2, 0}, {43.3, -0.1, 0}, {87.2, 0.6, 0}, {130, 2.2, 2.4}, {175.6, 4.6, 3.2}},
			{{6.3, -2.2, 1.2}, {43.3, 0, 0}, {87.2, -1.8, 1.6}, {130, -0.4, 0}, {175.6, 1.8, 2.8}},
			{{6.3, -3.2, 1.3}, {43.3, -1, 0}, {87.2, -2.6, 1.6}, {130, -3.4, 2.4}, {175.6, -2.5, 1.1}},
		},
	}
	for b, links := range tests {
		out := b.run(t, 3.3, 1)
		for _, f := range out.Frames { // 13° at most up to rest
			for _, l := range f.Links[3 : 3+7] {
				assert.LessOrEqual(t, math.Abs(sim.Degrees(l.Lean)), 13.0, "%s, %g°, f%+d", b.name, sim.Degrees(f.Angle), l.N)
			}
		}
		for n, rows := range links {
			for _, r := range rows {
				assert.InDelta(t, r.want, sim.Degrees(out.at(r.angle, n).Lean), max(0.5, r.far), "%s, %g°, f%+d", b.name, r.angle, n)
			}
		}
	}
}

// The third link is below 5 mm and falls at 83.4° with 3.3° of bend, at 74° with 3.8°. Here that hangs
// on how far the run leans: with one that comes upright it leaves its tip on landing, and is that low
// at 69°.
func TestTheThirdLinkFallsAsInTheDynamics(t *testing.T) {
	for bend, want := range map[float64]struct{ angle, far float64 }{3.3: {83.4, 11}, 3.8: {74, 5}} {
		out := big.run(t, bend, 1)
		for _, f := range out.Frames {
			if l := f.Links[2+3]; l.Height < 5 {
				assert.InDelta(t, want.angle, sim.Degrees(f.Angle), want.far, "%g°", bend)
				break
			}
		}
	}
}

// What the dynamics says of the time after the neighbour: when the wheel beyond it is touched, and on
// which wheel the chain comes to rest when. That is not robust there. Far is how far the model is off
// where that is more than 10°, and by how many wheels.
func TestTheChainComesToRest(t *testing.T) {
	long := func(s *Setup, bend float64) *Setup {
		const run = 600
		s.Run += run - 430
		s.over = func(pitches float64) float64 {
			return run * math.Tan(sim.Radians(min(bend, 1.8+(bend-1.8)*(38+pitches*360/32)/45)))
		}
		return s
	}
	lightly := func(s *Setup) *Setup {
		s.Tension = 8
		return s
	}
	for name, c := range map[string]struct {
		*Setup
		touch, farTouch   float64 // of the neighbour
		second, farSecond float64
		cog, farCog       int // 0: no rest stated
		rest, farRest     float64
	}{
		"51, 2.8°, 8 N":         {Setup: lightly(big.setup(2.8, 1)), touch: 119},
		"51, 2.8°, 8 N, 600 mm": {Setup: long(lightly(big.setup(2.8, 1)), 2.8), touch: 97, farTouch: 19, second: 163, cog: 2, rest: 232, farRest: 15},
		"51, 3.3°":              {Setup: big.setup(3.3, 1), touch: 95.5, second: 138.3, farSecond: 21},
		"51, 3.3°, 600 mm":      {Setup: long(big.setup(3.3, 1), 3.3), cog: 4, farCog: 2, rest: 253, farRest: 60},
		"51, 3.8°":              {Setup: big.setup(3.8, 1), touch: 95.7, second: 141.6},
		"42, 3.3°":              {Setup: small.setup(3.3, 1), touch: 87.2, second: 130, farSecond: 11, cog: 2, rest: 175.6},
		"42, 3.8°":              {Setup: small.setup(3.8, 1), touch: 83.7, second: 124.5, cog: 2, farCog: 1, rest: 172.4, farRest: 100},
	} {
		out, err := Run(c.Setup)
		require.NoError(t, err)
		for wheel, want := range map[int][2]float64{1: {c.touch, c.farTouch}, 2: {c.second, c.farSecond}} {
			if want[0] == 0 {
				continue
			}
			e, ok := out.first(func(e Event) bool { return e.Cog == wheel && e.State != Beyond })
			assert.True(t, ok, name)
			assert.InDelta(t, want[0], sim.Degrees(e.Angle), max(10, want[1]), "%s: touches wheel %d", name, wheel)
		}
		if c.cog == 0 {
			continue
		}
		assert.Equal(t, AtRest, out.End, name)
		assert.InDelta(t, c.cog, out.Cog, float64(c.farCog), "%s: wheel that it rests on", name)
		assert.InDelta(t, c.rest, sim.Degrees(out.Angle), max(10, c.farRest), "%s: at rest", name)
	}
}
