package sim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
	"chainpath/sim/engage"
)

// Gap is a signed distance, mm: negative is how far two parts overlap.
type Gap struct {
	Valid bool // whether there is such a neighbour at all
	MM    float64
	At    float64 // where it is reached: see the field of Clearances
}

// keepMin keeps the smaller of two gaps.
func (g *Gap) keepMin(h Gap) {
	if h.Valid && (!g.Valid || h.MM < g.MM) {
		*g = h
	}
}

// Clearances are a gear's gaps. Those to neighbours are given twice: with the
// sideways profile of the strand near the sprocket (level 2), and with a
// straight strand, the pessimistic bound (level 1). Both start at the middle
// plane of the chain's own sprocket: the shift of the seated chain within its
// play, at most (w_i - t)/2, is not taken off. Where: mm of chain from the
// tangent point for cog and ring, mm behind the bottom bracket for the rest.
type Clearances struct {
	NextCog          [2]Gap // chain to next larger cog, by Direction, level 2
	NextCogStraight  Gap    // level 1
	NextRing         [2]Gap // chain to next larger ring, by Direction, level 2
	NextRingStraight Gap    // level 1
	Tyre             Gap    // chain to tyre, less the mud allowance, level 1
	RingStay         Gap    // ring's tips or bolts to chainstay, less the flex allowance
	ChainStay        Gap    // chain to chainstay, less the flex allowance
}

// Stay returns the smaller gap to the chainstay.
func (c Clearances) Stay() Gap {
	g := c.RingStay
	g.keepMin(c.ChainStay)
	return g
}

// clearances measures a gear.
func (y *laid) clearances(s *solver) (Clearances, error) {
	var c Clearances
	b, l := y.b, y.loop
	_, neighbours := y.all()
	for i := range neighbours {
		n := &neighbours[i]
		straight, bowed := &c.NextCogStraight, &c.NextCog
		if n.kind == toRing {
			straight, bowed = &c.NextRingStraight, &c.NextRing
		}
		x := n.strand(&b.Chain, n.room)
		straight.keepMin(x.straight())
		for d, pull := range n.pulls {
			g, err := x.bowed(s, pull)
			if err != nil {
				return c, err
			}
			bowed[d].keepMin(g)
		}
	}
	if b.Tyre != nil {
		c.Tyre = b.tyreGap(l)
	}
	if b.Stay != nil {
		c.RingStay = b.RingStayGap()
		c.ChainStay = b.chainStayGap(l)
	}
	return c, nil
}

// strandAt returns a strand leaving a wheel with a drift along its axis for each
// mm, long enough to pass any neighbour.
func strandAt(w Wheel, c *Chain, drift float64) geom.Strip {
	r := w.PitchRadius(c.Pitch)
	return geom.Strip{Height: r, Half: c.PlateHalfHeight, Start: w.Line, Drift: drift, To: 10 * r}
}

// neighbour is a strand beside the next larger sprocket on the same axis.
type neighbour struct {
	own, next Wheel
	chain     *Chain
	strand    geom.Strip
	room      float64 // put onto the level 2 gap, mm: see Bike.CogRoom, less for RingPins
}

// side is +1 where the chain lies outboard of the next sprocket.
func (n *neighbour) side() int {
	if n.own.Line < n.next.Line {
		return -1
	}
	return 1
}

// along takes the strand as it lies in a solved entry, from link to link, each straight.
func (n *neighbour) along(e *engage.Entry, sign float64) (least Gap) {
	edge, full, slope := n.next.taper()
	rim, seat, side := n.next.TipRadius(n.chain.Pitch), e.At(0), float64(n.side())
	for _, band := range n.bands() {
		strip := n.strand
		strip.Half = band.half
		from, to, ok := strip.Inside(rim)
		if !ok {
			continue
		}
		// From its end, where it mostly comes nearest; links that surely stay farther off are
		// passed over.
		for v, z := to, e.At(to); v > from; {
			u := max(e.PinBefore(v), from)
			y := e.At(u)
			near := min(side*(n.own.Line+sign*(y-seat)-n.next.Line), side*(n.own.Line+sign*(z-seat)-n.next.Line))
			if !least.Valid || near-full-band.width/2 < least.MM {
				strip.From, strip.To, strip.Drift = u, v, sign*(z-y)/(v-u)
				strip.Start = n.own.Line + sign*(y-seat) - strip.Drift*u
				g, at, ok := strip.TaperGap(rim, n.next.Line, n.side(), edge, full, slope)
				least.keepMin(Gap{Valid: ok, MM: g - band.width/2, At: at})
			}
			v, z = u, y
		}
	}
	return least
}

