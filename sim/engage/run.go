package engage

import (
	"fmt"
	"math"

	"chainpath/sim/elementary"
	"chainpath/sim/pins"
)

// Run is a straight run of chain between two wheels, both ends on their teeth, that
// the chain travels along from one wheel to the other under a tension.
type Run struct {
	Chain   Chain
	To      Wheel   // the wheel that the chain runs onto
	From    Wheel   // the wheel that it leaves
	Length  float64 // between the tangent points, along the chain, mm, > 0
	Tension float64 // T, N, > 0
	Contact float64 // l, length over which pin and bush bear, mm, >= 0
	Seat    float64 // μ between a seated link and its tooth, >= 0
	ToHold  float64 // what T falls by on To a pitch past its tangent point, (0, 1]
	Tooth   float64 // length of a tooth along the chain at its tip, mm, >= 0
}

// Validate returns an error wrapping ErrEntry that names what is wrong.
func (r *Run) Validate() error {
	for _, w := range [2]Wheel{r.To, r.From} {
		if err := checkWheel(w, r.Chain); err != nil {
			return err
		}
	}
	pos := func(x float64) bool { return x > 0 && !math.IsInf(x, 0) }
	if !pos(r.Length) || !pos(r.Tension) || !(r.Contact >= 0 && r.Contact < 100) || !(r.Seat >= 0 && r.Seat < 10) ||
		!(r.ToHold > 0 && r.ToHold <= 1) || !(r.Tooth >= 0 && r.Tooth < r.Chain.Pitch) {
		return fmt.Errorf("%w: run of %g mm under %g N, contact %g mm, seat friction %g, hold %g, tooth %g mm long",
			ErrEntry, r.Length, r.Tension, r.Contact, r.Seat, r.ToHold, r.Tooth)
	}
	return nil
}

// Offsets are how far links lie off the middle plane of the wheel a run goes to.
type Offsets struct {
	Inner float64 // offset of an inner link at first overlap, mm, towards the pulled side
	Outer float64 // offset of the outer link behind it at its first overlap, the inner one freed, mm
}

// MarchOptions is how a run is carried to its steady state. Responses are fitted to runs of twice as many
// pitches with 7 seated links; the zero value is quicker and serves tests.
type MarchOptions struct {
	Steps   int // a pitch; 0: 6
	Pitches int // 0: 9
	Seated  int // links past the tangent point of each wheel; 0: 5
	// Half cuts the run in the middle: the far end is the first pin at or past
	// that distance, mm, held where the straight strand is by a spring of
	// 10/mm of the tension. 0: the whole run.
	Half float64
}

func (m *MarchOptions) fill() {
	if m.Steps == 0 {
		m.Steps = 6
	}
	if m.Pitches == 0 {
		m.Pitches = 9
	}
	if m.Seated == 0 {
		m.Seated = 5
	}
}

// Marcher carries runs to their steady state. It is scratch: for one goroutine, and
// results do not depend on what it did before. It allocates only when rows grow.
//
// What coarseness and speed cost, in arrivals of 600 random whole runs from all over
// the range of responses with bends from 0.15° (median, 95 %, largest, mm):
//
//	12 steps a pitch for 6                 0.00002  0.023  0.41
//	18 pitches for 9                       0.0035   0.034  0.28
//	7 seated links for 5                   0.0041   0.080  0.29
//	solved a thousand times as exactly,
//	each step from the one before only     0.000001 0.00002 0.0003
//
// Friction remembers: where a march began, and how finely it went on, decides which of
// many steady states it comes to. Largest are slack chains under a few newtons. Below
// about 0.12° the run lies inside its play and has no single place at all.
type Marcher struct {
	row     pins.Row
	run     Run
	how     MarchOptions
	to, fr  onto
	across  float64 // line of From's middle plane above To's, mm
	spare   []pins.Seat
	past    pins.Past
	base    int  // number of the row's first link
	freed   int  // number of a link without tooth and friction
	started bool // whether links have a place before
	plain   bool // solves a thousand times as exactly and without looking ahead, to see what that costs
}

// onto is what of a wheel a march looks up.
type onto struct {
	wheel    Wheel
	overlap  float64    // first overlap before the tangent point, mm
	friction float64    // μ·2π/N
	seated   [2]float64 // half the width inside each kind of link less its tooth's thickness, past the tangent point, mm
}

