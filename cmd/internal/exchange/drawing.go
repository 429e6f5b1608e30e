// Package exchange writes a bicycle's chain path as true-scale geometry for other
// programs: DXF, SVG, glTF, CSV. It writes small subsets of those formats by hand.
// Lengths are mm (glTF: metres, as its standard wants), x forward, y to the drive
// side, z up, from the bottom bracket's centre on the frame's middle plane.
package exchange

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/sim"
)

// Layer is what belongs together, under a trade name.
type Layer struct {
	Name    string // letters, digits and _
	Lines   []Line
	Circles []Circle
	Solids  []Solid
}

// Line is a polyline.
type Line struct {
	Points []r3.Vec
	Closed bool
}

// Circle lies in a plane parallel to the frame's middle plane.
type Circle struct {
	Centre r3.Vec
	Radius float64
}

// Solid is a mesh of triangles, outside seen anticlockwise.
type Solid struct {
	Points    []r3.Vec
	Triangles [][3]int
}

// Drawing is a bicycle's geometry in layers.
type Drawing struct {
	Title  string
	Layers []Layer
}

// Draw returns the geometry of a bike with the given gears (indices into the
// result).
func Draw(title string, b *sim.Bike, r *sim.Result, gears []int) Drawing {
	d := Drawing{Title: title}
	p := b.Chain.Pitch
	ax, az := b.Frame.Axle()
	line := func(name string, a, b r3.Vec) {
		d.Layers = append(d.Layers, Layer{Name: name, Lines: []Line{{Points: []r3.Vec{a, b}}}})
	}
	front := 110.0
	line("middle_plane", r3.Vec{X: ax - 110, Z: 0}, r3.Vec{X: front})
	line("front_line", r3.Vec{X: ax - 110, Y: r.Front}, r3.Vec{X: front, Y: r.Front})
	line("rear_line", r3.Vec{X: ax - 110, Y: r.Rear, Z: az}, r3.Vec{X: front, Y: r.Rear, Z: az})
	pitch, tips, teeth := Layer{Name: "pitch_circles"}, Layer{Name: "tip_circles"}, Layer{Name: "wheels"}
	wheel := func(s sim.Sprocket, at r3.Vec) {
		pitch.Circles = append(pitch.Circles, Circle{at, s.PitchRadius(p)})
		tips.Circles = append(tips.Circles, Circle{at, s.TipRadius(p)})
		teeth.Solids = append(teeth.Solids, disc(at, s.TipRadius(p), s.Thickness()))
	}
	for _, w := range b.Rings {
		wheel(w.Sprocket, r3.Vec{Y: w.Line})
	}
	for _, w := range b.Cogs {
		wheel(w.Sprocket, r3.Vec{X: ax, Y: w.Line, Z: az})
	}
	if w := b.Idler; w != nil {
		wheel(w.Sprocket, r3.Vec{X: w.X, Y: w.Line, Z: w.Z})
	}
	var chains []Layer
	for _, i := range gears {
		g := &r.Gears[i]
		if k := b.Tensioner; k != nil {
			for part, s := range map[sim.Part]sim.Sprocket{sim.AtGuide: k.Guide, sim.AtTension: k.Tension} {
				w := g.Loop.Wheels[part]
				at := r3.Vec{X: w.Centre.X, Y: g.Loop.Line[part], Z: w.Centre.Y}
				pulleys := Layer{Name: fmt.Sprintf("%s_%d_%d", part, g.RingTeeth, g.CogTeeth), Circles: []Circle{{at, s.PitchRadius(p)}}, Solids: []Solid{disc(at, s.TipRadius(p), s.Thickness())}}
				chains = append(chains, pulleys)
			}
			// A map's order is not ours: guide before tension.
			if n := len(chains); chains[n-2].Name > chains[n-1].Name {
				chains[n-2], chains[n-1] = chains[n-1], chains[n-2]
			}
		}
		path := loop(&g.Loop)
		chains = append(chains,
			Layer{Name: fmt.Sprintf("chain_%d_%d", g.RingTeeth, g.CogTeeth), Lines: []Line{{path, true}}},
			envelope(fmt.Sprintf("chain_envelope_%d_%d", g.RingTeeth, g.CogTeeth), path, b.Chain.Width/2, b.Chain.PlateHalfHeight))
	}
	d.Layers = append(d.Layers, pitch, tips, teeth)
	d.Layers = append(d.Layers, chains...)
	if t := b.Tyre; t != nil {
		at := r3.Vec{X: ax, Y: t.Dish, Z: az}
		outer := t.OutsideDiameter() / 2
		d.Layers = append(d.Layers, Layer{Name: "tyre", Circles: []Circle{{at, outer}, {at, outer - t.Width}}, Solids: []Solid{torus(at, outer-t.Width/2, t.Width/2)}})
	}
	if s := b.Stay; s != nil {
		face := func(back float64) float64 { return s.Face + (back-s.Radius)*math.Tan(s.Angle) }
		a, e := r3.Vec{Y: face(0)}, r3.Vec{X: ax, Y: face(-ax), Z: az}
		l := Layer{Name: "chainstay_outer_face", Lines: []Line{{Points: []r3.Vec{a, e}}}}
		if s.Diameter > 0 {
			in := r3.Vec{Y: -s.Diameter / 2}
			l.Solids = []Solid{tube(r3.Add(a, in), r3.Add(e, in), s.Diameter/2)}
		}
		d.Layers = append(d.Layers, l)
	}
	return d
}

