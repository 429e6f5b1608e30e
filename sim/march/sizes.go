package march

import "chainpath/sim"

// Direction returns which way the cranks turn.
func (m *Drive) Direction() sim.Direction { return m.track.direction }

// Links returns how many links the chain has.
func (m *Drive) Links() int { return m.track.links }

// Size is what a link of a drawn chain has of its own.
type Size struct {
	Width float64 // inside the plates, mm
	Bevel float64 // how far beyond touching it is guided, by this chain's spread too, mm
	Slack float64 // of its joint, rad
}

// Sizes returns those of trial n of a seed, by how many links they are behind the first one.
func (m *Drive) Sizes(seed, n uint64, first int) func(behind int) Size {
	d, links := m.track.draw(&m.set, seed, n), m.track.links
	return func(behind int) Size {
		k := ((first-behind)%links + links) % links
		return Size{d.width[k], d.bevel[k] - d.band, d.slack[k]}
	}
}
