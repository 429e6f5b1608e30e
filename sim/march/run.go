package march

import (
	"fmt"
	"math"

	"chainpath/sim"
	"chainpath/sim/engage"
)

const fullTurn = 2 * math.Pi

// Gear is a gear that was made ready for marches; many may run at once.
type Gear struct {
	track        *track
	set          Set
	below, above string    // where the chain falls, inboard and outboard, at the cog
	ring         [2]string // the same at the ring
}

// New makes a gear of a bike's result ready. Errors wrap ErrMarch.
func New(b *sim.Bike, r *sim.Result, g *sim.Gear, dir sim.Direction, s Set) (*Gear, error) {
	if !(s.Turns > 0) || math.IsInf(s.Turns, 0) || !(s.Friction >= 0) {
		return nil, fmt.Errorf("%w: %g turns with friction %g", ErrMarch, s.Turns, s.Friction)
	}
	t, err := newTrack(b, g, dir, r.Links)
	if err != nil {
		return nil, err
	}
	m := &Gear{track: t, set: s, below: "between the largest cog and the spokes", above: "between the smallest cog and the dropout"}
	if g.Cog+1 < len(b.Cogs) {
		m.below = fmt.Sprintf("the %d-tooth cog", b.Cogs[g.Cog+1].Teeth)
	}
	if g.Cog > 0 {
		m.above = fmt.Sprintf("the %d-tooth cog", b.Cogs[g.Cog-1].Teeth)
	}
	m.ring = [2]string{"inboard, onto the bottom bracket", "outboard, onto the crank"}
	if g.Ring > 0 {
		m.ring[0] = fmt.Sprintf("the %d-tooth ring", b.Rings[g.Ring-1].Teeth)
	}
	if g.Ring+1 < len(b.Rings) {
		m.ring[1] = fmt.Sprintf("the %d-tooth ring", b.Rings[g.Ring+1].Teeth)
	}
	return m, nil
}

// StepAngle returns the crank angle of one pitch of chain, rad.
func (m *Gear) StepAngle() float64 { return fullTurn / m.track.perTurn }

// fate is what a link does at a wheel.
type fate int8

const (
	seated fate = iota // in the open, clear, guided or seated
	onTip
	off
)

// runner is a march under way.
type runner struct {
	*track
	set   *Set
	gear  *Gear
	tell  *Report
	draw  *draw
	row   *row
	fate  []fate    // by slot
	where []int     // by slot: the station of a link on a tip or off
	hold  []float64 // by slot: where friction holds a link on a tip, mm
	moved int       // pitches since the start
	next  int       // index into Watch
	place []Place
	out   Result
}

// Run marches one chain: trial number n of a seed. The same seed and number give
// the same run. It stops when the chain drops. An error wraps ErrMarch: an
// equilibrium did not settle.
func (m *Gear) Run(seed, n uint64, tell Report) (Result, error) {
	t := m.track
	r := &runner{
		track: t, set: &m.set, gear: m, tell: &tell, draw: t.draw(m.set.Tolerance, seed, n),
		row:  newRow(t.links, t.pitch, t.chain.Stiffness),
		fate: make([]fate, t.links), where: make([]int, t.links), hold: make([]float64, t.links),
	}
	r.out.Pull = t.pull
	for _, s := range t.stations[1:] {
		r.out.Parts = append(r.out.Parts, s.part)
	}
	copy(r.row.y, t.phases[0].base)
	last := 0.0
	end := m.set.Turns * t.perTurn // pitches
	for {
		for i := range t.phases {
			p := &t.phases[i]
			now := float64(r.moved) + p.shift
			if now > end {
				r.out.Turned = fullTurn * m.set.Turns
				return r.out, nil
			}
			if r.moved+i > 0 {
				r.advance(now - last)
			}
			last = now
			if err := r.step(p); err != nil {
				return r.out, err
			}
			if r.out.Dropped {
				r.out.Turned = r.out.Drop.Angle
				return r.out, nil
			}
		}
		r.rotate()
	}
}

// angle returns the crank angle at a phase, rad.
func (r *runner) angle(p *phase) float64 {
	return fullTurn * (float64(r.moved) + p.shift) / r.perTurn
}

// link returns the number of the link in a slot.
func (r *runner) link(slot int) int {
	k := (slot - r.moved) % r.links
	if k < 0 {
		k += r.links
	}
	return k
}

// tooth returns the number of the tooth that stands, or will, in a slot.
func (r *runner) tooth(at, slot int) int {
	if at == 0 { // the ring's second half goes on from its first
		slot += r.links
	}
	s := &r.stations[at]
	k := (slot - r.moved) % s.teeth
	if k < 0 {
		k += s.teeth
	}
	return k
}

// advance moves the start of the next solve on by some pitches along the chain's
// own shape.
func (r *runner) advance(by float64) {
	y := r.row.y
	for i := 0; i+1 < len(y); i++ {
		y[i] += by * (y[i+1] - y[i])
	}
}

