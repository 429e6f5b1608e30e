package sim

import (
	"math"

	"chainpath/sim/engage"
)

// Kind is what a margin is kept from.
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

// Margin is how far a gear keeps from one thing that can go wrong; negative when
// it does. Margins of tyre, stay and closing hold in both directions and are
// listed under riding.
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

// Evaluator computes margins of many bikes. It keeps what it has solved for a
// wheel, chain and tension. Exact solves each anew for its very tension; else
// limits are taken from a table over tension, whose nodes are exact solves and
// between which it is linear in the tension's logarithm: within TableError of
// the exact one; above mostTabled it is solved. An Evaluator is for one goroutine; its results do not depend on
// what it was used for before.
//
// With Signs set, margins to neighbours (ToCog, ToRing) only have the right sign:
// they are then as many radians as the gap is pitches, which needs no search.
type Evaluator struct {
	Exact   bool
	Signs   bool
	s       solver
	limit   map[limitKey]*table
	rub     map[rubKey]*table
	loop    Loop
	laid    laid // the gear at hand
	cache   wheelCache
	sources []limitSource // wheels met before, so that they are not looked up by their whole shape
}

// limitSource is a wheel and chain with what its limits are kept under.
type limitSource struct {
	sprocket Sprocket
	chain    engage.Chain
	wheel    engage.Wheel
	driven   bool
	table    *table
}

// source returns the entry of a wheel and chain.
func (e *Evaluator) source(s Sprocket, c engage.Chain, driven bool) *limitSource {
	for i := range e.sources {
		if k := &e.sources[i]; k.sprocket == s && k.chain == c && k.driven == driven {
			return k
		}
	}
	if len(e.sources) > mostKept {
		e.sources = e.sources[:0]
	}
	w := s.Entry(c.Pitch)
	w.Driven = driven
	k := limitSource{sprocket: s, chain: c, wheel: w, driven: driven}
	if !e.Exact {
		k.table = tableOf(&e.limit, limitKey{w, c})
	}
	e.sources = append(e.sources, k)
	return &e.sources[len(e.sources)-1]
}

// TableError bounds how far a tabulated limit lies from the exact one, rad: 0.02°,
// a third of what 0.5 mm in a line does to a bend. It is reached where the climb
// limit of a wide/narrow wheel has a kink, at a few N. Measured in
// TestTableErrorIsBounded.
const TableError = 0.02 * math.Pi / 180

// The table's nodes: tensions from 1 N on, sixty-four to a doubling, to 8192 N: more
// than the tension that a case can name. A small ring under the largest torque pulls
// harder; there limits are solved.
const (
	nodesPerOctave = 64
	tableNodes     = 13*nodesPerOctave + 1
	mostTabled     = 8192 // N
)

type limitKey struct {
	wheel engage.Wheel
	chain engage.Chain
}

type rubKey struct {
	own, next engage.Wheel
	apart     float64    // lines apart, mm
	width     [4]float64 // overall width, rivets proud, pin, room, mm
	chain     engage.Chain
}

type node struct {
	set  bool
	way  way // to the next node
	a, b float64
}

// way is what lies between two nodes: nothing known yet, a line, or what was looked at.
type way uint8

const (
	unknownWay way = iota
	lineWay
	steepWay
)

type table struct {
	nodes [tableNodes]node
	cuts  map[int][2]cut // of both values, by the node before
}

// mostTables bounds the tables an evaluator keeps of each kind, so that designs
// that all differ in their chain or teeth do not fill the memory: 8 MB.
const mostTables = 384

// tableOf returns the table of a key, a new one at the first time.
func tableOf[K comparable](m *map[K]*table, k K) *table {
	if t := (*m)[k]; t != nil {
		return t
	}
	if *m == nil || len(*m) >= mostTables {
		*m = make(map[K]*table)
	}
	t := new(table)
	(*m)[k] = t
	return t
}

// tensionAt is a tension's place in every table.
type tensionAt struct {
	i int // pastTable: past the last node
	w float64
}

const pastTable = -1

// placeOf returns the place of a pull, N, which counts as leastTension at least.
func placeOf(pull float64) tensionAt {
	if pull > mostTabled {
		return tensionAt{i: pastTable}
	}
	x := min(math.Log2(max(pull, leastTension))*nodesPerOctave, tableNodes-1)
	i := min(int(x), tableNodes-2)
	return tensionAt{i, x - float64(i)}
}

