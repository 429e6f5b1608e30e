package sim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/geom"
)

// faceAt returns the y of the stay's outer face a distance behind the bottom
// bracket, mm.
func (s *Stay) faceAt(back float64) float64 { return s.Face + (back-s.Radius)*math.Tan(s.Angle) }

// RingStayGap returns the gap from the largest ring's tips, which were measured,
// or the bolts of the smallest, to the stay. Nearer the bottom bracket a stay is
// bent or dented, so that the straight face says nothing of the smaller rings. Flex is
// allowed for; there is no gap where no stay is given.
func (b *Bike) RingStayGap() Gap {
	var g Gap
	if b.Stay == nil {
		return g
	}
	add := func(inner, radius float64) {
		g.keepMin(Gap{Valid: true, MM: inner - b.Stay.faceAt(radius) - b.Stay.Flex, At: radius})
	}
	r := b.Rings[len(b.Rings)-1]
	add(r.Line-r.Thickness()/2, r.TipRadius(b.Chain.Pitch))
	if b.Bolts.Radius > 0 {
		add(b.Rings[0].Line-b.Rings[0].Thickness()/2-b.Bolts.Depth, b.Bolts.Radius)
	}
	return g
}

// tube returns the axis of the chainstay, a round tube from the bottom bracket's
// height to the axle whose outer face spreads as stated.
func (s *Stay) tube(axle r2.Vec) geom.Segment {
	return geom.Segment{
		A: r3.Vec{Y: s.faceAt(0) - s.Diameter/2},
		B: r3.Vec{X: axle.X, Y: s.faceAt(-axle.X) - s.Diameter/2, Z: axle.Y},
	}
}

// chainStayGap returns the least distance from the chain's top and bottom
// strand to the stay. The strand counts with its four edges and the middles of its
// four faces.
func (b *Bike) chainStayGap(l *Loop) Gap {
	var g Gap
	if b.Stay.Diameter > 0 {
		tube := b.Stay.tube(l.Wheels[AtCog].Centre)
		g.keepMin(b.strandStay(l, Top, tube))
		g.keepMin(b.strandStay(l, Bottom, tube))
		if l.Idled {
			g.keepMin(b.strandStay(l, Lead, tube))
		}
	}
	return g
}

// edgeOf returns a line along a strand, off its middle line.
func (l *Loop) edgeOf(span int, across, up float64) geom.Segment {
	sp := &l.Spans[span]
	ox, oz := -sp.Dir.Y*up, sp.Dir.X*up
	return geom.Segment{
		A: r3.Vec{X: sp.From.X + ox, Y: l.Line[span] + across, Z: sp.From.Y + oz},
		B: r3.Vec{X: sp.To.X + ox, Y: l.Line[l.next(span)] + across, Z: sp.To.Y + oz},
	}
}

// strandStay returns the distance of one strand to the stay.
func (b *Bike) strandStay(l *Loop, span int, tube geom.Segment) (g Gap) {
	for a := -1.0; a <= 1; a++ {
		for c := -1.0; c <= 1; c++ {
			if a == 0 && c == 0 {
				continue
			}
			e := l.edgeOf(span, a*b.Chain.Width/2, c*b.Chain.PlateHalfHeight)
			d, at, _ := geom.SegmentDistance(e, tube)
			g.keepMin(Gap{Valid: true, MM: d - b.Stay.Diameter/2 - b.Stay.Flex, At: -e.At(at).X})
		}
	}
	return g
}

// strandStayLeast returns what strandStay surely is at least, mm. The direction n
// between the nearest points of the two middle lines parts them everywhere; the
// strand reaches no farther along it than its half width and half height seen
// along n.
func (b *Bike) strandStayLeast(l *Loop, span int, tube geom.Segment) float64 {
	middle := l.edgeOf(span, 0, 0)
	d, tp, tq := geom.SegmentDistance(middle, tube)
	if d <= 0 {
		return math.Inf(-1)
	}
	n := r3.Sub(middle.At(tp), tube.At(tq))
	dir := l.Spans[span].Dir
	up := -n.X*dir.Y + n.Z*dir.X
	reach := (math.Abs(n.Y)*b.Chain.Width/2 + math.Abs(up)*b.Chain.PlateHalfHeight) / d
	return d - reach - b.Stay.Diameter/2 - b.Stay.Flex
}
