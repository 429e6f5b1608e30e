package march

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"sort"

	"chainpath/sim"
	"chainpath/sim/elementary"
	"chainpath/sim/engage"
)

// ErrMarch reports a gear that cannot be run.
var ErrMarch = errors.New("march: cannot run")

// uniform is the number of even steps in a pitch; the moments at which a tooth tip
// first reaches a link are steps of their own.
const uniform = 3

// apart is how near an even step may lie to one of those, pitches, before it is left out.
const apart = 0.1

// station is a wheel in the order of travel.
type station struct {
	part     sim.Part
	wheel    engage.Wheel
	teeth    int
	line     float64 // mm
	from, to float64 // the arc on which the chain lies, pitches
	early    float64 // first overlap before from, pitches
	caged    bool    // cage plates hold the chain
	guarded  bool    // a front cage stands about the run that arrives
	wall     [2]bool // a larger wheel stands inboard, outboard
}

// track is the path of a gear in the order of travel, laid out for a march. Slot j
// is where link j would be at the start.
type track struct {
	direction sim.Direction
	stations  []station
	links     int
	pitch     float64
	perTurn   float64 // pitches a turn of the cranks
	chain     engage.Chain
	phases    []phase
	pull      Pull
}

// phase is one step within a pitch: what the slots meet when the chain has moved
// on by shift pitches.
type phase struct {
	shift float64
	slots []slot
	base  []float64 // straight path at the pins, mm
}

// slot is a link's place.
type slot struct {
	at      int     // station whose tooth stands in the link, or -1
	arrives int     // station whose tooth tip reaches the link just now, or -1
	depth   float64 // overlap, mm
	tension float64 // N
	lies    bool    // past the tangent point, and not yet past the other
}

// Pull is what pulls the chain in a march.
type Pull struct {
	Top, Bottom float64 // N; Top is never below what the slack span's own weight gives
	Slack       bool    // the top span hangs slack (backwards)
	Surplus     float64 // chain that the cage has given into it, mm
	Sag         float64 // its sag, mm
}

// newTrack lays a gear out. The gear's loop must close.
func newTrack(b *sim.Bike, g *sim.Gear, dir sim.Direction, links int) (*track, error) {
	if !g.Fit.Closes {
		return nil, fmt.Errorf("%w: ring %d, cog %d: %s", ErrMarch, g.RingTeeth, g.CogTeeth, g.Fit.Reason())
	}
	if links%2 == 1 && b.Rings[g.Ring].WideNarrow() {
		return nil, fmt.Errorf("%w: a chain of %d links puts inner links on the chainring's wide teeth", ErrMarch, links)
	}
	l := g.Loop
	t := &track{direction: dir, links: links, pitch: l.Pitch(), perTurn: float64(g.RingTeeth), chain: b.Chain.Chain}
	t.pull = Pull{Top: g.Tensions.Top[dir], Bottom: g.Tensions.Bottom[dir]}
	if dir == sim.Backwards && t.pull.Top <= 0 && b.Tensioner != nil {
		h := b.Hang(&l)
		t.pull = Pull{Top: h.Tension, Bottom: h.Bottom, Slack: true, Surplus: h.Surplus, Sag: h.Sag}
	}
	t.lay(b, &l, g)
	t.divide()
	return t, nil
}

// lay puts the stations on the path, from the middle of the ring's seat on.
func (t *track) lay(b *sim.Bike, l *sim.Loop, g *sim.Gear) {
	path := l.Path() // cog first, the ring somewhere after it
	at0 := slices.Index(path, sim.AtRing)
	order := append(append([]sim.Part{}, path[at0+1:]...), path[:at0]...)
	if t.direction == sim.Backwards {
		slices.Reverse(order)
	}
	sprocket := map[sim.Part]sim.Sprocket{sim.AtRing: b.Rings[g.Ring].Sprocket, sim.AtCog: b.Cogs[g.Cog].Sprocket}
	if k := b.Tensioner; k != nil {
		sprocket[sim.AtTension], sprocket[sim.AtGuide] = k.Tension, k.Guide
	}
	held := func(p sim.Part) bool { return p == sim.AtGuide || p == sim.AtTension }
	if d := b.Idler; d != nil {
		sprocket[sim.AtIdler] = d.Sprocket
		if d.Held {
			held = func(p sim.Part) bool { return p >= sim.AtTension }
		}
	}
	at := 0.0
	add := func(p sim.Part, from, wrap float64) {
		w := sprocket[p].Entry(t.pitch)
		t.stations = append(t.stations, station{
			part: p, wheel: w, teeth: sprocket[p].Teeth, line: l.Line[p],
			from: from, to: from + wrap,
			early:   engage.FirstOverlap(w, t.chain.PlateHalfHeight) / t.pitch,
			caged:   held(p),
			guarded: p == sim.AtRing && t.direction == sim.Riding && len(b.Rings) > 1,
			wall:    [2]bool{p == sim.AtCog && g.Cog+1 < len(b.Cogs), p == sim.AtRing && g.Ring+1 < len(b.Rings)},
		})
		at = from + wrap
	}
	// A slack top run's spans take the surplus as the cubes of their lengths.
	share := map[int]float64{sim.Top: 1}
	if l.Idled {
		x, y := math.Pow(l.Spans[sim.Top].Length, 3), math.Pow(l.Spans[sim.Lead].Length, 3)
		share = map[int]float64{sim.Top: x / (x + y), sim.Lead: y / (x + y)}
	}
	half := l.Seat(sim.AtRing) / 2
	add(sim.AtRing, 0, half)
	last := sim.AtRing
	for _, p := range append(order, sim.AtRing) {
		gap := l.SpanPitches(t.span(l, last, p))
		if s := t.span(l, last, p); t.pull.Slack && (s == sim.Top || s == sim.Lead) {
			gap += t.pull.Surplus / t.pitch * share[s]
		}
		if p == sim.AtRing {
			add(p, at+gap, half)
		} else {
			add(p, at+gap, l.Seat(p))
		}
		last = p
	}
	// The loop closes on the links to rounding.
	end := &t.stations[len(t.stations)-1]
	end.to = float64(t.links)
}

