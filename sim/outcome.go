package sim

import "math"

// Extreme is the largest or least of a number over a bike's gears.
type Extreme struct {
	Valid     bool
	Value     float64
	Ring, Cog int  // indices of the gear
	At        Part // the wheel arrived at, where the number is of an arrival
}

func (x *Extreme) keepMax(v float64, ring, cog int, at Part) {
	if !x.Valid || v > x.Value {
		*x = Extreme{true, v, ring, cog, at}
	}
}

func (x *Extreme) keepMin(v float64, ring, cog int, at Part) {
	if !x.Valid || v < x.Value {
		*x = Extreme{true, v, ring, cog, at}
	}
}

// Outcome is a design in a few numbers: the worst over its gears.
type Outcome struct {
	Links      int
	TopBend    Extreme    // largest, rad
	BottomBend Extreme    // largest, rad
	GuideBend  Extreme    // largest, rad; none without a tensioner
	NextCog    Extreme    // least gap of the straight strand to the next larger cog, mm (level 1)
	NextRing   Extreme    // the same to the next larger ring
	Tyre       Extreme    // least gap to the tyre, mud allowed for, mm
	Stay       Extreme    // least gap of ring or chain to the chainstay, flex allowed for, mm
	TopPull    Extreme    // least pull of the top span when pedalling backwards, N
	NoClose    int        // gears that the chain is too short for, or hangs loose in
	Cage       [2]Extreme // least and largest cage angle of gears that close, rad
	Loop       float64    // length of chain round the largest ring and cog alone, mm
}

// Outcomes computes designs' numbers. It is scratch, for one goroutine.
type Outcomes struct {
	laid  laid // the gear at hand
	loop  Loop
	loops []Loop    // of a ring's gears
	off   []bool    // by cog: the chain does not go round it
	least []float64 // see outcomeClear
}

// Outcome computes a design's numbers for a chain of links links: the same as of Evaluate. The
// bike must be valid. Errors wrap ErrOverlap.
func (e *Outcomes) Outcome(o *Outcome, b *Bike, links int) error {
	*o = Outcome{Links: links}
	for len(e.loops) < len(b.Cogs) {
		e.loops, e.off = append(e.loops, Loop{}), append(e.off, false)
	}
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			if err := e.outcomeGear(o, b, ring, cog, links, &from); err != nil {
				return err
			}
		}
		if b.Tyre != nil || b.Stay != nil {
			e.outcomeClear(o, b, ring)
		}
	}
	if b.Stay != nil {
		o.Stay.keepMin(b.RingStayGap().MM, len(b.Rings)-1, 0, AtRing)
	}
	n, err := b.slotLength(&e.loop, len(b.Rings)-1, len(b.Cogs)-1, b.Frame.Stay)
	o.Loop = n * b.Chain.Pitch
	return err
}

// Bends appends the bends of every gear's top and bottom run, rad, with a chain of links links: of
// the smallest ring and cog first. The bike must be valid. Errors wrap ErrOverlap.
func (e *Outcomes) Bends(to []float64, b *Bike, links int) ([]float64, error) {
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			y := &e.laid
			if err := y.lay(b, &e.loop, ring, cog, links, &from); err != nil {
				return to, err
			}
			to = append(to, y.top.Bend, y.bottom.Bend)
		}
	}
	return to, nil
}

// outcomeClear measures the gears of a ring to tyre and stay: to the tyre the
// largest cog first, which most often comes nearest, so that others can be passed
// over; to the stay those first that surely come no nearer than others.
func (e *Outcomes) outcomeClear(o *Outcome, b *Bike, ring int) {
	if b.Tyre != nil {
		tyre := Gap{Valid: o.Tyre.Valid, MM: o.Tyre.Value}
		for cog := len(b.Cogs) - 1; cog >= 0; cog-- {
			if !e.off[cog] && b.nearerTyre(&e.loops[cog], &tyre, Top, Bottom, Lead) {
				o.Tyre = Extreme{true, tyre.MM, ring, cog, AtCog}
			}
		}
	}
	if b.Stay == nil || b.Stay.Diameter <= 0 {
		return
	}
	e.least = e.least[:0]
	tube := b.Stay.tube(e.loops[0].Wheels[AtCog].Centre)
	for cog := range b.Cogs {
		if e.off[cog] {
			e.least = append(e.least, math.Inf(1), math.Inf(1), math.Inf(1))
			continue
		}
		lead := math.Inf(1)
		if e.loops[cog].Idled {
			lead = b.strandStayLeast(&e.loops[cog], Lead, tube)
		}
		e.least = append(e.least, b.strandStayLeast(&e.loops[cog], Top, tube), b.strandStayLeast(&e.loops[cog], Bottom, tube), lead)
	}
	for range e.least {
		next := 0
		for i, x := range e.least {
			if x < e.least[next] {
				next = i
			}
		}
		if math.IsInf(e.least[next], 1) || o.Stay.Valid && e.least[next] >= o.Stay.Value {
			return
		}
		e.least[next] = math.Inf(1)
		cog := next / 3
		o.Stay.keepMin(b.strandStay(&e.loops[cog], [3]int{Top, Bottom, Lead}[next%3], tube).MM, ring, cog, AtCog)
	}
}

func (e *Outcomes) outcomeGear(o *Outcome, b *Bike, ring, cog, links int, from *near) error {
	l, y := &e.loops[cog], &e.laid
	if err := y.lay(b, l, ring, cog, links, from); err != nil {
		return err
	}
	if y.fit.Closes {
		a := l.cageAngle()
		o.Cage[0].keepMin(a, ring, cog, AtCog)
		o.Cage[1].keepMax(a, ring, cog, AtCog)
	}
	if !y.fit.Mounts() || y.fit.Hangs() {
		o.NoClose++
	}
	if e.off[cog] = !y.fit.Mounts(); e.off[cog] {
		return nil
	}
	o.TopBend.keepMax(y.top.Bend, ring, cog, AtRing)
	o.BottomBend.keepMax(y.bottom.Bend, ring, cog, AtRing)
	if b.Tensioner != nil {
		o.GuideBend.keepMax(y.guide.Bend, ring, cog, AtCog)
	}
	o.TopPull.keepMin(y.pulls.Top[Backwards], ring, cog, AtCog)
	outcomeNeighbours(o, y)
	return nil
}

// straightLeast returns what a straight strand's gap to the next larger sprocket
// surely is at least, mm: with the whole width and the full teeth, where the drift
// has come nearest by the time the plates leave the tips.
func (n *beside) straightLeast(c *Chain) float64 {
	apart, drift := n.own.Line-n.next.Line, n.drift
	if apart < 0 {
		apart, drift = -apart, -drift
	}
	near := 0.0
	if drift < 0 {
		lo, rim := n.own.PitchRadius(c.Pitch)-c.PlateHalfHeight, n.next.TipRadius(c.Pitch)
		near = drift * math.Sqrt(max(0, rim*rim-lo*lo))
	}
	return apart + near - (c.Width+n.next.Thickness())/2
}

// outcomeNeighbours looks at the next larger cog and ring.
func outcomeNeighbours(o *Outcome, y *laid) {
	_, neighbours := y.all()
	for i := range neighbours {
		n := &neighbours[i]
		x, at := &o.NextCog, AtCog
		if n.kind == toRing {
			x, at = &o.NextRing, AtRing
		}
		if x.Valid && n.straightLeast(&y.b.Chain) >= x.Value {
			continue
		}
		s := n.strand(&y.b.Chain, 0)
		if g := s.straight(); g.Valid {
			x.keepMin(g.MM, y.ring, y.cog, at)
		}
	}
}
