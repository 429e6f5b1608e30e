package march

import (
	"fmt"

	"chainpath/sim"
	"chainpath/sim/pins"
)

// settle finds the equilibrium of a phase. Teeth are hard, and where pulleys stand far off
// their cog, or wheels wobble by more than links have room, no place is inside of all of
// them. Then links give way one after the other: each time, of those that would have to
// give most, the one in which its tooth stands least deep goes onto the tip, until it
// leaves the wheel. That is the rule of a link that climbs, put to links that are on
// already (an assumption; no published source).
func (r *runner) settle(p *phase) error {
	w := r.row
	copy(r.before.Y, w.Y)
	copy(r.before.Bend, w.Bend)
	if w.Solve() {
		return nil
	}
	for again := !w.Stuck; ; again = false { // first once more, as if nothing were known
		if !again && !r.squeeze(p) {
			return fmt.Errorf("%w: the chain finds no equilibrium after %.1f° of the cranks", ErrMarch, sim.Degrees(max(0, r.angle(p))))
		}
		copy(w.Y, r.before.Y)
		clear(w.Bend)
		for i := range w.Seats {
			w.Seats[i].Stick, w.Seats[i].Wall = 0, [2]float64{}
		}
		w.Soft = pins.SoftBlind
		if w.Solve() {
			return nil
		}
	}
}

// squeeze puts one more link onto the tip of its tooth; it reports false where none is left.
func (r *runner) squeeze(p *phase) bool {
	w := r.row
	most := 0.0
	for i := range w.Seats {
		most = max(most, w.Over(&w.Seats[i]))
	}
	best := -1
	for i := range w.Seats {
		if w.Over(&w.Seats[i]) < most/2 {
			continue
		}
		if best < 0 || p.slots[w.Seats[i].Link].depth < p.slots[w.Seats[best].Link].depth {
			best = i
		}
	}
	if best < 0 {
		return false
	}
	j := w.Seats[best].Link
	w.Seats = append(w.Seats[:best], w.Seats[best+1:]...)
	r.fate[j], r.stick[j], r.wall[j] = squeezed, 0, [2]float64{}
	if r.moved >= 0 {
		at := p.slots[j].at
		r.out.At[r.stations[at].part].Climbs++
		r.say(p, Climbs, j, at, w.Middle(j)-r.centre(at, j), 0)
	}
	return true
}
