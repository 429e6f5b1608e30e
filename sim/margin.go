package sim

import (
	"math"

	"chainpath/sim/engage"
)

// Kind names the limit that a margin is counted from.
type Kind int

// The kinds of margin.
const (
	ToQuiet Kind = iota // bend below an arrival's quiet limit
	ToClimb             // bend below its climb limit
	ToCog               // bend below the one at which the strand meets the next larger cog
	ToRing              // the same with the next larger ring
	ToTyre              // mm to the tyre, mud allowed for
	ToStay              // mm of ring or chain to the chainstay, flex allowed for
	ToSlack             // N left in the top span when pedalling backwards
	ToClose             // mm of chain missing, or left over beyond what is usual, negative; 0 when it fits
)

func (k Kind) String() string {
	return [...]string{"quiet", "climb", "next_cog", "next_ring", "tyre", "stay", "top_slack", "close"}[k]
}

// Unit returns the unit a margin of the kind has: "rad", "mm" or "N".
func (k Kind) Unit() string {
	switch k {
	case ToQuiet, ToClimb, ToCog, ToRing:
		return "rad"
	case ToSlack:
		return "N"
	}
	return "mm"
}

// Margin is how far a gear is from one limit; negative beyond it. Margins of tyre, stay and closing
// hold in both directions and are listed under riding.
type Margin struct {
	Kind      Kind
	Direction Direction
	At        Part // the wheel arrived at, for ToQuiet and ToClimb; the own wheel for ToCog and ToRing
	Ring, Cog int  // indices
	Value     float64
}

// Same reports whether two margins are of the same thing, whatever their values.
func (m Margin) Same(n Margin) bool {
	m.Value, n.Value = 0, 0
	return m == n
}

// Evaluator computes margins of many bikes, each solved for its very tension. It is scratch, for
// one goroutine; its results do not depend on what it was used for before.
//
// With Signs set, margins to neighbours (ToCog, ToRing) only have the right sign:
// they are then as many radians as the gap is pitches, which needs no search.
type Evaluator struct {
	Signs bool
	s     solver
	loop  Loop
	laid  laid // the gear at hand
}

type limitKey struct {
	wheel engage.Wheel
	chain engage.Chain
}

// limits returns the limits of an arrival's wheel.
func (e *Evaluator) limits(a *planned, c engage.Chain) engage.Limits {
	if len(e.s.limits) > mostKept {
		clear(e.s.limits)
	}
	return e.s.limitsOf(a.entry(c.Pitch), c, max(a.pull, leastTension))
}

// mostKept bounds what an evaluator keeps of chains and tensions that pass by.
const mostKept = 256

// rubLimit returns the bend towards the next larger sprocket at which the bowed
// strand meets it, rad: engage.MaxAngle when it never does, and less than 0 by as
// much as the gap at no bend lacks, as an angle over one pitch.
func (e *Evaluator) rubLimit(own, next *Wheel, c *Chain, room, pull float64) (float64, error) {
	t := max(pull, leastTension)
	n := neighbour{own: *own, next: *next, chain: c, room: room}
	// Towards the next one: against the side the chain lies on.
	to := -float64(n.side())
	gap := func(bend float64) (float64, bool, error) {
		n.strand = strandAt(*own, c, to*math.Tan(bend))
		g, err := n.bowed(&e.s, t)
		return g.MM, g.Valid, err
	}
	straight := func(bend float64) (float64, bool, error) {
		n.strand = strandAt(*own, c, to*math.Tan(bend))
		g := n.straight()
		return g.MM + room, g.Valid, nil
	}
	// The bowed strand never comes nearer than the straight one, and mostly meets little later.
	from, err := firstZero(straight, 0, engage.MaxAngle, c.Pitch)
	if err != nil || from <= 0 || from == engage.MaxAngle {
		return from, err
	}
	return firstZero(gap, from, engage.MaxAngle, c.Pitch)
}

// rubSign returns the gap to the next larger sprocket over a pitch: that of the
// straight strand where it clears, because the bowed one never comes nearer, else
// that of the bowed.
func (e *Evaluator) rubSign(own, next Wheel, c *Chain, room, drift, pull float64) (float64, error) {
	n := neighbour{own: own, next: next, chain: c, strand: strandAt(own, c, drift), room: room}
	g := n.straight()
	g.MM += room
	if g.Valid && g.MM < 0 {
		var err error
		if g, err = n.bowed(&e.s, pull); err != nil {
			return 0, err
		}
	}
	if !g.Valid {
		return engage.MaxAngle, nil
	}
	return g.MM / c.Pitch, nil
}

