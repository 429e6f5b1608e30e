package learn

import (
	"chainpath/sim"
	"chainpath/sim/infer"
)

// The spreads of a bicycle about what the model says of it (assumption, and by the field panel:
// one bicycle's gears differ alike), by what was seen: noise, a chain that comes off, and a chain
// that brushes something.
var (
	noiseSpread = infer.Spread{Common: 0.80, Near: 0.05, Own: 0.05, Try: 0.10, Rate: 0.5}
	offSpread   = infer.Spread{Common: 0.65, Near: 0.05, Own: 0.10, Try: 0.20, Rate: 0.1}
	rubSpread   = infer.Spread{Common: 0.75, Near: 0.05, Own: 0.10, Try: 0.10, Rate: 0.5}
)

// SpreadOf returns that of a fault.
func SpreadOf(k sim.Concern) *infer.Spread {
	switch k {
	case sim.NoiseRiding:
		return &noiseSpread
	case sim.DropRiding, sim.DropSmooth, sim.DropBackwards:
		return &offSpread
	}
	return &rubSpread
}