func (m *Marcher) onto(w Wheel) onto {
	// sin(π/N) = p/(2r)
	n := math.Pi / math.Asin(m.run.Chain.Pitch/(2*w.PitchRadius))
	o := onto{wheel: w, overlap: FirstOverlap(w, m.run.Chain.PlateHalfHeight), friction: m.run.Seat * 2 * math.Pi / n}
	for kind := Inner; kind <= Outer; kind++ {
		o.seated[kind] = o.playAt(&m.run.Chain, kind, 0)
	}
	return o
}

// playAt returns half the width inside a kind of link less its tooth's thickness, at a
// distance before the tangent point, mm.
func (o *onto) playAt(c *Chain, kind Link, u float64) float64 {
	return (c.Width(kind) - o.wheel.Teeth[kind].Thickness(o.wheel.depth(u, c.PlateHalfHeight))) / 2
}

// How far bounds, sticking links and joints may give, mm: at each step of a march,
// which forgets most of it, and in a single equilibrium.
const (
	giveMarching = 1e-6
	giveOnce     = 1e-8
)

// noLink is the number of no link.
const noLink = math.MinInt

// Arrive marches a run with a bend angle in rad, 0 to MaxAngle, and returns where
// links arrive. The chain moves in small steps; every seated link keeps the place
// that friction f = μ·T·2π/N (T falling on To by ToHold a pitch) holds it at. After
// the number of pitches the last inner link that arrived gives Inner; the next one
// is freed of tooth and friction, and one pitch on the outer link behind it gives
// Outer. Errors wrap ErrEntry or ErrStalled.
//
// Without friction there is no history, and both are single equilibria.
func (m *Marcher) Arrive(r *Run, bend float64, how MarchOptions) (Offsets, error) {
	var a Offsets
	if err := r.Validate(); err != nil {
		return a, err
	}
	if !(bend >= 0 && bend <= MaxAngle) {
		return a, fmt.Errorf("%w: bend %g rad", ErrEntry, bend)
	}
	how.fill()
	m.set(r, bend, how)
	if r.Seat == 0 {
		m.freed = noLink
		if !m.step(0) {
			return a, ErrStalled
		}
		a.Inner = m.offset(0)
		m.freed = 0
		if !m.step(1) {
			return a, ErrStalled
		}
		a.Outer = m.offset(1)
		return a, nil
	}
	// Link numbers: even ones are inner links; link i is at first overlap at the
	// time of i pitches. The deepest link of the start is an inner one.
	first := m.seated() % 2
	end := first + how.Pitches
	last := end - end%2
	out := end + end%2
	for s := first * how.Steps; s <= (out+1)*how.Steps; s++ {
		if s == out*how.Steps+1 {
			m.freed = out
		}
		if !m.step(float64(s) / float64(how.Steps)) {
			return a, ErrStalled
		}
		if s == last*how.Steps {
			a.Inner = m.offset(last)
		}
	}
	a.Outer = m.offset(out + 1)
	return a, nil
}

// seated returns how many links lie behind an arriving one.
func (m *Marcher) seated() int {
	return int(math.Ceil(m.to.overlap/m.run.Chain.Pitch)) + m.how.Seated
}

// set puts a run up.
func (m *Marcher) set(r *Run, bend float64, how MarchOptions) {
	c := r.Chain
	m.run, m.how = *r, how
	m.to, m.fr = m.onto(r.To), m.onto(r.From)
	m.across = r.Length * math.Sin(bend)
	m.freed, m.started = noLink, false
	m.past.Seats = true
	m.past.Reset(2 * how.Steps)
	w := &m.row
	w.Pitch, w.Stiffness, w.Tooth = c.Pitch, c.Stiffness, r.Tooth/2
	w.Give = giveMarching
	if r.Seat == 0 {
		w.Give = giveOnce
	} else if m.plain {
		w.Give = giveMarching / 1000
	}
	w.Y, w.Seats = w.Y[:0], w.Seats[:0]
}

// offset returns how far off To's middle plane a link lies, mm.
func (m *Marcher) offset(link int) float64 { return m.row.Middle(link - m.base) }

// at returns a link's distance before To's tangent point at a time in pitches, mm.
func (m *Marcher) at(link int, time float64) float64 {
	return m.to.overlap + (float64(link)-time)*m.run.Chain.Pitch
}

