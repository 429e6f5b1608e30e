package exchange

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/sim"
)

// Steps are the parts of a pitch in which a run is told: the chord of a part lies within 0.005 mm of
// the smallest wheel's arc.
const Steps = 16

// Run is where the pins of a gear's chain lie, seated on the wheels and straight between them. Link k
// is between pins k and k+1, an outer one where k is even.
type Run struct {
	Links  int
	Points []r3.Vec // Steps a pitch, in riding order; pin k is Points[Steps·k]
	// Turned is by how much each wheel of the loop is turned for its gaps to lie on the pins, rad
	// from x towards z; the first of two kinds of teeth stands in an outer link.
	Turned [sim.NumParts]float64
	// Seats are where the chain meets each wheel when riding and where it leaves it, pitches from pin 0.
	Seats [sim.NumParts][2]float64
}

// piece is a part of the path, from a place along the chain on, pitches.
type piece struct {
	from, long float64
	at         func(t float64) r3.Vec // t from 0 to 1
}

// RunOf lays the pins of a gear's chain with so many links. Where ring and first tooth stand still, a
// pin's place does not depend on the gear. What the chain is longer than the path hangs in the run
// that leaves the ring; where it is shorter, that run's links are drawn apart.
func RunOf(g *sim.Gear, teeth func(p sim.Part) int, links int) Run {
	l := &g.Loop
	path := l.Path()
	first := slices.Index(path, sim.AtRing)
	order := append(slices.Clone(path[first:]), path[:first]...)
	begin := func(p sim.Part) float64 { // the angle at which the chain meets a wheel
		w, in := l.Wheels[p], l.Spans[l.Into(p)].To
		return math.Atan2(in.Y-w.Centre.Y, in.X-w.Centre.X)
	}
	var pieces []piece
	starts := map[sim.Part]float64{}
	at := 0.0
	for i, p := range order {
		w, from, wrap, line := l.Wheels[p], begin(p), l.Wraps[p], l.Line[p]
		starts[p] = at
		pieces = append(pieces, piece{at, l.Seat(p), func(t float64) r3.Vec {
			s, c := math.Sincos(from + float64(w.Sense)*wrap*t)
			return r3.Vec{X: w.Centre.X + w.Radius*c, Y: line, Z: w.Centre.Y + w.Radius*s}
		}})
		at += l.Seat(p)
		next := order[(i+1)%len(order)]
		long, sp := l.SpanPitches(l.Into(next)), l.Spans[l.Into(next)]
		leaves, meets := r3.Vec{X: sp.From.X, Y: line, Z: sp.From.Y}, r3.Vec{X: sp.To.X, Y: l.Line[next], Z: sp.To.Y}
		place := func(t float64) r3.Vec { return r3.Add(leaves, r3.Scale(t, r3.Sub(meets, leaves))) }
		if i == 0 {
			spare := float64(links) - length(l, path)
			long += spare
			if spare > 1e-6 {
				place = hanging(leaves, meets, long*l.Pitch()).along
			}
		}
		pieces = append(pieces, piece{at, long, place})
		at += long
	}
	// The middle of link 0 lies on the ring's tooth nearest the middle of its seat that is of the
	// first kind: there the ring is not turned.
	ring, n := l.Wheels[sim.AtRing], float64(teeth(sim.AtRing))
	step := 2 * math.Pi / n
	if teeth(sim.AtRing)%2 == 0 {
		step *= 2
	}
	still := step*math.Round((begin(sim.AtRing)+float64(ring.Sense)*l.Wraps[sim.AtRing]/2)/step) - begin(sim.AtRing)
	origin := math.Remainder(still, 2*math.Pi) * float64(ring.Sense)
	if origin < 0 {
		origin += 2 * math.Pi
	}
	zero := origin*n/(2*math.Pi) - 0.5 // where pin 0 lies, from where the chain meets the ring
	r := Run{Links: links}
	for k := range links * Steps {
		r.Points = append(r.Points, along(pieces, math.Mod(zero+float64(k)/Steps+float64(links), float64(links))))
	}
	for _, p := range order {
		w := l.Wheels[p]
		middle := starts[p] + l.Seat(p)/2 - zero // of its seat, from pin 0
		k := 2*math.Round((middle-0.5)/2) + 0.5
		r.Seats[p] = [2]float64{starts[p] - zero, starts[p] + l.Seat(p) - zero}
		r.Turned[p] = begin(p) + float64(w.Sense)*(k+zero-starts[p])*2*math.Pi/float64(teeth(p))
	}
	return r
}

// length is a path's, pitches.
func length(l *sim.Loop, path []sim.Part) (sum float64) {
	for _, p := range path {
		sum += l.Seat(p) + l.SpanPitches(l.Into(p))
	}
	return sum
}

func along(pieces []piece, s float64) r3.Vec {
	last := pieces[len(pieces)-1]
	for _, p := range pieces {
		if s < p.from+p.long {
			last = p
			break
		}
	}
	return last.at(math.Min(1, (s-last.from)/last.long))
}

// Link returns where link k lies.
func (r *Run) Link(k int) Frame {
	n := len(r.Points)
	return between(r.Points[k*Steps%n], r.Points[(k+1)*Steps%n])
}

// between is a link's frame by its two pins: x from the one to the other, z in the wheels' plane.
func between(a, b r3.Vec) Frame {
	x := r3.Unit(r3.Sub(b, a))
	z := r3.Unit(r3.Vec{X: -x.Z, Z: x.X})
	return Frame{r3.Scale(0.5, r3.Add(a, b)), x, r3.Cross(z, x), z}
}
