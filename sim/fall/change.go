package fall

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// change makes the most violated change of state; it reports false where there is none.
func (r *fall) change() bool {
	most, best := 0.0, -1
	var to State
	cog := 0
	for j := 1; j < len(r.links)-1; j++ {
		if s, c, size := r.wants(j); size > most {
			most, best, to, cog = size, j, s, c
		}
	}
	if best < 0 {
		return false
	}
	l := &r.links[best]
	l.state, l.cog = to, cog
	l.was, l.since = r.foot(best), r.way
	at := cog
	if to == Beyond {
		at--
		if cog < len(r.Cogs) {
			l.state = Air // for the next wheel
		}
	}
	if k := best - ahead; k <= behind {
		r.out.Events = append(r.out.Events, Event{Angle: r.angle(), N: k, State: to, Cog: at})
	}
	return true
}

// wants returns what a link changes to, at which wheel, and by how much that is overdue, mm.
func (r *fall) wants(j int) (to State, cog int, size float64) {
	l := &r.links[j]
	if l.cog >= len(r.Cogs) {
		return l.state, l.cog, 0
	}
	off := r.edge(j) - r.Cogs[l.cog].Line
	clear, band := r.clear(j, l.cog)
	leaves := r.leaves(j, l.cog)
	switch l.state {
	case Air:
		o := r.overlap(j, l.cog)
		if !(o > 1e-6) || off < -leaves {
			return Air, l.cog, 0
		}
		switch x := math.Abs(off); {
		case x <= clear:
			return Seated, l.cog, o
		case x <= band && r.links[j-1].state != Tip:
			return Strikes, l.cog, o
		case off > 0 && r.hangs(j) > 0:
			return Beyond, l.cog + 1, o
		}
		return Tip, l.cog, o
	case Seated, Strikes:
		if o := r.overlap(j, l.cog); o < -1e-6 && math.Abs(off) > band {
			return Air, l.cog, -o
		}
	case Tip:
		if x := r.hangs(j); off > 0 && x > 0 {
			return Beyond, l.cog + 1, x
		}
		if x := clear - math.Abs(off); x > 0 {
			return Seated, l.cog, x
		}
		if x := band + undecided - math.Abs(off); x > 0 && r.way-l.since < 1 && r.links[j-1].state != Tip {
			return Strikes, l.cog, x
		}
	}
	return l.state, l.cog, 0
}

func (r *fall) link(j int) Link {
	m, l := r.mid(j), &r.links[j]
	w := r.Cogs[0]
	x := Link{
		N: j - ahead, X: m.X, Z: m.Y, Y: r.middle(j), State: l.state, Cog: l.cog,
		Height: r2.Norm(m) - w.Wheel.PitchRadius*math.Cos(math.Pi/float64(w.Teeth)),
		Lean:   math.Asin(max(-1, min(1, r.roll[j]/r.Chain.PlateHalfHeight))),
		Force:  l.force,
	}
	if l.state == Seated || l.state == Strikes {
		x.Force = (r.press[j] + r.press[j+1]) / 2
	}
	return x
}

// keep keeps the moment, and where its events' links are then.
func (r *fall) keep() {
	f := Frame{Angle: r.angle()}
	for i := range r.out.Events {
		if e := &r.out.Events[i]; e.Angle == f.Angle {
			e.Link = r.link(e.N + ahead)
		}
	}
	for j := ahead - 3; j < len(r.links); j++ {
		f.Links = append(f.Links, r.link(j))
	}
	r.out.Frames = append(r.out.Frames, f)
	r.out.Angle = f.Angle
}

// ended reports whether the fall has come to an end.
func (r *fall) ended() bool {
	if r.links[ahead].state != Tip && r.links[ahead].cog == 0 && r.links[ahead+1].cog == 0 && r.links[ahead+1].state != Air && r.links[ahead+1].state != Tip {
		r.out.End = Back
		return true
	}
	past := 0
	for j := ahead; j < len(r.links); j++ {
		if r.links[j].cog < len(r.Cogs) {
			past = 0
			continue
		}
		if past++; past == 3 {
			r.out.End = PastAll
			return true
		}
	}
	return r.rests()
}

// rests reports whether three links in a row have had their rollers on one wheel's root circle for a
// pitch, with places unchanged.
func (r *fall) rests() bool {
	row := 0
	for j := ahead; j+1 < len(r.links); j++ {
		l := &r.links[j]
		c := l.cog
		if c < 1 || c >= len(r.Cogs) || (l.state != Seated && l.state != Strikes) || r2.Norm(r.pins[j])-r.root(c) > restHigh || r2.Norm(r.pins[j+1])-r.root(c) > restHigh {
			row = 0
			l.sat = sat{r.way, r.middle(j)}
			continue
		}
		if r.out.Seat == 0 {
			r.out.Seat, r.out.SeatAt = c, r.angle()
		}
		if math.Abs(r.middle(j)-l.sat.y) > restMoves {
			l.sat = sat{r.way, r.middle(j)}
		}
		if r.way-l.sat.way < 1 || row > 0 && r.links[j-1].cog != c {
			row = 0
			continue
		}
		if row++; row == 3 {
			r.out.End, r.out.Cog = AtRest, c
			return true
		}
	}
	return false
}
