package march

import (
	"fmt"
	"math"

	"chainpath/sim"
	"chainpath/sim/engage"
	"chainpath/sim/pins"
)

const fullTurn = 2 * math.Pi

// Drive is a gear made ready for simulations. Many goroutines may run it at once.
type Drive struct {
	track        *track
	set          Set
	below, above string    // where the chain falls, inboard and outboard, at the cog
	ring         [2]string // the same at the ring
}

// New makes a gear of a bike ready, with the links its chain has. Errors wrap ErrMarch.
func New(b *sim.Bike, g *sim.Gear, links int, dir sim.Direction, s Set) (*Drive, error) {
	if !(s.Turns > 0) || math.IsInf(s.Turns, 0) || !(s.Spread >= 0 && s.Spread < 10) || !(s.Guard >= 0 && s.Guard <= 1) {
		return nil, fmt.Errorf("%w: %g turns, links %g mm apart, front cage lets %g go", ErrMarch, s.Turns, s.Spread, s.Guard)
	}
	t, err := newTrack(b, g, dir, links)
	if err != nil {
		return nil, err
	}
	m := &Drive{track: t, set: s, below: "between the largest cog and the spokes", above: "between the smallest cog and the dropout"}
	if g.Cog+1 < len(b.Cogs) {
		m.below = fmt.Sprintf("the %d-tooth cog", b.Cogs[g.Cog+1].Teeth)
	}
	if g.Cog > 0 {
		m.above = fmt.Sprintf("the %d-tooth cog", b.Cogs[g.Cog-1].Teeth)
	}
	m.ring = [2]string{"inboard, onto the bottom bracket", "outboard, onto the crank"}
	if g.Ring > 0 {
		m.ring[0] = fmt.Sprintf("the %d-tooth chainring", b.Rings[g.Ring-1].Teeth)
	}
	if g.Ring+1 < len(b.Rings) {
		m.ring[1] = fmt.Sprintf("the %d-tooth chainring", b.Rings[g.Ring+1].Teeth)
	}
	return m, nil
}

// StepAngle returns the crank angle of one pitch of chain, rad.
func (m *Drive) StepAngle() float64 { return fullTurn / m.track.perTurn }

// A chain is marched from rest before the count begins, over so many times its longest
// seat that friction has forgotten the start, in coarse steps up to the last pitches.
// Links are not judged meanwhile.
const (
	runInSeats = 1.5
	runInSteps = 2 // a pitch
	runInFine  = 4 // pitches
)

// toothLength is the length of a tooth along the chain at its tip, mm: package
// engage's runs and the response fitted to them have the same.
const toothLength = 2.4

// give is how far bounds, sticking links and joints may give at a step, mm. Arrivals of
// 18 chains with it and with a thousandth of it differed by 0.0001 mm (median), 0.003
// (95 %) and 0.05 (largest): friction remembers small things.
const give = 3e-5

// runner is a march under way.
type runner struct {
	*track
	set    *Set
	gear   *Drive
	tell   *Observer
	draw   *draw
	row    *pins.Row
	past   pins.Past
	fate   []fate       // by slot
	stick  []float64    // by slot: multiplier of the seat's friction
	wall   [][2]float64 // by slot: those of the tooth's bounds
	before pins.State   // what a step began from
	known  bool         // whether links have a place before
	moved  int          // pitches since the start
	next   int          // index into Watch
	place  []Landing
	out    Fate
}