// step moves the chain to a time and finds its equilibrium.
func (m *Marcher) step(time float64) bool {
	p := m.run.Chain.Pitch
	base := int(math.Floor(time+1e-9)) - m.seated()
	first := m.at(base, time) - p/2 // the first pin
	n := 1 + int(math.Ceil((m.reach()-first)/p-1e-12))
	w := &m.row
	gone := 0
	if m.started {
		gone = base - m.base
	}
	m.base = base
	old := len(w.Y) - gone
	copy(w.Y, w.Y[gone:])
	copy(w.Bend, w.Bend[gone:])
	w.Resize(n)
	sine := m.across / m.run.Length
	for i := old; i < n; i++ {
		s := first + float64(i)*p
		w.Y[i], w.Bend[i] = max(0, min(s, m.run.Length))*sine, 0
	}
	for i := range w.Y {
		w.Moment[i], w.Slack[i] = m.run.Tension*m.run.Contact/2, m.run.Chain.Slack
	}
	for i := range w.Tension {
		w.Tension[i] = m.run.Tension
	}
	w.Spring = 0
	if m.how.Half > 0 {
		w.Spring = 10 * m.run.Tension
		w.Rest = (first + float64(n-1)*p) * sine
	}
	m.seatLinks(n-1, old-1, gone, time)
	w.Soft = pins.SoftStep
	if !m.started {
		w.Soft = pins.SoftBlind
	}
	if m.run.Seat > 0 && m.freed == noLink && !m.plain {
		m.guess(gone, old)
	}
	if !w.Solve() {
		return false
	}
	if m.run.Seat > 0 {
		m.past.Keep(w)
	}
	m.started = true
	return true
}

// guess lets the row start from where it will about be, by the past.
func (m *Marcher) guess(gone, known int) {
	w := &m.row
	after := m.past.Guess(w, gone, known)
	if after == nil {
		return
	}
	w.Soft = pins.SoftGuessed
	j := 0
	for i := range w.Seats {
		s := &w.Seats[i]
		for j < len(after.Seats) && after.Seats[j].Link < s.Link {
			j++
		}
		if j < len(after.Seats) && after.Seats[j].Link == s.Link {
			s.Stick, s.Wall = after.Seats[j].Stick, after.Seats[j].Wall
		}
	}
}

// reach returns how far the row goes from To's tangent point, mm.
func (m *Marcher) reach() float64 {
	if m.how.Half > 0 {
		return m.how.Half
	}
	return m.run.Length + (float64(m.how.Seated)+1)*m.run.Chain.Pitch
}

// seatLinks lists the links that teeth stand in at a time. One that had a tooth keeps
// its multipliers; friction holds those at their place of the step before that the
// row knew then, the first known of its links. It lost gone links since.
func (m *Marcher) seatLinks(links, known, gone int, time float64) {
	w := &m.row
	before := append(m.spare[:0], w.Seats...)
	m.spare = before
	w.Seats = w.Seats[:0]
	next := 0
	for i := range links {
		link := m.base + i
		s := m.at(link, time)
		on, centre, u := &m.to, 0.0, s
		if s > m.run.Length/2 {
			on, centre, u = &m.fr, m.across, m.run.Length-s
		}
		if (m.how.Half > 0 && on == &m.fr) || u > on.overlap-1e-9 || link == m.freed {
			continue
		}
		kind := Link(((link % 2) + 2) % 2)
		x := pins.Seat{Link: i, Play: on.seated[kind], Centre: centre}
		if u > 0 {
			x.Play = on.playAt(&m.run.Chain, kind, u)
		}
		for next < len(before) && before[next].Link-gone < i {
			next++
		}
		if next < len(before) && before[next].Link-gone == i {
			x.Stick, x.Wall = before[next].Stick, before[next].Wall
		}
		x.Was = w.Middle(i) // of the step before
		if m.run.Seat > 0 && m.started && i < known && u <= 1e-9 {
			x.Friction = on.friction * m.run.Tension
			if on == &m.to && m.run.ToHold < 1 {
				x.Friction *= elementary.Pow(m.run.ToHold, -u/m.run.Chain.Pitch)
			}
		}
		w.Seats = append(w.Seats, x)
	}
}