// runIn returns the pitches to march before the count begins.
func (t *track) runIn() int {
	ends := &t.stations[len(t.stations)-1]
	most := t.stations[0].to + ends.to - ends.from // the ring's two halves
	for _, s := range t.stations {
		most = max(most, s.to-s.from)
	}
	return int(math.Ceil(runInSeats*most)) + runInFine
}

// span returns the index of the span that leads from a wheel to the next one in
// travel.
func (t *track) span(l *sim.Loop, from, to sim.Part) int {
	if t.direction == sim.Backwards {
		return l.Into(from)
	}
	return l.Into(to)
}

// divide lists the phases of a pitch and what each slot meets in them.
func (t *track) divide() {
	shifts := []float64{}
	for i := range t.stations {
		if i > 0 { // the first is the ring's half that the chain already lies on
			_, f := math.Modf(t.stations[i].from - t.stations[i].early + 0.5)
			shifts = append(shifts, f)
		}
	}
	for k := range uniform {
		even := float64(k) / uniform
		if k == 0 || !slices.ContainsFunc(shifts, func(f float64) bool { return math.Abs(math.Remainder(f-even, 1)) < apart }) {
			shifts = append(shifts, even)
		}
	}
	sort.Float64s(shifts)
	last := -1.0
	for _, s := range shifts {
		if s-last < 1e-9 {
			continue
		}
		last = s
		p := phase{shift: s, slots: make([]slot, t.links), base: make([]float64, t.links+1)}
		for j := range p.slots {
			p.slots[j] = t.slotAt(float64(j) + s + 0.5)
		}
		for j := range p.base {
			p.base[j] = t.straight(float64(j) + s)
		}
		t.phases = append(t.phases, p)
	}
}

// slotAt returns what a link meets whose middle is at x.
func (t *track) slotAt(x float64) slot {
	const same = 1e-9
	s := slot{at: -1, arrives: -1, tension: t.tensionAt(x)}
	if x >= float64(t.links) {
		x -= float64(t.links)
	}
	for i := range t.stations {
		w := &t.stations[i]
		enter := w.from - w.early
		if i > 0 && math.Abs(x-enter) < same {
			return slot{at: -1, arrives: i, tension: s.tension}
		}
		leave := w.to + w.early
		if i+1 < len(t.stations) { // the next wheel's teeth come first
			leave = min(leave, t.stations[i+1].from-t.stations[i+1].early)
		}
		if x > enter+same && x < leave {
			u := max(w.from-x, x-w.to) * t.pitch
			s.at, s.lies = i, u <= same
			s.depth = w.wheel.TipRadius*math.Cos(max(u, 0)/w.wheel.PitchRadius) - (w.wheel.PitchRadius - t.chain.PlateHalfHeight)
			return s
		}
	}
	return s
}

// hold is what is left of the greater tension a pitch further on a wheel, until it
// has come down to the lesser (sim/engage has the same of a driven ring; assumption).
const hold = 0.85

// leastTension is what a run that hangs is marched with, N, as level 2 judges it.
const leastTension = 1.0

// tensionAt returns the pull at x: that of the spans, and over ring and cog falling
// from the greater to the lesser.
func (t *track) tensionAt(x float64) float64 {
	n := float64(t.links)
	if x >= n {
		x -= n
	}
	before, after := max(t.pull.Top, leastTension), max(t.pull.Bottom, leastTension) // riding: top run ends at the ring
	if t.direction == sim.Backwards {
		before, after = after, before
	}
	ring, cog := t.stations[0], t.stations[slices.IndexFunc(t.stations, func(s station) bool { return s.part == sim.AtCog })]
	end := t.stations[len(t.stations)-1]
	fall := func(u, from, to, a, b float64) float64 {
		if a > b {
			return max(b, a*elementary.Pow(hold, max(0, u-from)))
		}
		return max(a, b*elementary.Pow(hold, max(0, to-u)))
	}
	seat := ring.to + end.to - end.from
	switch {
	case x <= ring.to: // the second half of the ring's seat
		return fall(x, ring.to-seat, ring.to, before, after)
	case x >= end.from:
		return fall(x, end.from, end.from+seat, before, after)
	case x < cog.from:
		return after
	}
	return fall(x, cog.from, cog.to, after, before)
}

// straight returns the lateral place of the straight path at x.
func (t *track) straight(x float64) float64 {
	if x >= float64(t.links) {
		x -= float64(t.links)
	}
	for i := range t.stations {
		w := t.stations[i]
		if x <= w.to {
			if x >= w.from || i == 0 {
				return w.line
			}
			b := t.stations[i-1]
			return b.line + (w.line-b.line)*(x-b.to)/(w.from-b.to)
		}
	}
	return t.stations[len(t.stations)-1].line
}
