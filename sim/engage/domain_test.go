package engage

import (
	"math"
	"math/rand/v2"
)

// drawnRun draws a run and a bend from all over the range that responses are made
// for: the shipped response was fitted to such runs.
func drawnRun(r *rand.Rand, load Duty) (Run, float64) {
	span := ResponseRanges(Kind{Duty: load})
	at := func(i int) float64 { return span[i][0] + r.Float64()*(span[i][1]-span[i][0]) }
	tension, hold := math.Exp(math.Log(2)+r.Float64()*math.Log(12.5)), 1.0
	if load == Driven {
		tension, hold = math.Exp(math.Log(60)+r.Float64()*math.Log(25)), 0.85
	}
	const pitch, full = 12.7, 2.4
	wheel := func(teeth, overlap, deep float64) Wheel {
		t := Tooth{Tip: full - 2*deep*math.Tan(17*deg), Full: full, Relief: 17 * deg}
		p := pitch / (2 * math.Sin(math.Pi/teeth))
		return Wheel{PitchRadius: p, TipRadius: p + overlap - 4, Teeth: [2]Tooth{t, t}}
	}
	bend := at(0) * deg
	run := Run{
		Chain: Chain{
			Pitch: pitch, InnerWidth: full + 2*at(6), OuterWidth: full + 2*at(7), PlateHalfHeight: 4, Bevel: 0.4,
			Slack: at(2) * deg, Stiffness: math.Exp(at(1)) * tension * pitch,
		},
		To: wheel(math.Round(1/at(5)), at(8), at(9)), From: wheel(32, 6.3, 1), Length: 1 / at(10), Tension: tension,
		Contact: at(3), Seat: at(4), ToHold: hold, Tooth: 2.4,
	}
	return run, bend
}
