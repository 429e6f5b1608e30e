package sim

// laid is a gear with the chain laid in it, before anything is judged: drawn once, for
// whatever is asked of it. Results, designs and chances all read it, so that a
// wheel or a neighbour more is told of here alone.
type laid struct {
	b         *Bike
	ring, cog int
	loop      *Loop
	fit       Fit
	pulls     Tensions
	taut      float64 // pull of the top run backwards, were the chain not too long, N
	top       Span
	lead      Span // idler to ring; zero without one
	bottom    Span
	guide     Span // zero without a tensioner

	space      [8]planned
	arrivals   []planned // in space
	neighbours [3]beside
	neighbour  int
}

// kind is the axis that two neighbouring wheels share.
type kind int

// The kinds of neighbours.
const (
	toCog  kind = iota // the next larger cog
	toRing             // the next larger ring
)

// beside is a run of chain beside the next larger sprocket on the axis of its own.
type beside struct {
	own, next *Wheel
	kind      kind
	run       Part // AtCog: of the cog; AtRing: the top run at the ring, AtTension: the bottom run there
	span      int  // Top or Bottom
	drift     float64
	pulls     [2]float64
	room      float64 // what the default set puts onto the gap, mm
	place     int     // of the pair among the bike's
}

// lay lays a chain of so many links into a gear. from helps along from gear to gear: see
// closeNear. Errors wrap ErrOverlap.
func (y *laid) lay(b *Bike, l *Loop, ring, cog, links int, from *near) (err error) {
	y.b, y.ring, y.cog, y.loop = b, ring, cog, l
	if y.fit, err = b.closeNear(l, ring, cog, links, from); err != nil {
		return err
	}
	if b.Tensioner != nil && b.Tensioner.Hanger != (Hanger{}) { // of 1e-4 mm of chain, once it is closed
		at := l.Wheels[AtTension].Centre
		l.Line[AtTension] = b.Cogs[cog].Line + b.Tensioner.IndexError + b.hangerOff(at.X, at.Y)
	}
	y.pulls, y.taut = b.pulls(l, y.fit)
	y.top, y.bottom = spanOf(l, Top, +1), spanOf(l, Bottom, -1)
	y.lead, y.guide = Span{}, Span{}
	if l.Idled {
		y.lead = spanOf(l, Lead, +1)
	}
	if b.Tensioner != nil {
		y.guide = spanOf(l, Guide, -1)
	}
	y.arrivals = y.plan(y.space[:0])
	y.neighbour = 0
	add := func(kind kind, run Part, span int, own, next *Wheel, drift, room float64, place int) {
		n := &y.neighbours[y.neighbour]
		y.neighbour++
		*n = beside{own: own, next: next, kind: kind, run: run, span: span, drift: drift, pulls: y.pulls.Top, room: room, place: place}
		if span == Bottom {
			n.pulls = y.pulls.Bottom
		}
	}
	if cog+1 < len(b.Cogs) {
		add(toCog, AtCog, Top, &b.Cogs[cog], &b.Cogs[cog+1], y.top.Across/y.top.Length, b.CogRoom, cog)
	}
	if ring+1 < len(b.Rings) {
		own, next, place := &b.Rings[ring], &b.Rings[ring+1], len(b.Cogs)+ring
		add(toRing, AtRing, Top, own, next, -y.onRing().Across/y.onRing().Length, -b.RingPins, place)
		add(toRing, AtTension, Bottom, own, next, -y.bottom.Across/y.bottom.Length, -b.RingPins, place)
	}
	return nil
}

// all returns the gear's arrivals and neighbours.
func (y *laid) all() ([]planned, []beside) {
	return y.arrivals, y.neighbours[:y.neighbour]
}

// length returns the length of the run that an arrival comes along, mm.
func (y *laid) length(p *planned) float64 { return y.loop.Spans[p.span].Length }

// arriving returns the span that an arrival comes along.
func (y *laid) arriving(p *planned) Span {
	return map[int]Span{Top: y.top, Lead: y.lead, Bottom: y.bottom, Guide: y.guide}[p.span]
}

// strand returns the run beside its neighbour, with room put onto the gap.
func (n *beside) strand(c *Chain, room float64) neighbour {
	return neighbour{own: *n.own, next: *n.next, chain: c, strand: strandAt(*n.own, c, n.drift), room: room}
}

// hardest returns the greater pull: the harder a strand is pulled the sooner it lies
// straight, and the nearer it comes.
func (n *beside) hardest() float64 { return max(n.pulls[Riding], n.pulls[Backwards]) }