// firstZero returns the bend in [0, most] at which a gap that falls with the bend reaches
// zero, by bisection and secant in turn; it mostly does not before from, and soon after it.
// A gap that is missing at no bend never does: most; one that is less than 0 there is given
// as an angle over a pitch.
func firstZero(gap func(bend float64) (float64, bool, error), from, most, pitch float64) (float64, error) {
	lo := 0.0
	glo, is, err := gap(lo)
	switch {
	case err != nil:
		return 0, err
	case !is:
		return most, nil
	case glo <= 0:
		return math.Atan(glo / pitch), nil
	}
	hi := most
	if from > 0 {
		hi = min(from, most)
	}
	var ghi float64
	for {
		if ghi, _, err = gap(hi); err != nil {
			return 0, err
		}
		if ghi <= 0 {
			break
		}
		if hi == most {
			return most, nil
		}
		next := most
		if beyond := hi + further*ghi*(hi-lo)/(glo-ghi); beyond > hi && beyond < most {
			next = beyond
		}
		lo, glo, hi = hi, ghi, next
	}
	for i := range 100 {
		if hi-lo <= 1e-10 {
			break
		}
		x := (lo + hi) / 2
		if i%3 != 2 {
			if y := lo + glo*(hi-lo)/(glo-ghi); y > lo && y < hi {
				x = y
			}
		}
		g, _, err := gap(x)
		if err != nil {
			return 0, err
		}
		if math.Abs(g) < 1e-9 {
			return x, nil
		}
		if g > 0 {
			lo, glo = x, g
		} else {
			hi, ghi = x, g
		}
	}
	return lo, nil
}

// further is how far past the line through the last two looks firstZero looks for a gap
// below zero.
const further = 1.1

// Margins appends the margins of every gear of a bike, in a fixed order that
// depends on the numbers of rings and cogs and on which neighbours there are
// alone. The chain has links links. Errors wrap ErrOverlap or come from package
// engage.
func (e *Evaluator) Margins(to []Margin, b *Bike, links int) ([]Margin, error) {
	var err error
	for ring := range b.Rings {
		var from near
		for cog := range b.Cogs {
			if to, err = e.gear(to, b, ring, cog, links, &from); err != nil {
				return to, err
			}
		}
	}
	return to, nil
}

// Bends returns the top and bottom span's bend of the gear that Gear computed
// last, rad.
func (e *Evaluator) Bends() (top, bottom float64) {
	return spanOf(&e.loop, Top, +1).Bend, spanOf(&e.loop, Bottom, -1).Bend
}

// Gear appends the margins of one gear.
func (e *Evaluator) Gear(to []Margin, b *Bike, ring, cog, links int) ([]Margin, error) {
	return e.gear(to, b, ring, cog, links, &near{})
}

func (e *Evaluator) gear(to []Margin, b *Bike, ring, cog, links int, from *near) ([]Margin, error) {
	y := &e.laid
	if err := y.lay(b, &e.loop, ring, cog, links, from); err != nil {
		return to, err
	}
	m := Margin{Ring: ring, Cog: cog}
	add := func(k Kind, d Direction, at Part, v float64) {
		m.Kind, m.Direction, m.At, m.Value = k, d, at, v
		to = append(to, m)
	}
	arrivals, neighbours := y.all()
	for i := range arrivals {
		a := &arrivals[i]
		limits := e.limits(a, b.Chain.Chain)
		add(ToQuiet, a.direction, a.at, a.quiet(b)-a.bend)
		add(ToClimb, a.direction, a.at, a.climb(limits.Climb)-a.bend)
	}
	for d := Riding; d <= Backwards; d++ {
		for i := range neighbours {
			n := &neighbours[i]
			v, err := e.rubMargin(n, &b.Chain, n.pulls[d])
			if err != nil {
				return to, err
			}
			add(n.kind, d, n.run, v)
		}
	}
	if b.Tyre != nil {
		add(ToTyre, Riding, AtCog, b.tyreGap(y.loop).MM)
	}
	if b.Stay != nil {
		add(ToStay, Riding, AtRing, b.RingStayGap().MM)
		if g := b.chainStayGap(y.loop); g.Valid {
			add(ToStay, Riding, AtCog, g.MM)
		}
	}
	add(ToSlack, Backwards, AtCog, y.taut)
	add(ToClose, Riding, AtCog, -max(y.fit.Missing, y.fit.beyond(), 0))
	return to, nil
}

// rubMargin returns how far a run's bend keeps from the one at which it meets its
// neighbour under a pull, rad; with Signs the sign alone is right.
func (e *Evaluator) rubMargin(n *beside, c *Chain, pull float64) (float64, error) {
	if e.Signs {
		return e.rubSign(*n.own, *n.next, c, n.room, n.drift, pull)
	}
	towards := math.Atan(n.towards())
	limit, err := e.rubLimit(n.own, n.next, c, n.room, pull)
	if err == nil && limit <= 0 && towards < 0 { // it may have got away by its own drift
		limit, err = e.rubSign(*n.own, *n.next, c, n.room, n.drift, pull)
	}
	return limit - max(towards, 0), err
}
