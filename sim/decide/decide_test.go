package decide

import (
	"context"
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

func walls(t require.TestingT, b *sim.Bike) (*Walls, int) {
	links, err := b.ChooseLinks()
	require.NoError(t, err)
	w, err := FindWalls(context.Background(), b, links)
	require.NoError(t, err)
	return w, links
}

// gap returns the least gap of the whole evaluation beside a part, with the rings moved.
func gap(t require.TestingT, b *sim.Bike, shift float64, links int, part string) float64 {
	c := shifted(b, shift)
	c.Chain.Links = links
	var o sim.Outcome
	require.NoError(t, new(sim.Outcomes).Outcome(&o, c, links))
	if part == "tyre" {
		return o.Tyre.Value
	}
	return o.Stay.Value
}

// At an end the room that is asked for is just left, a little outside of it not, and in the middle it is.
func TestWallsGiveExactlyTheRoom(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	ends := 0
	for range 20 {
		b := bike()
		b.Frame.Stay = 415 + 45*rnd.Float64()
		b.Tyre.Mud = 6 * rnd.Float64()
		b.Tensioner.IndexError = 0.6*rnd.Float64() - 0.3
		w, links := walls(t, b)
		require.Len(t, w.Rooms, 2)
		for _, r := range w.Rooms {
			require.False(t, r.None)
			for side, e := range map[float64]End{-1: r.Lo, 1: r.Hi} {
				if e.Open {
					continue
				}
				ends++
				at := gap(t, b, e.Line-w.Front, links, r.Part)
				assert.InDelta(t, 0, at, 1e-7, r.Part)
				assert.GreaterOrEqual(t, at, 0.0, r.Part)
				assert.Less(t, gap(t, b, e.Line-w.Front+side*1e-4, links, r.Part), 0.0, r.Part)
				one := shifted(b, e.Line-w.Front+side*1e-4) // and it is that gear that ends it
				one.Cogs = one.Cogs[e.Cog : e.Cog+1]
				if r.Part == "tyre" {
					assert.Less(t, gap(t, one, 0, links, r.Part), 0.05, r.Part)
				}
			}
			assert.Greater(t, gap(t, b, (r.Lo.Line+r.Hi.Line)/2-w.Front, links, r.Part), 0.0)
		}
	}
	assert.Greater(t, ends, 20)
}

// Where the ring sits does not matter to the room beside the tyre, and moves that beside the stay, of
// which one measured gap is known, not at all in the frame.
func TestWallsDoNotDependOnTodaysLine(t *testing.T) {
	a := bike()
	wa, links := walls(t, a)
	wb, err := FindWalls(t.Context(), shifted(a, -3.7), links)
	require.NoError(t, err)
	assert.InDelta(t, wa.Front-3.7, wb.Front, 1e-12)
	for i := range wa.Rooms {
		for _, e := range [][2]End{{wa.Rooms[i].Lo, wb.Rooms[i].Lo}, {wa.Rooms[i].Hi, wb.Rooms[i].Hi}} {
			assert.Equal(t, e[0].Open, e[1].Open)
			if !e[0].Open {
				assert.InDelta(t, e[0].Line, e[1].Line, 1e-6)
			}
		}
	}
}

// A bike without tyre and stay has no walls; one whose mud room nothing can leave has no place, and the gear
// that lacks least is told.
func TestNoWallsAndNoPlace(t *testing.T) {
	b := bike()
	b.Tyre, b.Stay = nil, nil
	w, _ := walls(t, b)
	assert.Empty(t, w.Rooms)
	a := w.Along(nil, &Usual)
	assert.True(t, math.IsInf(a.From, -1) && math.IsInf(a.To, 1))

	b = bike()
	b.Tyre.Mud = 60
	w, links := walls(t, b)
	r := w.Rooms[0]
	require.True(t, r.None)
	assert.Equal(t, r.Lo, r.Hi)
	best := gap(t, b, r.Lo.Line-w.Front, links, "tyre")
	assert.Less(t, best, 0.0)
	for _, off := range []float64{-5, -1, -0.1, 0.1, 1, 5} {
		if at := r.Lo.Line - w.Front + off; math.Abs(at) <= Reach {
			assert.LessOrEqual(t, gap(t, b, at, links, "tyre"), best+1e-6)
		}
	}
}

// Ranges by hand: a chance of 0.01, 0.3, 0.7 at places a millimetre apart reaches 0.1 and a half where its
// log-odds do; open where the places end below a level, none where it is never below.
func TestRangesByHand(t *testing.T) {
	a := &Along{}
	chances := make([][]sim.Chances, 5)
	for i, p := range []float64{0.3, 0.02, 0.01, 0.3, 0.7} {
		a.Places = append(a.Places, Place{Line: 40 + float64(i)})
		gears := make([]sim.Chances, 2)
		for g := range gears {
			for k := range gears[g] {
				gears[g][k] = -1
			}
		}
		gears[0][sim.NoiseRiding], gears[1][sim.NoiseRiding] = p/2, p
		gears[0][sim.RubsNextCog] = 0.6
		gears[1][sim.DropRiding] = 0.05
		chances[i] = gears
	}
	lo := func(p float64) float64 { return math.Log(p / (1 - p)) }
	between := func(from, to, p float64) float64 { return (lo(p) - lo(from)) / (lo(to) - lo(from)) }
	got := a.Ranges(chances, 2)
	require.Len(t, got, 4, "a drop never reaches a tenth, nothing nine tenths")
	noise := got[:2]
	for i, want := range []Range{
		{sim.NoiseRiding, 0.1, End{Line: 41 - between(0.02, 0.3, 0.1), Cog: 1}, End{Line: 42 + between(0.01, 0.3, 0.1), Cog: 1}, false},
		{sim.NoiseRiding, 0.5, End{Line: 40, Open: true}, End{Line: 43 + between(0.3, 0.7, 0.5), Cog: 1}, false},
	} {
		assert.Equal(t, [2]int{want.Hi.Ring, want.Hi.Cog}, [2]int{noise[i].Hi.Ring, noise[i].Hi.Cog})
		assert.InDelta(t, want.Lo.Line, noise[i].Lo.Line, 1e-9)
		assert.InDelta(t, want.Hi.Line, noise[i].Hi.Line, 1e-9)
		assert.Equal(t, []any{want.Concern, want.Level, want.Lo.Open, want.Hi.Open, want.None}, []any{noise[i].Concern, noise[i].Level, noise[i].Lo.Open, noise[i].Hi.Open, noise[i].None})
	}
	for i, level := range []float64{0.1, 0.5} {
		r := got[2+i]
		assert.Equal(t, []any{sim.RubsNextCog, level, true}, []any{r.Concern, r.Level, r.None})
		assert.Equal(t, r.Lo, r.Hi)
	}
}