// straight takes the strand as a straight strip, the pessimistic bound.
func (n *neighbour) straight() (least Gap) {
	edge, full, slope := n.next.taper()
	rim := n.next.TipRadius(n.chain.Pitch)
	for _, band := range n.bands() {
		n.strand.Half = band.half
		g, u, ok := n.strand.TaperGap(rim, n.next.Line, n.side(), edge, full, slope)
		least.keepMin(Gap{Valid: ok, MM: g - band.width/2, At: u})
	}
	return least
}

// band is the chain at one height: how far it reaches up and down from the pins'
// line, and how wide it is.
type band struct{ half, width float64 }

// bands are the outer plates in their full height, and the rivet ends, as high as
// the pins and proud of the plates.
func (n *neighbour) bands() [2]band {
	return [2]band{{n.chain.PlateHalfHeight, n.chain.Width - 2*n.chain.Proud}, {n.chain.Pin / 2, n.chain.Width}}
}

// bowed takes the strand's sideways equilibrium on its own sprocket, from where
// the chain leaves it, instead of a straight line; of the two ways the links can
// fall the worse. Its slope only grows to that of the bend, so that it never
// comes nearer than the straight strand.
func (n *neighbour) bowed(s *solver, pull float64) (Gap, error) {
	bend := math.Atan(n.strand.Drift)
	w := n.own.Entry(n.chain.Pitch)
	var worst Gap
	for k := engage.Inner; k <= engage.Outer; k++ {
		if err := s.entry.SetFor(w, n.chain.Chain, k, max(pull, leastTension), bend); err != nil {
			return worst, err
		}
		if bend == 0 {
			g := n.straight()
			g.MM += n.room
			worst.keepMin(g)
			continue
		}
		if _, st := s.entry.Offset(bend); st != engage.Solved {
			return worst, st.Err()
		}
		g := n.along(&s.entry, math.Copysign(1, bend))
		g.MM += n.room
		worst.keepMin(g)
	}
	return worst, nil
}

// tyreGap returns the distance from the chain's inner face, over its whole
// height, to the tyre's torus, less the mud allowance, for the nearer of top
// and bottom span.
func (b *Bike) tyreGap(l *Loop) Gap {
	var g Gap
	b.nearerTyre(l, &g, Top, Bottom, Lead)
	return g
}

// nearerTyre takes the gap of some of a loop's spans into g where it is smaller; spans that surely are
// farther are passed over. It reports whether it was smaller.
func (b *Bike) nearerTyre(l *Loop, g *Gap, spans ...int) bool {
	t := b.Tyre
	minor := t.Width / 2
	major := t.OutsideDiameter()/2 - minor
	axle := l.Wheels[AtCog].Centre
	before := *g
	for _, i := range spans {
		if i == Lead && !l.Idled {
			continue
		}
		s := l.Spans[i]
		from := r2.Dot(r2.Sub(s.From, axle), s.Dir)
		drift := l.side(i) / s.Length
		strip := stripBeside(axle, s.From, s.Dir, s.Length, b.Chain.PlateHalfHeight, l.Line[i]-b.Chain.Width/2, drift)
		if g.Valid && strip.TorusBeyond(major, minor, t.Dish, g.MM+t.Mud) {
			continue
		}
		d, u := strip.TorusGap(major, minor, t.Dish)
		if strip.Drift != drift {
			u = -u
		}
		g.keepMin(Gap{Valid: true, MM: d - t.Mud, At: -(s.From.X + (u-from)*s.Dir.X)})
	}
	return *g != before
}