// at returns the two values of a table at a place, filling nodes by solve. Where they
// jump between two nodes, from a limit to none, the place of the jump is found first.
func (tab *table) at(p tensionAt, solve func(tension float64) (a, b float64, err error)) (a, b float64, err error) {
	x, y := &tab.nodes[p.i], &tab.nodes[p.i+1]
	if x.way == unknownWay {
		if err := tab.fill(p.i, solve); err != nil {
			return 0, 0, err
		}
	}
	if x.way == steepWay {
		return tab.steep(p, solve)
	}
	return x.a + p.w*(y.a-x.a), x.b + p.w*(y.b-x.b), nil
}

// fill solves for a node and the next.
func (tab *table) fill(i int, solve func(tension float64) (a, b float64, err error)) (err error) {
	for j := i; j <= i+1; j++ {
		if n := &tab.nodes[j]; !n.set {
			if n.a, n.b, err = solve(math.Exp2(float64(j) / nodesPerOctave)); err != nil {
				return err
			}
			n.set = true
		}
	}
	x, y := &tab.nodes[i], &tab.nodes[i+1]
	x.way = lineWay
	if math.Abs(y.a-x.a) > jump || math.Abs(y.b-x.b) > jump {
		x.way = steepWay
	}
	return nil
}

// limits returns the quiet and climb limit, rad, of a wheel that was looked up, at a
// pull and its place. What is missing in the wheel's own table is filled in: an
// evaluator may have let go of it meanwhile.
func (e *Evaluator) limits(k *limitSource, pull float64, p tensionAt) (quiet, climb float64, err error) {
	if e.Exact || p.i == pastTable {
		if len(e.s.limits) > mostKept {
			clear(e.s.limits)
		}
		l := e.s.limitsOf(k.wheel, k.chain, max(pull, leastTension))
		return l.Quiet, l.Climb, nil
	}
	return k.table.at(p, func(t float64) (float64, float64, error) {
		l := k.wheel.Limits(k.chain, t)
		return l.Quiet, l.Climb, nil
	})
}

// mostKept bounds what an evaluator keeps of chains and tensions that pass by.
const mostKept = 256

// rubLimit returns the bend towards the next larger sprocket at which the bowed
// strand meets it, rad: engage.MaxAngle when it never does, and less than 0 by as
// much as the gap at no bend lacks, as an angle over one pitch. Not with Exact, it is
// taken from a table, that of the pair.
func (e *Evaluator) rubLimit(tab *table, own, next *Wheel, c *Chain, room, pull float64, p tensionAt) (float64, error) {
	solve := func(t float64) (float64, float64, error) {
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
			return from, 0, err
		}
		x, err := firstZero(gap, from, engage.MaxAngle, c.Pitch)
		return x, 0, err
	}
	if e.Exact || p.i == pastTable {
		a, _, err := solve(max(pull, leastTension))
		return a, err
	}
	a, _, err := tab.at(p, solve)
	return a, err
}

// rubTable returns the table of a pair.
func (e *Evaluator) rubTable(own, next *Wheel, c *Chain, room float64) *table {
	if e.Exact {
		return nil
	}
	return tableOf(&e.rub, rubKey{own.Entry(c.Pitch), next.Entry(c.Pitch), own.Line - next.Line, [4]float64{c.Width, c.Proud, c.Pin, room}, c.Chain})
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

// rubsLeadingAway reports whether a strand that runs away from the next larger sprocket
// meets it all the same, in either direction: a wide chain does before it has got away.
func (e *Evaluator) rubsLeadingAway(own, next *Wheel, c *Chain, room, drift float64, pulls [2]float64) (bool, error) {
	for _, pull := range pulls {
		g, err := e.rubSign(*own, *next, c, room, drift, pull)
		if err != nil || g < 0 {
			return true, err
		}
	}
	return false, nil
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
		_, climb, err := e.limits(e.source(*a.wheel, b.Chain.Chain, a.driven), a.pull, placeOf(a.pull))
		if err != nil {
			return to, err
		}
		add(ToQuiet, a.direction, a.at, a.quiet(b)-a.bend)
		add(ToClimb, a.direction, a.at, a.climb(climb)-a.bend)
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
	limit, err := e.rubLimit(e.rubTable(n.own, n.next, c, n.room), n.own, n.next, c, n.room, pull, placeOf(pull))
	if err == nil && limit <= 0 && towards < 0 { // it may have got away by its own drift
		limit, err = e.rubSign(*n.own, *n.next, c, n.room, n.drift, pull)
	}
	return limit - max(towards, 0), err
}
