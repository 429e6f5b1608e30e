package march

import (
	"math"

	"chainpath/sim"
)

// landed returns how much of a plate's edge lies on the tip, as a share of the
// bevel's width, at most 1: a plate that barely catches the tip stands on its
// corner, which friction does not hold.
func (r *runner) landed(p *phase, j int) float64 {
	at, link := p.slots[j].at, r.link(j)
	bevel := r.draw.bevel[link]
	past := math.Abs(r.hold[j]-r.centre(at, j)) - r.clear(&r.stations[at], link) - bevel
	if past >= bevel {
		return 1
	}
	return math.Max(0, past/bevel)
}

// slide lets go of every link on a tip that is pulled harder than friction holds
// it; friction goes on pulling against the way. It reports whether there was one.
func (r *runner) slide(p *phase) bool {
	any := false
	for j := range p.slots {
		if r.fate[j] != onTip {
			continue
		}
		f := r.row.held(j) // pushes back
		most := r.set.Friction * r.seating(&p.slots[j]) * r.landed(p, j)
		if math.Abs(f) > most {
			r.row.play[j] = math.Inf(1)
			r.row.push[j] = math.Copysign(most, f)
			any = true
		}
	}
	return any
}

// fall looks at what became of links that slid.
func (r *runner) fall(p *phase) {
	for j := range p.slots {
		if r.fate[j] != onTip || !math.IsInf(r.row.play[j], 1) {
			continue
		}
		at := p.slots[j].at
		s, link := &r.stations[at], r.link(j)
		off0 := r.row.middle(j) - r.centre(at, j)
		r.hold[j] = r.row.middle(j)
		plate := (r.chain.OuterWidth - r.chain.InnerWidth) / 2
		tip := s.wheel.Teeth[kind(link)].Tip
		switch x := math.Abs(off0); {
		case x <= r.clear(s, link)+r.draw.bevel[link]:
			r.fate[j] = seated
			r.out.At[s.part].FallsBack++
			r.say(p, FallsBack, j, at, off0, 0)
		case x >= (r.draw.width[link]+tip)/2+plate:
			r.fate[j] = off
			r.out.At[s.part].SlidesOff++
			r.say(p, SlidesOff, j, at, off0, 0)
			r.lost(p, j, at, off0)
		}
	}
}

// judge grades the link that a tooth tip reaches just now.
func (r *runner) judge(p *phase, j, at int) {
	s, link := &r.stations[at], r.link(j)
	off0 := r.row.middle(j) - r.centre(at, j)
	tally := &r.out.At[s.part]
	tally.Arrivals++
	x := math.Abs(off0)
	r.out.Deepest[s.part] = math.Max(r.out.Deepest[s.part], x)
	if r.tell.Arrival != nil {
		r.tell.Arrival(r.angle(p), s.part, link, off0)
	}
	clear, bevel := r.clear(s, link), r.draw.bevel[link]
	switch {
	case x <= clear:
	case x <= clear+bevel:
		tally.Guided++
		r.say(p, Guided, j, at, off0, (x-clear)/bevel)
	default:
		tally.Climbs++
		r.say(p, Climbs, j, at, off0, 0)
		if s.caged {
			return // its plates push the link back over the tooth
		}
		r.fate[j], r.where[j], r.hold[j] = onTip, at, r.row.middle(j)
		r.lost(p, j, at, off0)
	}
}

// lost ends the run when a link that climbs, or slid off, and the one before it
// are both on the tips or off the wheel on the same side, and the chain ahead
// pulls them further out.
func (r *runner) lost(p *phase, j, at int, off0 float64) {
	for _, k := range [2]int{j + 1, j - 1} {
		if k < 0 || k >= r.links || r.fate[k] == seated || r.where[k] != at || r.out.Dropped {
			continue
		}
		other := r.row.middle(k) - r.centre(at, k)
		ahead := min(j, k) // the one further from the wheel
		if ahead == 0 || other*off0 <= 0 {
			continue
		}
		out := (r.row.y[ahead] - r.row.y[ahead+1]) * math.Copysign(1, off0)
		if out <= 0 {
			continue
		}
		r.out.Dropped = true
		to := [2]string{r.gear.below, r.gear.above}
		if r.stations[at].part == sim.AtRing {
			to = r.gear.ring
		}
		r.out.Drop = r.event(p, Drops, j, at, off0, 0)
		r.out.Drop.To = to[0]
		if off0 > 0 {
			r.out.Drop.To = to[1]
		}
		if r.tell.Event != nil {
			r.tell.Event(r.out.Drop)
		}
	}
}
