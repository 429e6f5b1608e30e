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
	Clatters              // a tip rubs in over the bevel
	Wears                 // the same under the drive's pull
	MayClimb              // the plate lands on the tip: drop risk
)

func (g Grade) String() string {
	return [...]string{"quiet", "clatters", "wears", "may_climb"}[g]
}

// Arrival is a chain running onto a wheel (levels 1 and 2).
type Arrival struct {
	At     Part
	Bend   float64       // level 1, >= 0, rad
	Offset float64       // of the link that sets the limits, at first overlap, >= 0, mm (level 2)
	Link   engage.Link   // that link
	Limits engage.Limits // of this wheel at this tension (level 2)
	Pull   float64       // tension of the arriving span, N; <= 0: it hangs slack
	Grade  Grade
}

// nearer reports whether the arrival takes more of its climb limit than another.
func (a Arrival) nearer(b Arrival) bool { return a.Bend*b.Limits.Climb > b.Bend*a.Limits.Climb }

// solver is the scratch of evaluations: the sideways equilibrium and the limits
// found so far, each exact for its wheel and tension.
type solver struct {
	entry  engage.Entry
	limits map[solvedKey]engage.Limits
}

type solvedKey struct {
	limitKey
	tension float64
}

func (s *solver) limitsOf(w engage.Wheel, c engage.Chain, tension float64) (engage.Limits, error) {
	k := solvedKey{limitKey{w, c}, tension}
	if l, ok := s.limits[k]; ok {
		return l, nil
	}
	l, err := engage.FindLimits(&s.entry, w, c, tension)
	if err != nil {
		return l, err
	}
	if s.limits == nil {
		s.limits = make(map[solvedKey]engage.Limits)
	}
	s.limits[k] = l
	return l, nil
}

// arrive judges a chain that runs onto a wheel with a bend in rad under a pull
// in N; driven says whether it carries the drive.
func (s *solver) arrive(at Part, w engage.Wheel, c engage.Chain, bend, pull float64, driven bool) (Arrival, error) {
	a := Arrival{At: at, Bend: bend, Pull: pull}
	t := math.Max(pull, leastTension)
	var err error
	if a.Limits, err = s.limitsOf(w, c, t); err != nil {
		return a, err
	}
	a.Link = a.Limits.ClimbLink
	if err = s.entry.Set(w, c, a.Link, t); err != nil {
		return a, err
	}
	var st engage.Status
	if a.Offset, st = s.entry.Offset(bend); st != engage.Solved {
		return a, st.Err()
	}
	switch {
	case bend > a.Limits.Climb:
		a.Grade = MayClimb
	case bend > a.Limits.Quiet && driven:
		a.Grade = Wears
	case bend > a.Limits.Quiet:
		a.Grade = Clatters
	}
	return a, nil
}

// planned is an arrival before it is judged.
type planned struct {
	direction Direction
	at        Part
	wheel     *Sprocket
	place     int // of the wheel on the bike: rings, cogs, guide and tension pulley
	bend      float64
	pull      float64
	top       bool // of the top span, not of the bottom run
}

// driven reports whether the arrival carries the drive.
func (p *planned) driven() bool { return p.top && p.direction == Riding }

// plan puts a gear's arrivals into p and returns their number. Riding: top to ring, bottom to
// tension pulley, guide to cog. Backwards: top to cog with no pulley to guide it,
// bottom to ring, cog to guide pulley. Without a tensioner the bottom span joins
// cog and ring. top, bottom and guide are the spans' bends, rad.
func (b *Bike) plan(p *[6]planned, ring, cog int, top, bottom, guide float64, t *Tensions) int {
	rw, cw := &b.Rings[ring].Sprocket, &b.Cogs[cog].Sprocket
	rp, cp := ring, len(b.Rings)+cog
	p[0] = planned{Riding, AtRing, rw, rp, top, t.Top[Riding], true}
	p[1] = planned{Riding, AtCog, cw, cp, bottom, t.Bottom[Riding], false}
	p[2] = planned{Backwards, AtCog, cw, cp, top, t.Top[Backwards], true}
	p[3] = planned{Backwards, AtRing, rw, rp, bottom, t.Bottom[Backwards], false}
	k := b.Tensioner
	if k == nil {
		return 4
	}
	last := len(b.Rings) + len(b.Cogs)
	p[1].at, p[1].wheel, p[1].place = AtTension, &k.Tension, last+1
	p[4] = planned{Riding, AtCog, cw, cp, guide, t.Bottom[Riding], false}
	p[5] = planned{Backwards, AtGuide, &k.Guide, last, guide, t.Bottom[Backwards], false}
	return 6
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
