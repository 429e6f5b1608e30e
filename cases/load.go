package cases

import (
	"chainpath/sim"
	"chainpath/sim/loss"
	"chainpath/sim/march"
)

// Friction returns what losses are computed with.
func (c *Case) Friction() loss.Friction {
	d, f := defaultsFor(c.Speeds), c.Rubbing
	return loss.Friction{
		Cadence: c.Load.Cadence.Or(d.of("load.cadence")),
		Pin:     f.Pin.Or(d.of("friction.pin")),
		Flank:   f.Flank.Or(d.of("friction.flank")),
		Bearing: 1000 * f.Bearing.Or(d.of("friction.bearing_drag")),
	}
}

// load returns the rider's load; what is given beside what is loadGiven's to
// refuse.
func (c *Case) load(d defaults) sim.Load {
	l := c.Load
	out := sim.Load{
		Torque:      1000 * l.Torque.Or(d.of("load.torque")),
		Tension:     l.Tension.Value,
		FreehubDrag: 1000 * l.FreehubDrag.Or(d.of("load.freehub_drag")),
		SlackSide:   l.SlackSide.Or(d.of("load.slack_side")),
	}
	if l.Power.Given && l.Cadence.Given {
		out.Torque = sim.TorqueOf(l.Power.Value, l.Cadence.Value)
	}
	return out
}

func (c *Case) loadGiven() error {
	l := c.Load
	ways := 0
	for _, g := range []bool{l.Torque.Given, l.Power.Given, l.Tension.Given} {
		if g {
			ways++
		}
	}
	if ways > 1 {
		return c.fail("load", "more than one of torque, power and tension, want one")
	}
	if l.Power.Given && !l.Cadence.Given {
		return c.fail("load", "power without cadence")
	}
	return nil
}

// Tolerances returns how single links and wheels differ, for marches.
func (c *Case) Tolerances() march.Tolerance {
	d, x := defaultsFor(c.Speeds), c.Spread
	return march.Tolerance{
		Width:  x.Width.Or(d.of("tolerances.link_width")),
		Bevel:  x.Bevel.Or(d.of("tolerances.bevel")),
		Slack:  sim.Radians(x.Slack.Or(d.of("tolerances.slack"))),
		RunOut: x.RunOut.Or(d.of("tolerances.run_out")),
	}
}
