package sim

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
)

// Part names a wheel of the loop.
type Part int

// The wheels in riding order.
const (
	AtCog Part = iota
	AtRing
	AtTension
	AtGuide
	AtIdler  // between cog and ring
	NumParts = int(AtIdler) + 1
)

func (p Part) String() string {
	return [...]string{"cog", "ring", "tension_pulley", "guide_pulley", "idler"}[p]
}

// Name returns the part's name in words.
func (p Part) Name() string {
	return [...]string{"cog", "chainring", "tension pulley", "guide pulley", "idler"}[p]
}

// Loop is the closed chain path of a gear in the side view (X forward, Y up),
// by Part: cog, ring, and with a tensioner tension pulley, guide pulley; an idler that
// holds up the top run comes between cog and ring. Path has them in riding order.
// Spans[i] runs from wheel i to the next; spans[N-1] runs back to the cog.
type Loop struct {
	N      int  // 2 or 4, an idler not counted
	Idled  bool // the top run lies on an idler
	Wheels [NumParts]geom.Wheel
	Spans  [NumParts]geom.Span
	Wraps  [NumParts]float64 // rad
	Line   [NumParts]float64 // y of each wheel's middle plane, mm
	teeth  [NumParts]float64
	pitch  float64
}

// Top, Bottom, Cage, Guide and Lead are indices into a loop's spans: cog to ring (or to an
// idler), ring to tension pulley (or cog), from pulley to pulley, guide pulley to cog, and
// idler to ring.
const (
	Top    = 0
	Bottom = 1
	Cage   = 2
	Guide  = 3
	Lead   = 4
)

// ErrOverlap reports two wheels too close for the chain to pass between.
var ErrOverlap = errors.New("sim: wheels overlap")

// next returns the wheel after i.
func (l *Loop) next(i int) int {
	if i == Lead {
		return int(AtRing)
	}
	if i == Top && l.Idled {
		return int(AtIdler)
	}
	if i++; i == l.N {
		return 0
	}
	return i
}

// prev returns the wheel before i.
func (l *Loop) prev(i int) int {
	switch {
	case i == int(AtCog):
		return l.N - 1
	case i == int(AtIdler):
		return int(AtCog)
	case i == int(AtRing) && l.Idled:
		return int(AtIdler)
	}
	return i - 1
}

// side returns Δy of a span in the direction of riding, mm.
func (l *Loop) side(i int) float64 { return l.Line[l.next(i)] - l.Line[i] }

// span computes span i; the error names the two parts.
func (l *Loop) span(i int) error {
	j := l.next(i)
	if err := l.Spans[i].Between(&l.Wheels[i], &l.Wheels[j]); err != nil {
		return fmt.Errorf("%w: %s and %s: %w", ErrOverlap, Part(i).Name(), Part(j).Name(), err)
	}
	return nil
}

// wrap computes the wrap of wheel i from the spans on both sides.
func (l *Loop) wrap(i int) {
	l.Wraps[i] = geom.Wrap(l.Wheels[i].Sense, l.Spans[l.prev(i)].Dir, l.Spans[i].Dir)
}

// part returns the chain length of span i and wheel i in pitches:
// √(L² + Δy²)/p + N·wrap/2π (the pitch polygon, not the circle's arc).
func (l *Loop) part(i int) float64 {
	return l.SpanPitches(i) + l.Seat(Part(i))
}

// Pitch returns the chain pitch, mm.
func (l *Loop) Pitch() float64 { return l.pitch }

// length returns the loop's length in pitches.
func (l *Loop) length() float64 {
	sum := 0.0
	for i := range l.N {
		sum += l.part(i)
	}
	if l.Idled {
		sum += l.part(int(AtIdler))
	}
	return sum
}

// close computes the spans and wraps of a loop whose top run is drawn.
func (l *Loop) close() error {
	for i := int(AtRing); i < l.N; i++ {
		if err := l.span(i); err != nil {
			return err
		}
	}
	for i := range l.N {
		l.wrap(i)
	}
	return nil
}

// set puts wheel i into the loop.
func (l *Loop) set(i Part, s Sprocket, at r2.Vec, line float64) {
	sense := geom.Clockwise
	if i == AtGuide {
		sense = geom.Anticlockwise
	}
	l.Wheels[i] = geom.Wheel{Centre: at, Radius: s.PitchRadius(l.pitch), Sense: sense}
	l.Line[i], l.teeth[i] = line, float64(s.Teeth)
}

// cageAngle returns the direction from guide to tension pulley, forward of
// straight down, rad; 0 without a tensioner.
func (l *Loop) cageAngle() float64 {
	if l.N < 4 {
		return 0
	}
	g, t := l.Wheels[AtGuide].Centre, l.Wheels[AtTension].Centre
	return math.Atan2(t.X-g.X, g.Y-t.Y)
}

// Fit reports whether the chain closes round a gear and, if not, by how much it is short or long.
type Fit struct {
	Closes bool
	Short  int     // links missing, even unless a half link is declared, when too short
	Slack  float64 // mm of chain left over with the cage fully folded, or the axle fully back
	Slot   bool    // whether the axle in its slot takes up the chain, not a cage

	Missing float64 // mm of chain that is missing, when too short
	// Excess is how much longer the chain is than what cage or slot take up at most, mm:
	// Slack, or less than 0 what they could take up more.
	Excess float64
}

