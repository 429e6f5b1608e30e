package march

import (
	"math"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// fate is what a link does at a wheel.
type fate int8

const (
	seated   fate = iota // in the open, clear, guided or seated
	pressed              // on a tip, and pulled back by its neighbours: its tooth holds it
	onTip                // an inner link on a tip that nothing holds there: neither wall nor friction
	judged               // the same, and the outer link behind it has arrived and does not follow
	squeezed             // on the tip because there was no place beside all teeth; until it leaves the wheel
)

// clear returns up to where a link's middle may stand off when a tip reaches it
// without touching.
func (r *runner) clear(s *station, link int) float64 {
	return (r.draw.width[link] - s.wheel.Teeth[kind(link)].Tip) / 2
}

// guided returns up to where it is guided back: over its bevel, less what shift gates
// take off and by how much this chain differs.
func (r *runner) guided(s *station, link int) float64 {
	return r.clear(s, link) + r.draw.bevel[link] - s.wheel.Allowance - r.draw.band
}

// held reports whether the chain cannot leave a wheel on the side of an offset: pulleys
// stand between the cage's plates, towards a larger cog or ring stands a wall, and
// about the top run onto one of several rings a front cage that lets few chains go.
func (r *runner) held(s *station, off float64) bool {
	return s.caged || s.guarded && !r.draw.open || s.wall[0] && off < 0 || s.wall[1] && off > 0
}

// judge grades the link that a tooth tip reaches just now. An inner link beyond its
// guided band climbs and is freed; the chain comes off where the outer one behind it
// then arrives beyond its own too (package sim's rule for drawn bikes). A link that
// climbs alone is pulled back by its neighbours.
func (r *runner) judge(p *phase, j, at int) {
	s, link := &r.stations[at], r.link(j)
	off := r.row.Middle(j) - r.centre(at, j)
	tally := &r.out.At[s.part]
	tally.Arrivals++
	x := math.Abs(off)
	r.out.Deepest[s.part] = max(r.out.Deepest[s.part], x)
	if r.tell.Arrival != nil {
		r.tell.Arrival(r.angle(p), s.part, link, off)
	}
	clear, guided := r.clear(s, link), r.guided(s, link)
	before := j + 1 // the link before this one
	follows := before < r.links && r.fate[before] == onTip
	switch {
	case x <= clear && x <= guided:
	case x <= guided:
		tally.Guided++
		r.say(p, Guided, j, at, off, (x-clear)/(guided-clear))
	default:
		tally.Climbs++
		r.say(p, Climbs, j, at, off, 0)
		first := r.row.Middle(before) - r.centre(at, before)
		switch {
		case r.held(s, off):
			r.fate[j] = pressed
		case kind(link) == engage.Inner:
			r.fate[j] = onTip
		case follows && first*off > 0:
			r.drop(p, j, at, off)
			return
		default:
			r.fate[j] = pressed
		}
	}
	if follows {
		r.fate[before] = judged
	}
}

// fallBack puts links on tips back over their teeth that are inside their guided bands
// again.
func (r *runner) fallBack(p *phase) {
	for j := range p.slots {
		if r.fate[j] != pressed && r.fate[j] != judged {
			continue
		}
		at := p.slots[j].at
		s := &r.stations[at]
		off := r.row.Middle(j) - r.centre(at, j)
		if math.Abs(off) <= r.clear(s, r.link(j))+r.draw.bevel[r.link(j)] {
			r.fate[j] = seated
			if r.moved >= 0 {
				r.out.At[s.part].FallsBack++
				r.say(p, FallsBack, j, at, off, 0)
			}
		}
	}
}

// drop ends the run: the chain comes off where a link arrived.
func (r *runner) drop(p *phase, j, at int, off float64) {
	to := [2]string{r.gear.below, r.gear.above}
	if r.stations[at].part == sim.AtRing {
		to = r.gear.ring
	}
	if r.stations[at].part == sim.AtIdler {
		to = [2]string{"inboard of the idler, onto the frame", "outboard of the idler"}
	}
	r.out.Dropped = true
	r.out.Drop = r.event(p, Drops, j, at, off, 0)
	r.out.Drop.To = to[0]
	if off > 0 {
		r.out.Drop.To = to[1]
	}
	if r.tell.Event != nil {
		r.tell.Event(r.out.Drop)
	}
}
