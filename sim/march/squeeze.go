package march

import (
	"fmt"
	"math"

	"chainpath/sim"
)

// settle finds the equilibrium of a phase. Teeth are hard, and where pulleys stand far off
// their cog, or wheels wobble by more than links have room, no place is inside of all of
// them. Then links give way one after the other: each time, of those that would have to
// give most, the one in which its tooth stands least deep goes onto the tip, until it
// leaves the wheel. That is the rule of a link that climbs, put to links that are on
// already (an assumption; no published source).
func (r *runner) settle(p *phase) error {
	w := r.row
	copy(r.before.y, w.y)
	copy(r.before.bend, w.bend)
	if w.solve() {
		return nil
	}
	for again := !w.stuck; ; again = false { // first once more, as if nothing were known
		if !again && !r.squeeze(p) {
			return fmt.Errorf("%w: the chain finds no equilibrium after %.1f° of the cranks", ErrMarch, sim.Degrees(max(0, r.angle(p))))
		}
		copy(w.y, r.before.y)
		clear(w.bend)
		for i := range w.seats {
			w.seats[i].stick, w.seats[i].wall = 0, [2]float64{}
		}
		w.soft = softBlind
		if w.solve() {
			return nil
		}
	}
}

// squeeze puts one more link onto the tip of its tooth; it reports false where none is left.
func (r *runner) squeeze(p *phase) bool {
	w := r.row
	most := 0.0
	for i := range w.seats {
		most = max(most, w.over(&w.seats[i]))
	}
	best := -1
	for i := range w.seats {
		if w.over(&w.seats[i]) < most/2 {
			continue
		}
		if best < 0 || p.slots[w.seats[i].link].depth < p.slots[w.seats[best].link].depth {
			best = i
		}
	}
	if best < 0 {
		return false
	}
	j := w.seats[best].link
	w.seats = append(w.seats[:best], w.seats[best+1:]...)
	r.fate[j], r.stick[j], r.wall[j] = squeezed, 0, [2]float64{}
	if r.moved >= 0 {
		at := p.slots[j].at
		r.out.At[r.stations[at].part].Climbs++
		r.say(p, Climbs, j, at, w.middle(j)-r.centre(at, j), 0)
	}
	return true
}

// over returns how far a link stands beyond the bounds of its tooth, mm.
func (r *row) over(s *seat) float64 {
	w := r.tooth / r.pitch
	a, b := 0.5-w, 0.5+w
	p, q := r.y[s.link]-s.centre, r.y[s.link+1]-s.centre
	return max(0, math.Abs(a*p+b*q)-s.play, math.Abs(b*p+a*q)-s.play)
}