// arcStep is the longest step of an arc, mm; its chord lies within 0.02 mm of a
// pulley's arc.
const arcStep = 2.0

// loop returns the chain's path as points in riding order.
func loop(l *sim.Loop) (out []r3.Vec) {
	for _, i := range l.Path() {
		w, in := l.Wheels[i], l.Spans[l.Into(i)].To
		start := math.Atan2(in.Y-w.Centre.Y, in.X-w.Centre.X)
		n := max(4, int(math.Ceil(l.Wraps[i]*w.Radius/arcStep)))
		for k := 0; k <= n; k++ {
			s, c := math.Sincos(start + float64(w.Sense)*l.Wraps[i]*float64(k)/float64(n))
			out = append(out, r3.Vec{X: w.Centre.X + w.Radius*c, Y: l.Line[i], Z: w.Centre.Y + w.Radius*s})
		}
	}
	return out
}

// envelope returns the chain's overall width and the plates' height along a closed
// path: its four edges, and as a solid.
func envelope(name string, path []r3.Vec, half, height float64) Layer {
	n := len(path)
	corner := [4][]r3.Vec{}
	for i, p := range path {
		a, b := path[(i+n-1)%n], path[(i+1)%n]
		dir := math.Hypot(b.X-a.X, b.Z-a.Z)
		up := r3.Vec{X: -(b.Z - a.Z) / dir, Z: (b.X - a.X) / dir}
		for k, s := range [4][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			corner[k] = append(corner[k], r3.Add(p, r3.Add(r3.Vec{Y: s[0] * half}, r3.Scale(s[1]*height, up))))
		}
	}
	l := Layer{Name: name}
	var s Solid
	for k := range corner {
		l.Lines = append(l.Lines, Line{corner[k], true})
		s.Points = append(s.Points, corner[k]...)
	}
	for k := range 4 {
		for i := range n {
			j, m := (i+1)%n, (k+1)%4
			s.quad(k*n+i, m*n+i, m*n+j, k*n+j)
		}
	}
	l.Solids = []Solid{s}
	return l
}

// quad adds two triangles.
func (s *Solid) quad(a, b, c, d int) {
	s.Triangles = append(s.Triangles, [3]int{a, b, c}, [3]int{a, c, d})
}

const round = 96 // corners of a circle in solids

// disc is a flat cylinder about an axis across the bicycle.
func disc(at r3.Vec, radius, thick float64) (s Solid) {
	for _, y := range [2]float64{-thick / 2, thick / 2} {
		for i := range round {
			si, c := math.Sincos(2 * math.Pi * float64(i) / round)
			s.Points = append(s.Points, r3.Add(at, r3.Vec{X: radius * c, Y: y, Z: radius * si}))
		}
	}
	s.Points = append(s.Points, r3.Add(at, r3.Vec{Y: -thick / 2}), r3.Add(at, r3.Vec{Y: thick / 2}))
	for i := range round {
		j := (i + 1) % round
		s.quad(i, round+i, round+j, j)
		s.Triangles = append(s.Triangles, [3]int{2 * round, i, j}, [3]int{2*round + 1, round + j, round + i})
	}
	return s
}

// torus is a ring about an axis across the bicycle.
func torus(at r3.Vec, major, minor float64) (s Solid) {
	const around = 32
	for i := range round {
		sa, ca := math.Sincos(2 * math.Pi * float64(i) / round)
		for k := range around {
			sb, cb := math.Sincos(2 * math.Pi * float64(k) / around)
			r := major + minor*cb
			s.Points = append(s.Points, r3.Add(at, r3.Vec{X: r * ca, Y: minor * sb, Z: r * sa}))
		}
	}
	for i := range round {
		for k := range around {
			j, m := (i+1)%round, (k+1)%around
			s.quad(i*around+k, i*around+m, j*around+m, j*around+k)
		}
	}
	return s
}

// tube is a cylinder from a to b.
func tube(a, b r3.Vec, radius float64) (s Solid) {
	dir := r3.Unit(r3.Sub(b, a))
	u := r3.Unit(r3.Cross(dir, r3.Vec{Z: 1}))
	v := r3.Cross(dir, u)
	const around = 32
	for _, p := range [2]r3.Vec{a, b} {
		for k := range around {
			sb, cb := math.Sincos(2 * math.Pi * float64(k) / around)
			s.Points = append(s.Points, r3.Add(p, r3.Add(r3.Scale(radius*cb, u), r3.Scale(radius*sb, v))))
		}
	}
	for k := range around {
		m := (k + 1) % around
		s.quad(k, m, around+m, around+k)
	}
	return s
}
