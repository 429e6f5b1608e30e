package exchange

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/sim"
)

// Scene is a gear in space: what export writes as solids, and the page draws.
type Scene struct {
	Axle         r3.Vec     // the rear one, on the frame's middle plane; one in a slot stands where the gear's chain holds it
	Wheels       []Standing // rings, cogs, an idler, the pulleys
	Inner, Outer Solid      // links
	Run          Run
	Cage         *Solid // about the pulleys; nil without a tensioner
	Tyre, Stay   *Solid // nil where nobody measured them
}

// Standing is a wheel where it stands.
type Standing struct {
	sim.Sprocket
	Wheel
	Part   sim.Part
	At     r3.Vec
	Drives bool    // whether the gear's chain lies on it
	Turned float64 // from x towards z, rad
	Rate   float64 // rad that it turns while the chain goes on by a pitch when riding, with what it is fixed to
}

// SceneOf returns a gear in space.
func SceneOf(b *sim.Bike, g *sim.Gear, links int) Scene {
	l, p := &g.Loop, b.Chain.Pitch
	sprockets := map[sim.Part]sim.Sprocket{sim.AtCog: b.Cogs[g.Cog].Sprocket, sim.AtRing: b.Rings[g.Ring].Sprocket}
	if k := b.Tensioner; k != nil {
		sprockets[sim.AtGuide], sprockets[sim.AtTension] = k.Guide, k.Tension
	}
	if b.Idler != nil {
		sprockets[sim.AtIdler] = b.Idler.Sprocket
	}
	s := Scene{Run: RunOf(g, func(p sim.Part) int { return sprockets[p].Teeth }, links), Stay: stayOf(b)}
	s.Inner, s.Outer = Links(b.Chain)
	stand := func(part sim.Part, k sim.Sprocket, at r3.Vec, drives bool) {
		w := Standing{Sprocket: k, Wheel: WheelOf(k, p), Part: part, At: at, Drives: drives}
		w.Rate = float64(l.Wheels[part].Sense) * 2 * math.Pi / float64(sprockets[part].Teeth)
		if drives {
			w.Turned = s.Run.Turned[part]
		}
		s.Wheels = append(s.Wheels, w)
	}
	for i, w := range b.Rings {
		stand(sim.AtRing, w.Sprocket, r3.Vec{Y: w.Line}, i == g.Ring)
	}
	s.Axle = axleOf(g)
	s.Tyre = tyreOf(b, s.Axle)
	for i, w := range b.Cogs {
		stand(sim.AtCog, w.Sprocket, r3.Add(s.Axle, r3.Vec{Y: w.Line}), i == g.Cog)
	}
	if w := b.Idler; w != nil {
		stand(sim.AtIdler, w.Sprocket, r3.Vec{X: w.X, Y: w.Line, Z: w.Z}, true)
	}
	if k := b.Tensioner; k != nil {
		for _, part := range [2]sim.Part{sim.AtGuide, sim.AtTension} {
			c := l.Wheels[part].Centre
			stand(part, sprockets[part], r3.Vec{X: c.X, Y: l.Line[part], Z: c.Y}, true)
		}
		s.Cage = cageOf(k, s.Wheels[len(s.Wheels)-2].At, s.Wheels[len(s.Wheels)-1].At)
	}
	return s
}

// links are the scene's links, each kind where it stands.
func (s *Scene) links() []Placed {
	out := []Placed{{Name: "outer_link", Solid: s.Outer}, {Name: "inner_link", Solid: s.Inner}}
	for k := range s.Run.Links {
		out[k%2].At = append(out[k%2].At, s.Run.Link(k))
	}
	return out
}

// Of a cage's plates only their distance is known; thickness and ends are drawn freely, mm.
const cagePlate, cageEnd = 1.6, 7.0

// cageOf is a derailleur's cage: two plates from pulley to pulley.
func cageOf(t *sim.Tensioner, guide, tension r3.Vec) *Solid {
	var s Solid
	along := r3.Sub(tension, guide)
	turn := math.Atan2(along.Z, along.X)
	for _, side := range [2]float64{-1, 1} {
		var outline [][2]float64
		for k, at := range [2]r3.Vec{tension, guide} {
			for i := range 9 {
				sin, cos := math.Sincos(turn + math.Pi*(float64(i)/8-0.5+float64(k)))
				outline = append(outline, [2]float64{at.X + cageEnd*cos, at.Z + cageEnd*sin})
			}
		}
		s.add(prism(outline, guide.Y+side*(t.Width-cagePlate)/2, cagePlate))
	}
	return &s
}

// axleOf is the rear axle of a gear on the frame's middle plane.
func axleOf(g *sim.Gear) r3.Vec {
	hub := g.Loop.Wheels[sim.AtCog].Centre
	return r3.Vec{X: hub.X, Z: hub.Y}
}

// tyreOf is the rear tyre as a ring of its width; nil without one.
func tyreOf(b *sim.Bike, axle r3.Vec) *Solid {
	if b.Tyre == nil {
		return nil
	}
	s := torus(r3.Add(axle, r3.Vec{Y: b.Tyre.Dish}), (b.Tyre.OutsideDiameter()-b.Tyre.Width)/2, b.Tyre.Width/2)
	return &s
}

// stayFace is the line of the chainstay's outer face, from the bottom bracket to the axle.
func stayFace(b *sim.Bike) (from, to r3.Vec) {
	s := b.Stay
	x, z := b.Frame.Axle()
	face := func(back float64) float64 { return s.Face + (back-s.Radius)*math.Tan(s.Angle) }
	return r3.Vec{Y: face(0)}, r3.Vec{X: x, Y: face(-x), Z: z}
}

// stayOf is the chainstay as a tube; nil where its diameter is not known.
func stayOf(b *sim.Bike) *Solid {
	if b.Stay == nil || b.Stay.Diameter <= 0 {
		return nil
	}
	from, to := stayFace(b)
	in := r3.Vec{Y: -b.Stay.Diameter / 2}
	s := tube(r3.Add(from, in), r3.Add(to, in), b.Stay.Diameter/2)
	return &s
}
