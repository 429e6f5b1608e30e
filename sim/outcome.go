package sim

import (
	"math"
)

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
	Quiet      [2]Extreme // by Direction: least of quiet limit less bend, rad
	Climb      [2]Extreme // least of climb limit less bend, rad
	NotQuiet   [2]int     // gears past a quiet limit, by Direction
	MayClimb   [2]int     // gears past a climb limit
	NextCog    Extreme    // least gap of the straight strand to the next larger cog, mm (level 1)
	NextRing   Extreme    // the same to the next larger ring
	Rubs       int        // gears whose bowed strand meets a neighbour in either direction (level 2)
	Tyre       Extreme    // least gap to the tyre, mud allowed for, mm
	Stay       Extreme    // least gap of ring or chain to the chainstay, flex allowed for, mm
	TopPull    Extreme    // least pull of the top span when pedalling backwards, N
	NoClose    int        // gears that the chain is too short for, or hangs loose in
	Cage       [2]Extreme // least and largest cage angle of gears that close, rad
	Loop       float64    // length of chain round the largest ring and cog alone, mm
}

// Outcome computes a design's numbers for a chain of links links. The bike must be
// valid. It allocates nothing but for wheels and tensions that it has not met
// before. Limits and rubbing are taken as Margins takes them, from tables or with
// Exact from solves for the very tension; everything else is exact, the same
// numbers as of Evaluate. Errors wrap ErrOverlap or come from package engage.
func (e *Evaluator) Outcome(o *Outcome, b *Bike, links int) error {
	*o = Outcome{Links: links}
	q := &e.cache
	if q.chain != b.Chain {
		*q = wheelCache{chain: b.Chain, wheels: q.wheels[:0], rubs: q.rubs[:0], loops: q.loops, off: q.off, least: q.least}
		q.pulls.pulls = Tensions{Top: [2]float64{math.NaN(), math.NaN()}, Bottom: [2]float64{math.NaN(), math.NaN()}}
		clear(q.wheels[:cap(q.wheels)])
		clear(q.rubs[:cap(q.rubs)])
	}
	for len(q.loops) < len(b.Cogs) {
		q.loops = append(q.loops, Loop{})
		q.off = append(q.off, false)
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

// outcomeClear measures the gears of a ring to tyre and stay: to the tyre the
// largest cog first, which most often comes nearest, so that others can be passed
// over; to the stay those first that surely come no nearer than others.
func (e *Evaluator) outcomeClear(o *Outcome, b *Bike, ring int) {
	q := &e.cache
	if b.Tyre != nil {
		tyre := Gap{Valid: o.Tyre.Valid, MM: o.Tyre.Value}
		for cog := len(b.Cogs) - 1; cog >= 0; cog-- {
			if !q.off[cog] && b.nearerTyre(&q.loops[cog], &tyre, Top, Bottom, Lead) {
				o.Tyre = Extreme{true, tyre.MM, ring, cog, AtCog}
			}
		}
	}
	if b.Stay == nil || b.Stay.Diameter <= 0 {
		return
	}
	q.least = q.least[:0]
	tube := b.Stay.tube(q.loops[0].Wheels[AtCog].Centre)
	for cog := range b.Cogs {
		if q.off[cog] {
			q.least = append(q.least, math.Inf(1), math.Inf(1), math.Inf(1))
			continue
		}
		lead := math.Inf(1)
		if q.loops[cog].Idled {
			lead = b.strandStayLeast(&q.loops[cog], Lead, tube)
		}
		q.least = append(q.least, b.strandStayLeast(&q.loops[cog], Top, tube), b.strandStayLeast(&q.loops[cog], Bottom, tube), lead)
	}
	for range q.least {
		next := 0
		for i, x := range q.least {
			if x < q.least[next] {
				next = i
			}
		}
		if math.IsInf(q.least[next], 1) || o.Stay.Valid && q.least[next] >= o.Stay.Value {
			return
		}
		q.least[next] = math.Inf(1)
		cog := next / 3
		o.Stay.keepMin(b.strandStay(&q.loops[cog], [3]int{Top, Bottom, Lead}[next%3], tube).MM, ring, cog, AtCog)
	}
}

func (e *Evaluator) outcomeGear(o *Outcome, b *Bike, ring, cog, links int, from *near) error {
	l, y := &e.cache.loops[cog], &e.laid
	if err := y.lay(b, l, ring, cog, links, from); err != nil {
		return err
	}
	w := e.cache.pullsAt(&y.pulls)
	if y.fit.Closes {
		a := l.cageAngle()
		o.Cage[0].keepMin(a, ring, cog, AtCog)
		o.Cage[1].keepMax(a, ring, cog, AtCog)
	}
	if !y.fit.Mounts() || y.fit.Hangs() {
		o.NoClose++
	}
	if e.cache.off[cog] = !y.fit.Mounts(); e.cache.off[cog] {
		return nil
	}
	o.TopBend.keepMax(y.top.Bend, ring, cog, AtRing)
	o.BottomBend.keepMax(y.bottom.Bend, ring, cog, AtRing)
	if b.Tensioner != nil {
		o.GuideBend.keepMax(y.guide.Bend, ring, cog, AtCog)
	}
	o.TopPull.keepMin(y.pulls.Top[Backwards], ring, cog, AtCog)
	if err := e.outcomeArrivals(o, y, w); err != nil {
		return err
	}
	return e.outcomeNeighbours(o, y, w)
}

func (e *Evaluator) outcomeArrivals(o *Outcome, y *laid, w *pullsAt) error {
	b := y.b
	var worse [2][2]bool // by Direction: past quiet, past climb
	arrivals, _ := y.all()
	for i := range arrivals {
		a := &arrivals[i]
		k := e.cache.at(e, a.place, a.wheel, &b.Chain, a.driven)
		_, climb, err := e.limits(k, a.pull, w.of(a))
		if err != nil {
			return err
		}
		quiet, climb := a.quiet(b), a.climb(climb)
		o.Quiet[a.direction].keepMin(quiet-a.bend, y.ring, y.cog, a.at)
		o.Climb[a.direction].keepMin(climb-a.bend, y.ring, y.cog, a.at)
		worse[a.direction][0] = worse[a.direction][0] || a.bend > quiet
		worse[a.direction][1] = worse[a.direction][1] || a.bend > climb
	}
	for d := range worse {
		if worse[d][0] {
			o.NotQuiet[d]++
		}
		if worse[d][1] {
			o.MayClimb[d]++
		}
	}
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
func (e *Evaluator) outcomeNeighbours(o *Outcome, y *laid, w *pullsAt) error {
	rubs := false
	_, neighbours := y.all()
	for i := range neighbours {
		n := &neighbours[i]
		x, at := &o.NextCog, AtCog
		if n.kind == ToRing {
			x, at = &o.NextRing, AtRing
		}
		least := n.straightLeast(&y.b.Chain)
		if !x.Valid || least < x.Value {
			s := n.strand(&y.b.Chain, 0)
			if g := s.straight(); g.Valid {
				x.keepMin(g.MM, y.ring, y.cog, at)
			}
		}
		if rubs {
			continue
		}
		var err error
		if rubs, err = e.quickRubs(n, &y.b.Chain, w, least); err != nil {
			return err
		}
	}
	if rubs {
		o.Rubs++
	}
	return nil
}

// quickRubs reports whether a run meets its neighbour in either direction; least is what
// its straight gap surely is at least.
func (e *Evaluator) quickRubs(n *beside, c *Chain, w *pullsAt, least float64) (bool, error) {
	towards := n.towards()
	if towards <= 0 {
		if least+n.room >= 0 { // the bowed strand never comes nearer than the straight one
			return false, nil
		}
		return e.rubsLeadingAway(n.own, n.next, c, n.room, n.drift, n.pulls)
	}
	bend, where := math.Atan(towards), &w.top
	if n.span == Bottom {
		where = &w.bottom
	}
	for d, pull := range n.pulls {
		limit, err := e.rubLimit(e.cache.rub(e, n.place, n.own, n.next, c, n.room), n.own, n.next, c, n.room, pull, where[d])
		if err != nil || bend > limit {
			return err == nil, err
		}
	}
	return false, nil
}
