package sim

import (
	"math"

	"chainpath/sim/engage"
)

// Grade is what an arriving link does.
type Grade int

// The grades, each worse than the one before.
const (
	Quiet    Grade = iota // nothing is touched
	Touches               // a tip touches a plate; that alone is not audible
	Rattles               // links land on the tips of a wheel that the chain cannot leave
	MayClimb              // links land on the tips: the chain may come off
)

func (g Grade) String() string {
	return [...]string{"quiet", "touches", "rattles", "may_climb"}[g]
}

// Arrival is a chain running onto a wheel (levels 1 and 2).
type Arrival struct {
	At     Part
	Bend   float64       // level 1, >= 0, rad
	Offset float64       // of an inner link at first overlap, >= 0, mm (level 2)
	Link   engage.Link   // the kind of link that sets the climb limit
	Held   bool          // whether plates, a cage or a wall keep the chain on the wheel
	Limits engage.Limits // of this wheel at this tension (level 2)
	Pull   float64       // tension of the arriving span, N; <= 0: it hangs slack
	Grade  Grade
}

// nearer reports whether the arrival takes more of its climb limit than another; one
// that the chain cannot leave is the farther.
func (a Arrival) nearer(b Arrival) bool {
	if a.Held != b.Held {
		return b.Held
	}
	return a.Bend*b.Limits.Climb > b.Bend*a.Limits.Climb
}

// solver is the scratch of evaluations: the sideways equilibrium and the limits
// found so far, each exact for its wheel and tension.
type solver struct {
	entry  engage.Entry
	limits map[solvedKey]engage.Limits
	laid   laid // the gear at hand
}

type solvedKey struct {
	wheel   engage.Wheel
	chain   engage.Chain
	tension float64
}

func (s *solver) limitsOf(w engage.Wheel, c engage.Chain, tension float64) engage.Limits {
	k := solvedKey{w, c, tension}
	if l, ok := s.limits[k]; ok {
		return l
	}
	if s.limits == nil {
		s.limits = make(map[solvedKey]engage.Limits)
	}
	l := w.Limits(c, tension)
	s.limits[k] = l
	return l
}

// arrive judges an arrival.
func (s *solver) arrive(p *planned, c engage.Chain, length float64) Arrival {
	a := Arrival{At: p.at, Bend: p.bend, Pull: p.pull, Held: p.held}
	w := p.entry(c.Pitch)
	t := max(p.pull, leastTension)
	a.Limits = s.limitsOf(w, c, t)
	a.Link = a.Limits.ClimbLink
	if p.bend > 0 {
		a.Offset = w.Arrive(c, p.bend, t, length).Inner
	}
	switch {
	case p.bend > a.Limits.Climb && p.held:
		a.Grade = Rattles
	case p.bend > a.Limits.Climb:
		a.Grade = MayClimb
	case p.bend > a.Limits.Quiet:
		a.Grade = Touches
	}
	return a
}

// planned is an arrival before it is judged.
type planned struct {
	direction Direction
	at        Part
	wheel     *Sprocket
	place     int // of the wheel on the bike: rings, cogs, guide and tension pulley
	span      int // along which it arrives
	bend      float64
	pull      float64
	top       bool // of the top span, not of the bottom run
	held      bool // the chain cannot leave the wheel
	driven    bool // the wheel drives the chain that arrives on it
}

// entry returns the wheel as the arriving chain sees it.
func (p *planned) entry(pitch float64) engage.Wheel {
	w := p.wheel.Entry(pitch)
	w.Driven = p.driven
	return w
}

// plan puts a gear's arrivals into p and returns them. Riding: top to ring, bottom to
// tension pulley, guide to cog. Backwards: top to cog with no pulley to guide it,
// bottom to ring, cog to guide pulley. Without a tensioner the bottom span joins
// cog and ring. An idler parts the top run.
//
// Pulleys stand between plates: the chain rattles there and cannot leave. Towards a
// larger cog or ring stands a wall; with more than one ring a front cage is taken to
// stand about the top run.
//
// A fixed or coaster cog is pushed back under load: the ring then drives the bottom run.
// With a fixed one that is also so while the wheel rolls forwards and the legs slow it: the
// cog drives the bottom run that arrives on it, which is one arrival more.
func (y *laid) plan(p []planned) []planned {
	b, ring, cog, t := y.b, y.ring, y.cog, &y.pulls
	rw, cw := &b.Rings[ring].Sprocket, &b.Cogs[cog].Sprocket
	rp, cp := ring, len(b.Rings)+cog
	outboard := b.Rings[ring].Line >= b.Cogs[cog].Line
	wallAtCog := !outboard && cog < len(b.Cogs)-1
	wallAtRing := !outboard && ring < len(b.Rings)-1
	front := Top
	if y.loop.Idled { // the runs from the idler lead their own way
		front = Lead
		wallAtCog = y.top.Across < 0 && cog < len(b.Cogs)-1
	}
	top, bottom := y.top.Bend, y.bottom.Bend
	p = append(p,
		planned{Riding, AtRing, rw, rp, front, y.onRing().Bend, t.Top[Riding], true, len(b.Rings) > 1, true},
		planned{Riding, AtCog, cw, cp, Bottom, bottom, t.Bottom[Riding], false, false, false},
		planned{Backwards, AtCog, cw, cp, Top, top, t.Top[Backwards], true, wallAtCog, false},
		planned{Backwards, AtRing, rw, rp, Bottom, bottom, t.Bottom[Backwards], false, wallAtRing, b.Drive != Freewheel})
	if k := b.Tensioner; k != nil {
		last := len(b.Rings) + len(b.Cogs)
		p[1].at, p[1].wheel, p[1].place, p[1].held = AtTension, &k.Tension, last+1, true
		p = append(p,
			planned{Riding, AtCog, cw, cp, Guide, y.guide.Bend, t.Bottom[Riding], false, false, false},
			planned{Backwards, AtGuide, &k.Guide, last, Guide, y.guide.Bend, t.Bottom[Backwards], false, true, false})
	} else if b.Drive == Fixed {
		p = append(p, planned{Backwards, AtCog, cw, cp, Bottom, bottom, t.Bottom[Backwards], false, false, true})
	}
	return y.planIdler(p)
}

// Span is a straight piece of chain (level 1).
type Span struct {
	Length float64 // in the side view, mm
	Across float64 // Δy going forward on the bike, outboard positive, mm
	Bend   float64 // atan(|Δy|/L), rad
}

// Side says which way the chain runs going forward: "outboard", "inboard" or
// "straight".
func (s Span) Side() string {
	switch {
	case s.Across > 0:
		return "outboard"
	case s.Across < 0:
		return "inboard"
	}
	return "straight"
}

// spanOf returns a span of a drawn loop; forward is +1 where riding runs
// forward along it, -1 where it runs back.
func spanOf(l *Loop, i int, forward float64) Span {
	s := Span{Length: l.Spans[i].Length, Across: forward * l.side(i)}
	if s.Across != 0 {
		s.Bend = math.Atan(math.Abs(s.Across) / s.Length)
	}
	return s
}
