package sim

import (
	"math"

	"chainpath/sim/engage"
)

// facts are what the chances of a gear go by, but for free numbers, teeth and chain: lengths,
// places, pulls and gaps, all of which change smoothly with a bike's dimensions while the
// chain lies in the gear as it does.
type facts struct {
	fit               Fit
	idled             bool
	top, lead, bottom run
	pulls             Tensions
	taut              float64 // pull of the top run backwards, were the chain not too long, N
	ringLine          float64 // y of the ring, mm
	beside            [3]besideGap
	besides           int // how many there are
	tyre              Gap // mud not allowed for
	pulley, cage      Gap
	rooms             Rooms
	slope             float64 // of the loop's length by the cage's angle, pitches/rad; 0 without a cage
	angle             float64 // of the cage, rad
}

// run is a straight piece of chain: its length in the side view, and Δy going forward on the
// bike, outboard positive, mm.
type run struct{ length, across float64 }

// span returns the run with its bend.
func (r run) span() Span {
	s := Span{Length: r.length, Across: r.across}
	if s.Across != 0 {
		s.Bend = math.Atan(math.Abs(s.Across) / s.Length)
	}
	return s
}

func runOf(s *Span) run { return run{s.Length, s.Across} }

// besideGap is the gap of a run to the next larger sprocket, mm, room not put on, and to the
// pins of a ring, which reach less far out than its teeth; none where it has no such pins.
type besideGap struct {
	kind      Kind // ToCog or ToRing
	gap, pins Gap
}

// parts returns the gap that a concern of softParts goes by.
func (x *facts) parts(k Concern) Gap {
	switch k {
	case RubsTyreAt:
		return x.tyre
	case PulleyMeets:
		return x.pulley
	}
	return x.cage
}

// measure lays a gear and fills in its facts. Errors are as of Gears.
func (o *Odds) measure(x *facts, b *Bike, ring, cog, links int, from *near) error {
	if err := o.lay(x, b, ring, cog, links, from); err != nil {
		return err
	}
	_, neighbours := o.s.laid.all()
	for i := range neighbours {
		n, g := &neighbours[i], &x.beside[i]
		*g = besideGap{kind: n.kind}
		var err error
		if g.gap, err = o.meet(n, &b.Chain, math.Inf(1)); err != nil {
			return err
		}
		if n.kind == ToRing && b.PinsAt > 0 && g.gap.Valid {
			low := n.pinned(b)
			if g.pins, err = o.meet(&low, &b.Chain, math.Inf(1)); err != nil {
				return err
			}
		}
	}
	x.parted(b, &o.loop)
	x.rooms = b.rooms(&o.loop, cog, o.ringStay)
	return nil
}

// parted fills in the gaps of tyre, pulley and cage.
func (x *facts) parted(b *Bike, l *Loop) {
	x.tyre = Gap{}
	if b.Tyre != nil {
		x.tyre = b.tyreGap(l)
		x.tyre.MM += b.Tyre.Mud
	}
	x.pulley, x.cage = b.pulleyGap(l), b.cageGap(l)
}

// lay fills in the facts but for gaps.
func (o *Odds) lay(x *facts, b *Bike, ring, cog, links int, from *near) error {
	y, l := &o.s.laid, &o.loop
	if err := y.lay(b, l, ring, cog, links, from); err != nil {
		return err
	}
	*x = facts{
		fit: y.fit, idled: l.Idled, top: runOf(&y.top), lead: runOf(&y.lead), bottom: runOf(&y.bottom),
		pulls: y.pulls, taut: y.taut, ringLine: b.Rings[ring].Line, besides: y.neighbour,
	}
	if b.Tensioner != nil {
		x.angle, x.slope = l.cageAngle(), b.cageSlope(l)
	}
	return nil
}

// cageSlope returns how the length of a loop changes with its cage's angle, pitches/rad: see
// cageRoot.at.
func (b *Bike) cageSlope(l *Loop) float64 {
	g, t := l.Wheels[AtGuide].Centre, l.Wheels[AtTension].Centre
	in, out := l.Spans[Bottom].Dir, l.Spans[Cage].Dir
	return ((in.X-out.X)*(g.Y-t.Y) + (in.Y-out.Y)*(t.X-g.X)) / l.pitch
}

// pinned returns a run beside a ring as if that reached no farther than its pins.
func (n *beside) pinned(b *Bike) beside {
	low := *n.next
	low.TipHeight = b.PinsAt - low.PitchRadius(b.Chain.Pitch)
	pins := *n
	pins.next = &low
	return pins
}

// meet returns the gap to a neighbour without room, which is drawn; one that is surely far as
// what it is at least, for the bowed strand never comes nearer than the straight.
//
// One of more than enough may stand as that as well.
func (o *Odds) meet(n *beside, c *Chain, enough float64) (Gap, error) {
	if g := (Gap{Valid: true, MM: n.straightLeast(c)}); g.MM > min(enough, leastMeeting) {
		return g, nil
	}
	s := n.strand(c, 0)
	if !math.IsInf(enough, 1) {
		if g := s.straight(); g.Valid && g.MM > enough {
			return g, nil
		}
	}
	return s.bowed(&o.s, n.hardest())
}

// landings are the wheels of a gear as links arrive on them, by how the wheel goes with the
// chain; nil: nothing is kept of it.
type landings struct {
	ring, cog [2]*engage.Landing
	idler     *engage.Landing
}
