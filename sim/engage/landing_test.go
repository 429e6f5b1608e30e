package engage

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// A collapsed response gives what the whole one gives, within and beyond its ranges.
func TestLandingIsTheResponse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
		c := Chain{
			Pitch: 12.7, InnerWidth: f(2, 2.6, "in"), OuterWidth: f(3.2, 4.6, "out"), PlateHalfHeight: f(3.5, 4.5, "plate"),
			Bevel: f(0.1, 1, "bevel"), Slack: f(0, 0.04, "slack"), Stiffness: f(1e4, 4e5, "stiff"), Contact: f(2, 6, "contact"), Seat: f(0.02, 0.3, "seat"),
		}
		tooth := Tooth{Tip: f(0.5, 1.4, "tip"), Full: f(1.5, 1.9, "full"), Relief: 0.3}
		r := c.Pitch / (2 * math.Sin(math.Pi/float64(rapid.IntRange(9, 60).Draw(t, "teeth"))))
		w := Wheel{PitchRadius: r, TipRadius: r + f(1, 3.5, "height"), Teeth: [2]Tooth{tooth, tooth}, Allowance: f(0, 0.8, "allowance"), Driven: rapid.Bool().Draw(t, "driven")}
		bend, pull, length := f(0, 0.13, "bend"), math.Exp(f(-1, 8, "ln pull")), f(100, 900, "length")
		in, out := w.Beyond(c, w.Arrive(c, bend, pull, length))
		l := w.Landing(c)
		got := l.Past(bend, pull, length)
		if bend > 0 {
			assert.InDelta(t, min(in, out), got, 1e-12)
		}
		straight, behind := w.Beyond(c, Offsets{})
		assert.Equal(t, min(straight, behind), l.Past(0, pull, length))
	})
}