// From where on a chain counts as too long, and over which width that sets in, mm of chain
// left over with the cage at its folded stop, or with the axle at the end of its slot:
// joints, bearings and the stop give a little, and a run that sags by a finger's breadth is
// usual (assumptions).
const (
	looseCage, looseCageSoft = 10.0, 3.0
	looseSlot, looseSlotSoft = 5.0, 1.0
)

// TooLong returns how surely the chain is too long for the gear, by degrees, 0 to 1.
func (f Fit) TooLong() float64 {
	from, soft := looseCage, looseCageSoft
	if f.Slot {
		from, soft = looseSlot, looseSlotSoft
	}
	if !f.Mounts() || f.Excess < from-12*soft {
		return 0
	}
	return logistic((f.Excess - from) / soft)
}

// beyond returns how much longer the chain is than it may be, mm.
func (f *Fit) beyond() float64 {
	if f.Slot {
		return f.Excess - looseSlot
	}
	return f.Excess - looseCage
}

// Hangs reports whether the chain hangs by more than what is usual.
func (f Fit) Hangs() bool { return f.TooLong() > 0.5 }

// Mounts reports whether the chain goes round the gear at all; what is too short has no
// bends, losses and verdicts but that. A loop that hangs slack does have them.
func (f Fit) Mounts() bool { return f.Short == 0 }

// Close computes the loop of a ring and cog, given by index, for a chain of so
// many links. When no cage angle (without a tensioner: no axle place in the
// slot) holds the chain, the loop is drawn at the stop and the fit says by how
// much. It allocates nothing except for an error, which wraps ErrOverlap.
func (b *Bike) Close(l *Loop, ring, cog, links int) (Fit, error) {
	return b.closeNear(l, ring, cog, links, &near{})
}

// closeNear is Close for gears in a row: it starts from the gear before and keeps
// the angle for the next.
func (b *Bike) closeNear(l *Loop, ring, cog, links int, from *near) (Fit, error) {
	if b.Tensioner == nil {
		return b.closeSlot(l, ring, cog, links)
	}
	if err := b.lay(l, ring, cog); err != nil {
		return Fit{}, err
	}
	t := b.Tensioner
	c := cageRoot{loop: l, cage: t.Cage, fixed: l.topPitches()}
	if from.known > 0 {
		angle, ok, err := c.follow(from.guess(l.Wheels[AtCog].Radius), t.Folded, t.Stretched, float64(links))
		if ok {
			from.keep(angle, l.Wheels[AtCog].Radius, true)
			return Fit{Closes: true, Excess: c.excess(angle - t.Folded)}, nil
		}
		if err != nil {
			return Fit{}, err
		}
	}
	fit, err := c.find(t.Folded, t.Stretched, float64(links), b.Chain.HalfLink)
	from.keep(l.cageAngle(), l.Wheels[AtCog].Radius, fit.Closes && err == nil)
	return fit, err
}

// lay puts cog, ring and guide pulley in their places and draws the spans that
// do not move with the cage: top and guide.
func (b *Bike) lay(l *Loop, ring, cog int) error {
	t, c, r := b.Tensioner, &b.Cogs[cog], &b.Rings[ring]
	l.N, l.pitch = 4, b.Chain.Pitch
	x, z := b.Frame.Axle()
	l.set(AtCog, c.Sprocket, r2.Vec{X: x, Y: z}, c.Line)
	l.set(AtRing, r.Sprocket, r2.Vec{}, r.Line)
	reach := b.guideReach(cog)
	s, k := math.Sincos(t.Direction)
	guide := r2.Vec{X: x + reach*s, Y: z - reach*k}
	line := c.Line + t.IndexError + b.hangerOff(guide.X, guide.Y)
	l.set(AtGuide, t.Guide, guide, line)
	l.set(AtTension, t.Tension, guide, line) // until the cage is set
	if err := b.putIdler(l); err != nil {
		return err
	}
	if err := l.span(Guide); err != nil {
		return err
	}
	l.wrap(int(AtCog))
	return nil
}

// guideReach returns how far the guide pulley's centre is from the axle in a gear, mm.
func (b *Bike) guideReach(cog int) float64 {
	return b.Cogs[cog].TipRadius(b.Chain.Pitch) + b.Tensioner.Guide.TipRadius(b.Chain.Pitch) + b.guideGap(cog)
}

// guideGap returns the gap between cog and guide pulley tips: the given ones at
// the smallest and largest cog, in between by tip radius, mm.
func (b *Bike) guideGap(cog int) float64 {
	g, n := b.Tensioner.Gap, len(b.Cogs)
	lo, hi := b.Cogs[0].TipRadius(b.Chain.Pitch), b.Cogs[n-1].TipRadius(b.Chain.Pitch)
	if hi <= lo {
		return g[0]
	}
	return g[0] + (g[1]-g[0])*(b.Cogs[cog].TipRadius(b.Chain.Pitch)-lo)/(hi-lo)
}

// SpanPitches returns the length of span i in space, √(L² + Δy²), in pitches.
func (l *Loop) SpanPitches(i int) float64 {
	dy, s := l.side(i), l.Spans[i].Length
	return math.Sqrt(s*s+dy*dy) / l.pitch
}

// Seat returns the chain that lies on a wheel, N·wrap/2π, in pitches.
func (l *Loop) Seat(p Part) float64 { return l.teeth[p] * l.Wraps[p] * (1 / (2 * math.Pi)) }
