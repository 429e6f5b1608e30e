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
	tooLong           float64 // Fit.TooLong
	idled             bool
	top, lead, bottom run
	bare              Tensions // were the chain not too long
	pulls             Tensions
	ringLine          float64 // y of the ring, mm
	beside            [3]besideGap
	besides           int                  // how many there are
	tyre              float64              // gap, mud not allowed for, mm; +Inf: there is none
	tyres             [2]float64           // of the runs above and below
	parts             [numPartGaps]float64 // of partGaps, the same
	rooms             Rooms
	besideLines       [2]float64 // what of tyre a design changes but by the lines, mm
	slope             float64    // of the loop's length by the cage's angle, pitches/rad; 0 without a cage
	angle             float64    // of the cage, rad
	lever             float64    // on which the chain turns it, mm
	wrap              float64    // of the guide pulley, rad
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
// pins of a ring, which reach less far out than its teeth; +Inf: there is none.
type besideGap struct {
	kind      kind
	span      int // Top or Bottom
	gap, pins float64
}

// orNone returns a gap's mm, +Inf where there is none.
func (g Gap) orNone() float64 {
	if !g.Valid {
		return math.Inf(1)
	}
	return g.MM
}

// measure lays a gear and fills in its facts. Errors are as of Gears.
func (o *Odds) measure(x *facts, b *Bike, ring, cog, links int, from *near) error {
	if err := o.lay(x, b, ring, cog, links, from); err != nil {
		return err
	}
	_, neighbours := o.s.laid.all()
	for i := range neighbours {
		n, g := &neighbours[i], &x.beside[i]
		if *g = (besideGap{n.kind, n.span, math.Inf(1), math.Inf(1)}); o.Alone {
			continue
		}
		near, err := o.meet(n, &b.Chain, math.Inf(1))
		if err != nil {
			return err
		}
		g.gap = near.orNone()
		if n.kind == toRing && b.PinsAt > 0 && near.Valid {
			low := n.pinned(b)
			if near, err = o.meet(&low, &b.Chain, math.Inf(1)); err != nil {
				return err
			}
			g.pins = near.orNone()
		}
	}
	x.parted(b, &o.loop)
	x.rooms = b.rooms(&o.loop, cog, o.ringStay)
	return nil
}

// parted fills in the gaps of the tyre and of partGaps.
func (x *facts) parted(b *Bike, l *Loop) {
	x.tyres = b.tyreRuns(l)
	x.tyre = min(x.tyres[0], x.tyres[1])
	for i := range partGaps {
		x.parts[i] = partGaps[i].gap(b, l).orNone()
	}
}

// tyreRuns returns the gaps of the top run, with that from an idler, and of the bottom run to the
// tyre, mud not allowed for, mm; +Inf where there is no tyre.
func (b *Bike) tyreRuns(l *Loop) [2]float64 { return [2]float64{b.tyreRun(l, 0), b.tyreRun(l, 1)} }

// tyreRun returns one of tyreRuns.
func (b *Bike) tyreRun(l *Loop, run int) float64 {
	if b.Tyre == nil {
		return math.Inf(1)
	}
	var g Gap
	if run == 0 {
		b.nearerTyre(l, &g, Top, Lead)
	} else {
		b.nearerTyre(l, &g, Bottom)
	}
	return g.MM + b.Tyre.Mud
}

// lay fills in the facts but for gaps.
func (o *Odds) lay(x *facts, b *Bike, ring, cog, links int, from *near) error {
	y, l := &o.s.laid, &o.loop
	if err := y.lay(b, l, ring, cog, links, from); err != nil {
		return err
	}
	*x = facts{
		fit: y.fit, tooLong: y.fit.TooLong(), idled: l.Idled, top: runOf(&y.top), lead: runOf(&y.lead), bottom: runOf(&y.bottom),
		bare: b.tensions(l), pulls: y.pulls, ringLine: b.Rings[ring].Line, besides: y.neighbour,
	}
	if b.Tensioner != nil {
		x.angle, x.slope = l.cageAngle(), b.cageSlope(l)
		x.lever, x.wrap = b.Tensioner.lever(l, x.angle), l.Wraps[AtGuide]
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
// what it is at least, for the bowed strand never comes nearer than the straight, and so may one of
// more than enough.
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
