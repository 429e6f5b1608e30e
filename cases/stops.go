package cases

import (
	"slices"

	"chainpath/sim"
)

// soundFloat is how far a sound guide pulley slides either way at most, mm (assumption); what
// it slides further is lost to shifts.
const soundFloat = 1.0

// gatesFrom is how many cogs a cluster has at least that usually has shift gates (common
// practice, no published source).
const gatesFrom = 7

// Steps that can be, in pitches of the cogs: less or more is a slip, or another part.
const leastStep, mostStep = 0.7, 1.4

// mostOff is how far off its best a cable is set at most, mm, as tensioner.index_error has it.
const mostOff = 3.0

// Ratios that can be, as tensioner.ratio has them.
const leastRatio, mostRatio = 0.8, 3.0

// stops returns what a case says of shifter, cable and adjuster. Nothing of it is read off the
// lines of the cogs. Errors are *Error.
func (c *Case) stops(d *numbers) (s sim.Stops, err error) {
	t, n := c.Tensioner, len(c.Rear.Cogs)
	s = sim.Stops{
		Pitch: d.of("rear.cog_pitch"), Typical: standingShifts(), Electric: t.Actuation == "electric",
		Play: max(0, t.Float.Or(0)-soundFloat), Gates: n >= gatesFrom,
	}
	if len(c.Rear.Gates) > 0 {
		s.Gates = slices.Max(c.Rear.Gates) > 0
	}
	for _, near := range []int{c.Speeds - 1, c.Speeds + 1} {
		if p := sizesFor(near).cogPitch; near > 1 && c.Speeds > 1 && p != s.Pitch {
			s.Others = append(s.Others, p)
		}
	}
	if s.Electric {
		for path, given := range map[string]bool{"cable_per_shift": len(t.Cable) > 0, "ratio": t.Ratio.Given, "adjuster_pitch": t.Adjuster.Given, "adjuster_clicks": t.Clicks > 0, "adjuster_range": t.Counted != nil} {
			if given {
				return s, c.fail("tensioner."+path, "given with electric actuation, which has no cable")
			}
		}
		return s, nil
	}
	ratio := d.of("tensioner.ratio")
	if err := c.steps(&s, &ratio); err != nil {
		return s, err
	}
	clicks := float64(t.Clicks)
	if t.Clicks == 0 {
		clicks = d.of("tensioner.adjuster_clicks")
	}
	s.Click = t.Adjuster.Or(d.of("tensioner.adjuster_pitch")) / clicks * ratio
	return s, nil
}

// steps works out the shifter's steps at the pulley, where the case gives the cable; ratio
// becomes the one that holds.
func (c *Case) steps(s *sim.Stops, ratio *float64) error {
	t, n := c.Tensioner, len(c.Rear.Cogs)
	if t.Ratio.Given {
		*ratio = t.Ratio.Value
	}
	if len(t.Cable) == 0 || n < 2 {
		return nil
	}
	if len(t.Cable) != 1 && len(t.Cable) != n-1 {
		return c.fail("tensioner.cable_per_shift", "%d given, want one, or one for each of the steps (%d)", len(t.Cable), n-1)
	}
	cable, sum := values(t.Cable), 0.0
	for len(cable) < n-1 {
		cable = append(cable, cable[0])
	}
	for _, x := range cable[:n-1] {
		sum += x
	}
	mean := sum / float64(n-1)
	if !t.Ratio.Given {
		*ratio = s.Pitch / mean
		if len(t.Cable) == 1 {
			return c.ratioCanBe(*ratio, mean, s.Pitch)
		}
	}
	for _, x := range cable[:n-1] {
		s.Steps = append(s.Steps, *ratio*x)
	}
	if step := *ratio * mean; step < leastStep*s.Pitch || step > mostStep*s.Pitch {
		return c.fail("tensioner.ratio", "%g with %.4g mm of cable moves the pulley %.3g mm a shift, want %.3g to %.3g mm for cogs %g mm apart", *ratio, mean, step, leastStep*s.Pitch, mostStep*s.Pitch, s.Pitch)
	}
	return c.ratioCanBe(*ratio, mean, s.Pitch)
}

// ratioCanBe refuses cable that no derailleur's ratio goes with.
func (c *Case) ratioCanBe(ratio, cable, pitch float64) error {
	if lo, hi := leastRatio, mostRatio; ratio < lo || ratio > hi {
		return c.fail("tensioner.cable_per_shift", "%.4g mm for cogs %g mm apart asks for a ratio of %.3g, want %.3g to %.3g mm", cable, pitch, ratio, pitch/hi, pitch/lo)
	}
	return nil
}
