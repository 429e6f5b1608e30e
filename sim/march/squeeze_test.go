package march

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/pins"
)

// By hand: pitch 12, tooth 2.4 long, so that its ends are 0.1 of the link off the middle. A
// link from 0.9 to 1.9 is at 1.3 and 1.5 there; about a centre of 1.0 with 0.2 of play the far
// end is 0.3 beyond, the near one 0.1.
func TestHowFarBeyond(t *testing.T) {
	r := &pins.Row{Pitch: 12, Stiffness: 1, Tooth: 1.2}
	r.Resize(5)
	r.Y[1], r.Y[2] = 0.9, 1.9
	assert.InDelta(t, 0.3, r.Over(&pins.Seat{Link: 1, Centre: 1, Play: 0.2}), 1e-12)
	assert.InDelta(t, 0.3, r.Over(&pins.Seat{Link: 1, Centre: 1.8, Play: 0.2}), 1e-12) // 1.3 lies 0.3 below 1.6
	assert.Zero(t, r.Over(&pins.Seat{Link: 1, Centre: 1.4, Play: 0.1000001}))
	r.Y[1], r.Y[2] = math.Copysign(0.9, -1), -1.9
	assert.InDelta(t, 0.3, r.Over(&pins.Seat{Link: 1, Centre: -1, Play: 0.2}), 1e-12)
}

// A drive whose pulleys stand so far off the cog that the problem of all hard teeth has no
// solution: links climb that have no room, few of them and where the wheels are near each
// other, and the rest is an equilibrium within all bounds.
func TestNoRoomBesideAllTeeth(t *testing.T) {
	for _, d := range []sim.Direction{sim.Riding, sim.Backwards} {
		for _, off := range []float64{-6, 6} {
			b := bike()
			b.Tensioner.IndexError = off
			m := ready(t, b, 4, d, Set{Turns: 1})
			m.track.stations[1].line += off / 2 // one pulley alone, as with a bent hanger
			squeezes, most := 0, 0
			out, err := m.Run(1, 0, Observer{Event: func(e Event) {
				if e.Kind == Climbs {
					squeezes++
				}
			}})
			require.NoError(t, err)
			for _, x := range out.At {
				most += x.Climbs
			}
			assert.Equal(t, most, squeezes)
			assert.True(t, out.Dropped || out.Turned > 6.28)
		}
	}
}

// Where the bounds leave no place the row says so soon, and does not where they do.
func TestStuck(t *testing.T) {
	r := &pins.Row{Pitch: 12.7, Stiffness: 8e4, Tooth: toothLength / 2, Give: give}
	r.Resize(21)
	for i := range r.Tension {
		r.Tension[i] = 100
	}
	for i := range r.Moment {
		r.Moment[i], r.Slack[i] = 50, 0.01
	}
	two := func(apart float64) bool {
		clear(r.Y)
		clear(r.Bend)
		r.Soft = pins.SoftBlind
		// One link between two teeth, and one tooth twice: it cannot be in both.
		r.Seats = append(r.Seats[:0], pins.Seat{Link: 9, Play: 0.2, Centre: 0}, pins.Seat{Link: 9, Play: 0.2, Centre: apart})
		return r.Solve()
	}
	assert.True(t, two(0.399))
	assert.False(t, r.Stuck)
	assert.False(t, two(0.6))
	assert.True(t, r.Stuck)
	assert.InDelta(t, 0.1, r.Over(&r.Seats[0]), 1e-3) // half of what is missing each
	assert.InDelta(t, 0.1, r.Over(&r.Seats[1]), 1e-3)
}
