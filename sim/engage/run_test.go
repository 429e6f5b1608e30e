package engage

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// checkRow is one row of the check numbers that came with the model: half runs, each
// found by a program of others. Limits are those at which x_in reaches clear and
// guided, and x_out its guided band.
type checkRow struct {
	teeth                    int
	tension, seat, contact   float64
	stiff, half, hold, slack float64 // N·m/rad, mm, -, °
	full                     float64
	wide                     bool
	bend                     float64 // °
	in, out                  float64 // mm
	limits                   [3]float64
}

var checkRows = []checkRow{
	{51, 11, .1, 3.88, 100, 215, 1, .6, 1.6, false, 3.3, 1.1989, 1.8006, [3]float64{.8312, 2.3080, 3.4270}},
	{42, 12, .1, 3.88, 100, 215, 1, .6, 1.6, false, 2.8, 1.1166, 1.6069, [3]float64{.8806, 2.4423, 3.6466}},
	{28, 8, .1, 3.88, 100, 205, 1, .6, 1.6, false, 3.0, 1.0662, 1.6461, [3]float64{1.1784, 2.8108, 3.9674}},
	{11, 8, .1, 3.88, 100, 205, 1, .6, 1.6, false, 2.0, .7560, 1.1422, [3]float64{1.5860, 3.7177, 4.7347}},
	{51, 11, 0, 0, 100, 215, 1, .6, 1.6, false, 3.3, 1.3413, 1.9789, [3]float64{.8015, 1.9718, 3.1092}},
	{51, 11, 0, 3.88, 100, 215, 1, .6, 1.6, false, 3.3, 1.1987, 1.8066, [3]float64{.7879, 2.0603, 3.5374}},
	{42, 12, .1, 3.88, 100, 215, 1, 1.5, 1.6, false, 2.8, 1.3984, 1.9157, [3]float64{.8916, 1.8798, 2.7758}},
	{32, 617, .1, 3.88, 100, 215, .85, .6, 1.8, true, 3.6, .6669, 1.2509, [3]float64{3.0250, 7.5453, 3.3909}},
	{50, 260, .1, 3.88, 100, 205, .85, .6, 1.8, false, 3.0, 1.1089, 1.6498, [3]float64{1.0738, 2.5577, 3.7687}},
	{34, 385, .1, 3.88, 200, 205, .85, .6, 1.8, false, 3.0, 1.0308, 1.5841, [3]float64{1.1936, 2.9033, 4.1150}},
}

func (k checkRow) run() Run {
	r := testRun(k.teeth, k.full, k.wide)
	r.Tension, r.Seat, r.Contact, r.ToHold = k.tension, k.seat, k.contact, k.hold
	r.Chain.Stiffness, r.Chain.Slack = k.stiff*1000, k.slack*deg
	return r
}

// testRun is a run of 430 mm onto a wheel from an alike one.
func testRun(teeth int, full float64, wide bool) Run {
	r := 12.7 / (2 * math.Sin(math.Pi/float64(teeth)))
	t := Tooth{Tip: 1, Full: full, Relief: 17 * deg}
	w := Wheel{PitchRadius: r, TipRadius: r + 2.3, Teeth: [2]Tooth{t, t}}
	if wide {
		w.Teeth[Outer] = Tooth{Tip: 2.4, Full: 3.5, Relief: 17 * deg}
	}
	return Run{
		Chain: Chain{Pitch: 12.7, InnerWidth: 2.18, OuterWidth: 4, PlateHalfHeight: 4, Bevel: .4, Slack: .6 * deg, Stiffness: 1e5},
		To:    w, From: w, Length: 430, Tension: 11, Contact: 3.88, Seat: .1, ToHold: 1,
	}
}

// The check numbers of the model's second edition, to their digits.
func TestCheckRows(t *testing.T) {
	var m Marcher
	for i, k := range checkRows {
		t.Run(fmt.Sprint(i+1), func(t *testing.T) {
			r := k.run()
			how := MarchOptions{Half: k.half}
			a, err := m.Arrive(&r, k.bend*deg, how)
			require.NoError(t, err)
			require.InDelta(t, k.in, a.Inner, 1e-4, "x_in, mm")
			require.InDelta(t, k.out, a.Outer, 1.5e-4, "x_out, mm")
			clear := func(l Link) float64 { return (r.Chain.Width(l) - r.To.Teeth[l].Tip) / 2 }
			for j, limit := range k.limits {
				a, err := m.Arrive(&r, limit*deg, how)
				require.NoError(t, err)
				got := [3]float64{a.Inner, a.Inner, a.Outer}[j]
				want := [3]float64{clear(Inner), clear(Inner) + .4, clear(Outer) + .4}[j]
				require.InDelta(t, want, got, 2e-4, "limit %d, mm", j)
			}
		})
	}
}

func BenchmarkArrive(b *testing.B) {
	for _, x := range []struct {
		name string
		half float64
		seat float64
	}{{"half", 215, .1}, {"whole", 0, .1}, {"whole-frictionless", 0, 0}} {
		b.Run(x.name, func(b *testing.B) {
			r := checkRows[0].run()
			r.Seat = x.seat
			var m Marcher
			b.ReportAllocs()
			for b.Loop() {
				if _, err := m.Arrive(&r, 3.3*deg, MarchOptions{Half: x.half}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