// rotate renames the slots when the chain has moved on by a pitch: the last link
// comes in at the start.
func (r *runner) rotate() {
	r.moved++
	n := r.links
	y := r.row.y
	first := y[n-1]
	copy(y[1:], y[:n])
	y[0] = first
	f, w, h := r.fate[n-1], r.where[n-1], r.hold[n-1]
	copy(r.fate[1:], r.fate[:n-1])
	copy(r.where[1:], r.where[:n-1])
	copy(r.hold[1:], r.hold[:n-1])
	r.fate[0], r.where[0], r.hold[0] = f, w, h
}

// step solves one phase and judges what is new in it.
func (r *runner) step(p *phase) error {
	r.dress(p)
	if err := r.settle(p); err != nil {
		return err
	}
	if r.slide(p) {
		if err := r.settle(p); err != nil {
			return err
		}
		r.fall(p)
	}
	for j := range p.slots {
		if s := p.slots[j].arrives; s >= 0 {
			r.judge(p, j, s)
		}
	}
	r.watch(p)
	return nil
}

func (r *runner) settle(p *phase) error {
	r.out.Steps++
	if !r.row.solve() {
		return fmt.Errorf("%w: no equilibrium after %.1f° of the cranks", ErrMarch, sim.Degrees(r.angle(p)))
	}
	return nil
}

// dress puts a phase's tensions and contacts into the row.
func (r *runner) dress(p *phase) {
	w := r.row
	copy(w.base, p.base)
	for j := range p.slots {
		s := &p.slots[j]
		w.tension[j], w.push[j] = s.tension, 0
		w.slack[j] = r.draw.slack[r.link(j)]
		w.play[j] = math.Inf(1)
		if s.at < 0 {
			r.fate[j] = seated
			continue
		}
		st := &r.stations[s.at]
		if r.fate[j] != seated {
			if r.stations[r.where[j]].part != st.part {
				r.fate[j] = seated
			}
			r.where[j] = s.at // the ring's two halves follow each other
		}
		w.centre[j] = r.centre(s.at, j)
		switch r.fate[j] {
		case seated:
			w.play[j] = r.playOf(st, s, r.link(j))
		case onTip:
			w.centre[j], w.play[j] = r.hold[j], 0
		}
	}
}

// centre returns the middle plane of the tooth in a slot, mm.
func (r *runner) centre(at, slot int) float64 {
	s := &r.stations[at]
	return s.line + r.draw.wobble[at][r.tooth(at, slot)]
}

// playOf returns how far a link's middle may stand off its tooth's: half of what
// its plates leave beside the tooth at that depth, and what of the bevel (taken at
// 45°) still stands above the tip.
func (r *runner) playOf(s *station, p *slot, link int) float64 {
	t := s.wheel.Teeth[kind(link)]
	return math.Max(0, (r.draw.width[link]-t.Thickness(p.depth))/2) + math.Max(0, r.draw.bevel[link]-p.depth)
}

// clear returns up to where a link's middle may stand off when a tip reaches it
// without touching; its bevel comes on top.
func (r *runner) clear(s *station, link int) float64 {
	return (r.draw.width[link] - s.wheel.Teeth[kind(link)].Tip) / 2
}

// seating returns the force that seats a link, N: T·2π/N on the wheel, before and
// after it in proportion to the overlap.
func (r *runner) seating(p *slot) float64 {
	s := &r.stations[p.at]
	return p.tension * fullTurn / float64(s.teeth) * math.Min(1, p.depth/s.full)
}

func (r *runner) event(p *phase, k Kind, j, at int, offset, depth float64) Event {
	s, link := &r.stations[at], r.link(j)
	return Event{Kind: k, Angle: r.angle(p), Link: link, Inner: kind(link) == engage.Inner, At: s.part, Tooth: r.tooth(at, j), Offset: offset, Depth: depth}
}

func (r *runner) say(p *phase, k Kind, j, at int, offset, depth float64) {
	if r.tell.Event != nil {
		r.tell.Event(r.event(p, k, j, at, offset, depth))
	}
}

// watch reports the chain's places at the angles that were asked for.
func (r *runner) watch(p *phase) {
	now := r.angle(p)
	if r.tell.Step != nil {
		r.tell.Step(now, r.places(p))
	}
	if r.tell.Places == nil {
		return
	}
	if r.next >= len(r.set.Watch) || now < r.set.Watch[r.next]-1e-9 {
		return
	}
	for r.next < len(r.set.Watch) && now >= r.set.Watch[r.next]-1e-9 {
		r.next++
	}
	r.tell.Places(now, r.places(p))
}

func (r *runner) places(p *phase) []Place {
	r.place = r.place[:0]
	for j := range p.slots {
		link, s := r.link(j), &p.slots[j]
		x := Place{Link: link, Inner: kind(link) == engage.Inner, Along: (float64(j) + p.shift + 0.5) * r.pitch, Y: r.row.middle(j)}
		x.Off = x.Y - (p.base[j]+p.base[j+1])/2
		if s.at >= 0 {
			x.At, x.Overlap = r.stations[s.at].part.String(), s.depth
		}
		r.place = append(r.place, x)
	}
	return r.place
}
