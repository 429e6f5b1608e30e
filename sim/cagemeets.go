package sim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/geom"
)

// Spokes is the drive side of the rear wheel: a cone from the flange to the rim.
type Spokes struct {
	Flange     float64 // radius of the spoke holes' circle, mm
	FlangeLine float64 // y of the spokes' outer side there, mm
	Rim        float64 // radius at the rim, mm
	RimLine    float64 // y there, mm
}

// at returns the y of the spokes' outer side at a radius.
func (s *Spokes) at(radius float64) float64 {
	x := max(0, min((radius-s.Flange)/(s.Rim-s.Flange), 1))
	return s.FlangeLine + x*(s.RimLine-s.FlangeLine)
}

// softCage is the width over which meeting the cage or a pulley sets in, mm: play of the
// cage's pivot and of the wheel (assumption).
const softCage = 1.0

// pulleyGap returns the gap of the tension pulley, with the chain on it and the cage's
// plates beside it, to the nearest ring or cog; none without a tensioner. Those teeth are
// bare where the pulley comes near.
func (b *Bike) pulleyGap(l *Loop) Gap {
	var g Gap
	if b.Tensioner == nil {
		return g
	}
	w := &l.Wheels[AtTension]
	pulley := geom.Disc{Centre: w.Centre, Radius: w.Radius + b.Chain.PlateHalfHeight, At: l.Line[AtTension], Half: b.Tensioner.Width / 2}
	for at, wheels := range [...][]Wheel{AtCog: b.Cogs, AtRing: b.Rings} {
		for i := range wheels {
			x := &wheels[i]
			d := geom.Disc{Centre: l.Wheels[at].Centre, Radius: x.TipRadius(b.Chain.Pitch), At: x.Line, Half: x.Thickness() / 2}
			g.keepMin(Gap{Valid: true, MM: pulley.Gap(d)})
		}
	}
	return g
}

// plateHeight is half the height of a cage's plates as a share of the tension pulley's tip
// radius: they are cut away round the pulleys (assumption).
const plateHeight = 0.6

// roundEnd are boxes that fill a half-round end from within: height and reach as shares of
// its radius.
var roundEnd = [...][2]float64{{1, 0}, {math.Sqrt2 / 2, math.Sqrt2 / 2}, {0.38, 0.92}}

// cageGap returns the gap of the cage to tyre and spokes: of its inner plate, a bar with
// round ends from pulley to pulley, and of the tension pulley with the chain on it. There
// is none where neither tyre nor spokes are known.
func (b *Bike) cageGap(l *Loop) Gap {
	var g Gap
	if b.Tensioner == nil || b.Tyre == nil && b.Spokes == nil {
		return g
	}
	from, to := l.Wheels[AtGuide].Centre, l.Wheels[AtTension].Centre
	along := r2.Sub(to, from)
	length := r2.Norm(along)
	dir := r2.Scale(1/length, along)
	plate := min(l.Line[AtGuide], l.Line[AtTension]) - b.Tensioner.Width/2
	b.barGap(&g, l, from, dir, length, plateHeight*b.Tensioner.Tension.TipRadius(b.Chain.Pitch), plate)
	b.barGap(&g, l, to, dir, 0, l.Wheels[AtTension].Radius+b.Chain.PlateHalfHeight, l.Line[AtTension]-b.Chain.Width/2)
	return g
}

// barGap takes the gap of a bar with round ends, flat at a place across, into g.
func (b *Bike) barGap(g *Gap, l *Loop, from, dir r2.Vec, length, half, at float64) {
	axle := l.Wheels[AtCog].Centre
	if t := b.Tyre; t != nil {
		minor := t.Width / 2
		for _, box := range roundEnd {
			strip := stripBeside(axle, from, dir, length, box[0]*half, at, 0)
			strip.From, strip.To = strip.From-box[1]*half, strip.To+box[1]*half
			d, _ := strip.TorusGap(t.OutsideDiameter()/2-minor, minor, t.Dish)
			g.keepMin(Gap{Valid: true, MM: d})
		}
	}
	if s := b.Spokes; s != nil {
		// The cone leans away towards the rim: the point nearest the axle decides.
		near := max(0, min(-r2.Dot(r2.Sub(from, axle), dir), length))
		radius := r2.Norm(r2.Sub(r2.Add(from, r2.Scale(near, dir)), axle)) - half
		g.keepMin(Gap{Valid: true, MM: at - s.at(radius)})
	}
}

// stripBeside lays a straight piece out as a strip beside the axle: from a point in a
// direction, so long, half of it high to either side, at a place across that changes by
// drift for each mm. Travel is counted away from the axle.
func stripBeside(axle, from, dir r2.Vec, length, half, at, drift float64) geom.Strip {
	rel := r2.Sub(from, axle)
	u := r2.Dot(rel, dir)
	s := geom.Strip{Height: math.Abs(r2.Cross(rel, dir)), Half: half, Start: at - drift*u, Drift: drift, From: u, To: u + length}
	if 2*u+length < 0 { // it runs towards the axle: count away from it
		s.From, s.To, s.Drift = -s.To, -s.From, -drift
	}
	return s
}