// Run marches one chain: trial number n of a seed. The same seed and number give
// the same run. It stops when the chain drops. An error wraps ErrMarch: an
// equilibrium did not settle, which is not known to happen.
func (m *Drive) Run(seed, n uint64, tell Observer) (Fate, error) {
	t := m.track
	r := &runner{
		track: t, set: &m.set, gear: m, tell: &tell, draw: t.draw(&m.set, seed, n),
		row:  &pins.Row{Pitch: t.pitch, Stiffness: t.chain.Stiffness, Tooth: toothLength / 2, Give: give},
		fate: make([]fate, t.links), stick: make([]float64, t.links), wall: make([][2]float64, t.links),
		moved: -t.runIn(),
	}
	r.row.Resize(t.links + 1)
	r.past.Reset(2 * runInSteps)
	r.before = pins.State{Y: make([]float64, t.links+1), Bend: make([]float64, t.links+1)}
	r.out.Pull = t.pull
	for _, s := range t.stations[1:] {
		r.out.Parts = append(r.out.Parts, s.part)
	}
	copy(r.row.Y, t.phases[0].base)
	end := m.set.Turns * t.perTurn // pitches
	for {
		if r.moved == -runInFine {
			r.past.Reset(2 * len(t.phases))
		}
		for i := range t.phases {
			p := &t.phases[i]
			select {
			case <-r.set.Done:
				return r.out, ErrStopped
			default:
			}
			if r.moved < -runInFine && i*runInSteps%len(t.phases) >= runInSteps {
				continue
			}
			if float64(r.moved)+p.shift > end {
				r.out.Turned = fullTurn * m.set.Turns
				return r.out, nil
			}
			gone := 0
			if i == 0 {
				gone = 1
			}
			if err := r.step(p, gone); err != nil {
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

// rotate renames the slots when the chain has moved on by a pitch: the last link
// comes in at the start.
func (r *runner) rotate() {
	r.moved++
	n := r.links
	for _, y := range [2][]float64{r.row.Y, r.row.Bend} {
		first := y[n-1]
		copy(y[1:], y[:n])
		y[0] = first
	}
	roll(r.fate)
	roll(r.stick)
	roll(r.wall)
}

// roll moves everything on by a place, the last to the first.
func roll[T any](x []T) {
	last := x[len(x)-1]
	copy(x[1:], x)
	x[0] = last
}

// step solves one phase and judges what is new in it. gone is how many slots the
// chain was renamed by since the last.
func (r *runner) step(p *phase, gone int) error {
	r.dress(p)
	w := r.row
	w.Soft = pins.SoftBlind
	if r.known {
		w.Soft = pins.SoftStep
		r.past.Guess(w, -gone, len(w.Y))
	}
	if err := r.settle(p); err != nil {
		return err
	}
	r.out.Steps++
	for i := range w.Seats {
		s := &w.Seats[i]
		r.stick[s.Link], r.wall[s.Link] = s.Stick, s.Wall
	}
	r.past.Keep(w)
	r.known = true
	r.fallBack(p)
	if r.moved < 0 {
		return nil
	}
	for j := range p.slots {
		if s := p.slots[j].arrives; s >= 0 && !r.out.Dropped {
			r.judge(p, j, s)
		}
	}
	r.watch(p)
	return nil
}

// dress puts a phase's tensions, joints and teeth into the row.
func (r *runner) dress(p *phase) {
	w := r.row
	w.Seats = w.Seats[:0]
	for j := range p.slots {
		s := &p.slots[j]
		w.Tension[j] = s.tension
		w.Slack[j] = r.draw.slack[r.link(j)]
		if j > 0 {
			w.Moment[j] = w.Pull(j) * r.chain.Contact / 2
		}
		if s.at < 0 {
			r.fate[j], r.stick[j], r.wall[j] = seated, 0, [2]float64{}
			continue
		}
		if r.fate[j] == onTip || r.fate[j] == judged || r.fate[j] == squeezed {
			r.stick[j], r.wall[j] = 0, [2]float64{}
			continue
		}
		st := &r.stations[s.at]
		x := pins.Seat{Link: j, Play: r.playOf(st, s, r.link(j)), Centre: r.centre(s.at, j), Stick: r.stick[j], Wall: r.wall[j], Was: w.Middle(j)}
		if r.known && s.lies {
			x.Friction = r.chain.Seat * r.seating(s)
		}
		if x.Friction == 0 {
			x.Stick = 0
		}
		w.Seats = append(w.Seats, x)
	}
}

// centre returns the middle plane of the tooth in a slot, mm.
func (r *runner) centre(at, slot int) float64 {
	s := &r.stations[at]
	return s.line + r.draw.wobble[at][r.tooth(at, slot)]
}

// playOf returns how far a link's middle may stand off its tooth's: half of what
// its plates leave beside the tooth at that depth.
func (r *runner) playOf(s *station, p *slot, link int) float64 {
	t := s.wheel.Teeth[kind(link)]
	return max(0, (r.draw.width[link]-t.Thickness(p.depth))/2)
}

// seating returns the force that seats a link past the tangent point, N: T·2π/N.
func (r *runner) seating(p *slot) float64 {
	return p.tension * fullTurn / float64(r.stations[p.at].teeth)
}

func (r *runner) event(p *phase, k EventKind, j, at int, offset, depth float64) Event {
	s, link := &r.stations[at], r.link(j)
	return Event{Kind: k, Angle: r.angle(p), Link: link, Inner: kind(link) == engage.Inner, At: s.part, Tooth: r.tooth(at, j), Offset: offset, Depth: depth}
}

func (r *runner) say(p *phase, k EventKind, j, at int, offset, depth float64) {
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

func (r *runner) places(p *phase) []Landing {
	r.place = r.place[:0]
	for j := range p.slots {
		link, s := r.link(j), &p.slots[j]
		x := Landing{Link: link, Inner: kind(link) == engage.Inner, Along: (float64(j) + p.shift + 0.5) * r.pitch, Y: r.row.Middle(j)}
		x.Off = x.Y - (p.base[j]+p.base[j+1])/2
		if s.at >= 0 {
			x.At, x.Overlap = r.stations[s.at].part.String(), s.depth
		}
		r.place = append(r.place, x)
	}
	return r.place
}
