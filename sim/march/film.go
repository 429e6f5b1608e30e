package march

import (
	"slices"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// Frame is where every link is at one moment.
type Frame struct {
	Angle  float64 // of the cranks, rad
	Places []Landing
}

// Film runs one trial up to a crank angle and keeps every step from another on,
// rad. A run that drops ends with the moment of the drop.
func (m *Drive) Film(seed, n uint64, from, to float64) ([]Frame, error) {
	short := *m
	short.set.Turns = min(m.set.Turns, to/fullTurn)
	short.set.Watch = nil
	var out []Frame
	_, err := short.Run(seed, n, Observer{Step: func(angle float64, p []Landing) {
		if angle >= from-1e-9 {
			out = append(out, Frame{angle, slices.Clone(p)})
		}
	}})
	return out, err
}

// Wheel is where a wheel stands along the path, mm from the middle of the ring's
// seat in the direction of travel. The ring comes twice: where the chain leaves it
// and where it arrives.
type Wheel struct {
	Part     sim.Part
	From, To float64 // the arc on which the chain lies, mm
	Line     float64 // y, mm
	Entry    engage.Wheel
}

// Wheels returns the wheels in the order of travel, and the path's length, mm.
func (m *Drive) Wheels() (w []Wheel, length float64) {
	p := m.track.pitch
	for _, s := range m.track.stations {
		w = append(w, Wheel{s.part, s.from * p, s.to * p, s.line, s.wheel})
	}
	return w, float64(m.track.links) * p
}
