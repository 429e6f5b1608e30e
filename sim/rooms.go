package sim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/sim/elementary"
)

// Dropout is the part of the frame outboard of the smallest cog, square to the axle: the dropout's
// inside face, or what is proud of it.
type Dropout struct {
	Face float64 // y of it, mm
}

// Rotor is a brake's disc on the drive side, inboard of the cogs.
type Rotor struct {
	Line   float64 // y of its outboard face, mm
	Radius float64 // mm
}

// How far parts move against each other under load beyond their gap at rest: the size of a
// normal deviate of so many mm. Ring and stay: bottom bracket, crank and frame bend. Cogs and
// dropout, or what turns with the wheel beside them: play of freehub and axle. Assumptions.
const (
	flexStay    = 1.0
	flexDropout = 0.4
	flexWheel   = 0.4
)

// mostFlex is beyond how many times its size flex is not looked for: chances below 1.3e-15.
const mostFlex = 8

// touches returns the chance that parts touch whose gap at rest load takes |N(0, flex)| off:
// P(|N(0, flex)| > gap), and by how much they overlap at rest.
func touches(gap, flex float64) (chance, overlap float64) {
	if gap > mostFlex*flex {
		return 0, -gap
	}
	return elementary.Erfc(max(gap, 0) / (math.Sqrt2 * flex)), -gap
}

// RingFace returns the y of the largest ring's inner face, from which the gap to the
// chainstay is measured, mm.
func (b *Bike) RingFace() float64 {
	r := &b.Rings[len(b.Rings)-1]
	return r.Line - r.Thickness()/2
}

// CogFace returns the y of the smallest cog's outer face, from which the gap to the dropout
// is measured, mm.
func (b *Bike) CogFace() float64 { return b.Cogs[0].Line + b.Cogs[0].Thickness()/2 }

// stayRoom returns the least gap at rest of chain and ring to the chainstay, without what is
// asked for under load, ring being RingStayGap; runs that surely stay farther off than the rest are passed over.
func (b *Bike) stayRoom(l *Loop, ring Gap) Gap {
	g := ring
	if g.Valid && b.Stay.Diameter > 0 {
		axle := l.Wheels[AtCog].Centre
		for _, span := range [...]int{Top, Bottom, Lead} {
			if span == Lead && !l.Idled || b.besideStay(l, span, axle) >= g.MM {
				continue
			}
			if tube := b.Stay.tube(axle); b.strandStayLeast(l, span, tube) < g.MM {
				g.keepMin(b.strandStay(l, span, tube))
			}
		}
	}
	if g.Valid {
		g.MM += b.Stay.Flex
	}
	return g
}

// besideStay returns what strandStay surely is at least in the side view alone, mm: there the
// tube's line passes the run on one side, and the run's nearer end is nearest; -Inf where it
// crosses that line.
func (b *Bike) besideStay(l *Loop, span int, axle r2.Vec) float64 {
	s := &l.Spans[span]
	from, to := r2.Cross(axle, s.From), r2.Cross(axle, s.To)
	if from*to <= 0 {
		return math.Inf(-1)
	}
	return min(math.Abs(from), math.Abs(to))/r2.Norm(axle) - b.Chain.PlateHalfHeight - b.Stay.Diameter/2 - b.Stay.Flex
}

// dropoutRoom returns the gap at rest of the smallest cog, or of the chain on it in its own
// gears, to the dropout; none where that is not known.
func (b *Bike) dropoutRoom(cog int) (g Gap) {
	if b.Dropout == nil {
		return g
	}
	out := b.CogFace()
	if cog == 0 {
		out = max(out, b.Cogs[0].Line+b.Chain.Width/2)
	}
	return Gap{Valid: true, MM: b.Dropout.Face - out}
}

// wheelRoom returns the gap at rest, along the axle, of the largest cog, or of the chain on it
// in its own gears, to the spokes and the rotor; none where neither is known. The cog counts as
// a full disc. Runs on their way to ring and cage are not looked at: from the largest cog the
// top one goes inboard on the smallest of three rings at most, by less than spokes lean.
func (b *Bike) wheelRoom(cog int) (g Gap) {
	if b.Spokes == nil && b.Rotor == nil {
		return g
	}
	last := len(b.Cogs) - 1
	w := &b.Cogs[last]
	b.besideWheel(&g, w.Line-w.Thickness()/2, 0, w.TipRadius(b.Chain.Pitch))
	if cog == last {
		r := w.PitchRadius(b.Chain.Pitch)
		b.besideWheel(&g, w.Line-b.Chain.Width/2, r-b.Chain.PlateHalfHeight, r+b.Chain.PlateHalfHeight)
	}
	return g
}

// besideWheel takes the gap of a ring square to the axle, whose inner side stands at a y, from
// an inner to an outer radius, into g.
func (b *Bike) besideWheel(g *Gap, face, from, to float64) {
	if s := b.Spokes; s != nil {
		if to < s.Flange { // below the spokes' holes
			g.keepMin(Gap{Valid: true, MM: math.Hypot(max(face-s.FlangeLine, 0), s.Flange-to)})
		} else { // straight spokes: an end of what is beside them is nearest
			g.keepMin(Gap{Valid: true, MM: face - max(s.at(from), s.at(to))})
		}
	}
	if r := b.Rotor; r != nil {
		if from > r.Radius { // beyond its edge
			g.keepMin(Gap{Valid: true, MM: math.Hypot(max(face-r.Line, 0), from-r.Radius)})
		} else {
			g.keepMin(Gap{Valid: true, MM: face - r.Line})
		}
	}
}

// Rooms holds the gaps at rest between what turns and the frame or wheel beside it, mm; not valid
// where nobody measured them.
type Rooms struct{ Stay, Dropout, Wheel Gap }

// Of returns the room that a concern goes by; none where it goes by another thing.
func (r *Rooms) Of(k Concern) Gap {
	switch k {
	case MeetsStay:
		return r.Stay
	case MeetsDropout:
		return r.Dropout
	case MeetsWheel:
		return r.Wheel
	}
	return Gap{}
}

// rooms measures a gear, ring being RingStayGap, the same in all.
func (b *Bike) rooms(l *Loop, cog int, ring Gap) Rooms {
	return Rooms{b.stayRoom(l, ring), b.dropoutRoom(cog), b.wheelRoom(cog)}
}

// touched is a room with its chance: gears share most of them.
type touched struct {
	room   float64
	chance float64
	known  bool
}

// touch fills the chances that ring, cogs and chain touch what stands beside them; less than 0
// where that room is not known. last are those of the gear before.
func (r *Rooms) touch(c *Chances, size *Sizes, last *[3]touched) {
	for i, x := range [...]struct {
		k    Concern
		room *Gap
		flex float64
	}{{MeetsStay, &r.Stay, flexStay}, {MeetsDropout, &r.Dropout, flexDropout}, {MeetsWheel, &r.Wheel, flexWheel}} {
		if c[x.k] = -1; !x.room.Valid {
			continue
		}
		if l := &last[i]; !l.known || l.room != x.room.MM {
			p, _ := touches(x.room.MM, x.flex)
			*l = touched{x.room.MM, p, true}
		}
		c[x.k], size[x.k] = last[i].chance, -x.room.MM
	}
}
