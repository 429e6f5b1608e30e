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
func (c *Case) load(d *numbers) sim.Load {
	l := c.Load
	out := sim.Load{
		Torque:      1000 * l.Torque.Or(d.of("load.torque")),
		Tension:     l.Tension.Value,
		FreehubDrag: 1000 * l.FreehubDrag.Or(d.of("load.freehub_drag")),
		SlackSide:   l.SlackSide.Or(d.of("load.slack_side")),
		BackTorque:  1000 * l.BackTorque.Or(d.of("load.back_torque")),
		Sag:         l.Sag.Value,
		Bumps:       l.Bumps.Or(d.of("load.bumps")),
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
	return c.slackGiven()
}

// slackGiven refuses what is said of a slack or a pushed run that the bike does not have.
func (c *Case) slackGiven() error {
	l := c.Load
	switch {
	case c.Tensioner != nil && l.Sag.Given:
		return c.fail("load.sag", "given beside a tensioner, which takes up the chain")
	case c.Tensioner != nil && l.Bumps.Given:
		return c.fail("load.bumps", "given beside a tensioner, which takes up the chain")
	case l.Sag.Given && l.SlackSide.Given:
		return c.fail("load.sag", "sag and slack_side are both given, keep one")
	case !c.pushes() && l.BackTorque.Given:
		return c.fail("load.back_torque", "given with a freewheel, which nothing is pushed back on, want rear.drive fixed or coaster")
	case c.pushes() && c.says("load.freehub_drag"): // drawn sets have one in every case
		return c.fail("load.freehub_drag", "given with a %s cog, which has back_torque instead", c.Rear.Drive)
	}
	return nil
}

// says reports whether the file gives a field.
func (c *Case) says(path string) bool {
	_, ok := c.at[path]
	return ok
}

// Line returns the line of its file on which a case gives a field such as front.line, from
// 1; 0 where it does not.
func (c *Case) Line(path string) int { return c.at[path].line }

// pushes reports whether the cog is one that the pedals can push back on.
func (c *Case) pushes() bool { return c.Rear.Drive == "fixed" || c.Rear.Drive == "coaster" }

// drive reads the kind of cog.
func (c *Case) drive(b *sim.Bike) error {
	b.Drive = map[string]sim.Drive{"fixed": sim.Fixed, "coaster": sim.Coaster}[c.Rear.Drive]
	if b.Drive == sim.Freewheel {
		return nil
	}
	if n := len(c.Front.Rings) * len(c.Rear.Cogs); n > 1 {
		return c.fail("rear.drive", "a %s cog needs one gear, not %d: write freewheel, or one chainring and one cog", c.Rear.Drive, n)
	}
	if c.Tensioner != nil {
		return c.fail("rear.drive", "%s beside a tensioner, whose cage the push back would pull straight, want freewheel, or no tensioner", c.Rear.Drive)
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
