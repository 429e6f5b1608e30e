package decide

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// bike is an invented 1×5 with few gears, so that a window exists, and teeth that hold
// little, so that it has ends.
func bike() *sim.Bike {
	tooth := engage.Tooth{Tip: 1, Full: 1.6, Relief: sim.Radians(17)}
	wheel := func(teeth int, line float64) sim.Wheel {
		return sim.Wheel{Sprocket: sim.Sprocket{Teeth: teeth, TipHeight: 2.3, Tooth: tooth, Allowance: 0.25}, Line: line}
	}
	b := &sim.Bike{
		Chain: sim.Chain{
			Chain: engage.Chain{Pitch: 12.7, InnerWidth: 2.18, OuterWidth: 4, PlateHalfHeight: 4, Bevel: 0.15, Slack: sim.Radians(1.2), Stiffness: 3e4, Contact: 3.9, Seat: 0.1},
			Width: 5.2, Proud: 0.2, Pin: 3.66, Margin: 1,
		},
		Frame:     sim.Frame{Stay: 440, Drop: 58},
		Rings:     []sim.Wheel{wheel(34, 49)},
		Tensioner: &sim.Tensioner{Guide: wheel(11, 0).Sprocket, Tension: wheel(11, 0).Sprocket, Cage: 90, Direction: 0.26, Gap: [2]float64{10, 6}, Folded: -1.3, Stretched: 1.3, Spring: 1200},
		Tyre:      &sim.Tyre{BeadSeat: 622, Section: 50, Width: 52, Mud: 6},
		Stay:      &sim.Stay{Face: 40, Radius: 70, Angle: 0.06, Flex: 1, Diameter: 18},
		Load:      sim.Load{Torque: 40000, FreehubDrag: 80},
		NoiseFrom: sim.Radians(1.2),
	}
	for i, y := range sim.CogLines(47, 3.65, 5) {
		b.Cogs = append(b.Cogs, wheel([]int{13, 16, 19, 23, 28}[i], y))
	}
	return b
}

func window(t require.TestingT, b *sim.Bike) (*Window, int) {
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	w, err := FindWindow(b, links)
	require.NoError(t, err)
	return w, links
}

// At an edge the margin named there is zero, computed anew on the model, and no
// other margin of the bar's kind is less; a little outside it is negative.
func TestWindowEdgesGiveExactlyTheLimit(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	for range 12 { // a window is some 300 solves; a few bikes of every kind do
		b := bike()
		b.Frame.Stay = 415 + 45*rnd.Float64()
		b.Chain.Slack = sim.Radians(0.3 + 0.9*rnd.Float64())
		b.Tensioner.IndexError = 0.6*rnd.Float64() - 0.3
		w, links := window(t, b)
		e := sim.Evaluator{}
		least := func(line float64, k Bar) sim.Margin {
			ms, err := e.Margins(nil, shifted(b, line-w.Front), links)
			require.NoError(t, err)
			out := sim.Margin{Value: math.Inf(1)}
			for _, m := range ms {
				if m.Kind == k.Kind && m.Direction == k.Direction && m.Value < out.Value {
					out = m
				}
			}
			return out
		}
		for _, bar := range w.Bars {
			if bar.Empty {
				continue
			}
			for side, edge := range map[float64]Edge{-1: bar.Lo, 1: bar.Hi} {
				if edge.Open {
					continue
				}
				at := least(edge.Line, bar)
				assert.InDelta(t, 0, at.Value, 1e-7, "%s", bar.Name())
				assert.GreaterOrEqual(t, at.Value, 0.0, "%s", bar.Name())
				assert.Less(t, least(edge.Line+side*1e-4, bar).Value, 0.0, "%s", bar.Name())
			}
			mid := least((bar.Lo.Line+bar.Hi.Line)/2, bar)
			assert.GreaterOrEqual(t, mid.Value, 0.0)
		}
	}
}

// A single cog with its pulleys under it has a window symmetrical about it.
func TestWindowOfOneCogIsSymmetrical(t *testing.T) {
	b := bike()
	b.Cogs = b.Cogs[2:3]
	b.Tyre, b.Stay = nil, nil
	b.Load.SlackSide = 5
	w, _ := window(t, b)
	for _, bar := range w.Bars {
		if bar.Lo.Open || bar.Hi.Open {
			continue
		}
		assert.InDelta(t, w.Rear, (bar.Lo.Line+bar.Hi.Line)/2, 1e-6, bar.Name())
	}
	assert.InDelta(t, w.Rear, (w.Quiet.From+w.Quiet.To)/2, 1e-6)
}

// Where the ring sits does not matter to the window, but for the chainstay, of
// which one measured gap is known.
func TestWindowDoesNotDependOnTodaysLine(t *testing.T) {
	a := bike()
	wa, links := window(t, a)
	wb, err := FindWindow(shifted(a, -3.7), links)
	require.NoError(t, err)
	require.Len(t, wb.Bars, len(wa.Bars))
	for i := range wa.Bars {
		if !wa.Bars[i].Lo.Open {
			assert.InDelta(t, wa.Bars[i].Lo.Line, wb.Bars[i].Lo.Line, 1e-6)
		}
		if !wa.Bars[i].Hi.Open {
			assert.InDelta(t, wa.Bars[i].Hi.Line, wb.Bars[i].Hi.Line, 1e-6)
		}
	}
}

func TestWindowShrinksWithWorseParts(t *testing.T) {
	sound := bike()
	sound.Chain.Slack = sim.Radians(0.7)
	base, _ := window(t, sound)
	width := func(o Overlap) float64 { return o.To - o.From }
	worn := bike()
	worn.Chain.Slack = sim.Radians(1.1)
	w, _ := window(t, worn)
	assert.Less(t, width(w.Safe), width(base.Safe))
	short := bike()
	short.Chain.Slack, short.Frame.Stay = sound.Chain.Slack, 410
	w, _ = window(t, short)
	assert.Less(t, width(w.Safe), width(base.Safe))
}

func TestEmptyWindowNamesThePair(t *testing.T) {
	b := bike()
	b.Stay.Face = 52 // the stay pushes the ring out past what the largest cog bears
	w, _ := window(t, b)
	require.True(t, w.Safe.Empty)
	assert.Equal(t, sim.ToStay, w.Bars[w.Safe.Lo].Kind)
	assert.Equal(t, sim.ToClimb, w.Bars[w.Safe.Hi].Kind)
	assert.InDelta(t, w.Bars[w.Safe.Lo].Lo.Line-w.Bars[w.Safe.Hi].Hi.Line, w.Safe.Lacking, 1e-12)

	never := bike()
	never.Tensioner.IndexError = 2.5 // the guide span is bent too far at any front line
	w, _ = window(t, never)
	require.True(t, w.Safe.Empty)
	require.GreaterOrEqual(t, w.Safe.Never, 0)
	assert.Less(t, w.Bars[w.Safe.Never].Never.Value, 0.0)
}
