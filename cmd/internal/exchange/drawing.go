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
	Placed  []Placed
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
	axle := axleOf(&r.Gears[gears[0]])
	ax, az := axle.X, axle.Z
	line := func(name string, a, b r3.Vec) {
		d.Layers = append(d.Layers, Layer{Name: name, Lines: []Line{{Points: []r3.Vec{a, b}}}})
	}
	front := 110.0
	line("middle_plane", r3.Vec{X: ax - 110, Z: 0}, r3.Vec{X: front})
	line("front_line", r3.Vec{X: ax - 110, Y: r.Front}, r3.Vec{X: front, Y: r.Front})
	line("rear_line", r3.Vec{X: ax - 110, Y: r.Rear, Z: az}, r3.Vec{X: front, Y: r.Rear, Z: az})
	pitch, tips, wheels := Layer{Name: "pitch_circles"}, Layer{Name: "tip_circles"}, Layer{Name: "wheels"}
	circles := func(s sim.Sprocket, at r3.Vec) {
		pitch.Circles = append(pitch.Circles, Circle{at, s.PitchRadius(p)})
		tips.Circles = append(tips.Circles, Circle{at, s.TipRadius(p)})
	}
	var chains []Layer
	var fixed []Standing // of every gear the same, turned as the first gear that a wheel drives in has it
	for n, i := range gears {
		g := &r.Gears[i]
		name := func(what string) string { return fmt.Sprintf("%s_%d_%d", what, g.RingTeeth, g.CogTeeth) }
		sc := SceneOf(b, g, r.Links)
		for k, w := range sc.Wheels {
			if w.Part == sim.AtGuide || w.Part == sim.AtTension {
				chains = append(chains, Layer{Name: name(w.Part.String()), Circles: []Circle{{w.At, w.PitchRadius(p)}}, Solids: []Solid{w.solid(w.At, w.Turned)}})
			} else if n == 0 {
				fixed = append(fixed, w)
			} else if w.Drives && !fixed[k].Drives {
				fixed[k] = w
			}
		}
		path := loop(&g.Loop)
		chains = append(chains,
			Layer{Name: name("chain"), Lines: []Line{{path, true}}, Placed: sc.links()},
			envelope(name("chain_envelope"), path, b.Chain.Width/2, b.Chain.PlateHalfHeight))
		if sc.Cage != nil {
			chains = append(chains, Layer{Name: name("derailleur_cage"), Solids: []Solid{*sc.Cage}})
		}
	}
	for _, w := range fixed {
		circles(w.Sprocket, w.At)
		wheels.Solids = append(wheels.Solids, w.solid(w.At, w.Turned))
	}
	d.Layers = append(d.Layers, pitch, tips, wheels)
	d.Layers = append(d.Layers, chains...)
	if t := b.Tyre; t != nil {
		at := r3.Vec{X: ax, Y: t.Dish, Z: az}
		outer := t.OutsideDiameter() / 2
		d.Layers = append(d.Layers, Layer{Name: "tyre", Circles: []Circle{{at, outer}, {at, outer - t.Width}}, Solids: []Solid{*tyreOf(b, axle)}})
	}
	if s := b.Stay; s != nil {
		a, e := stayFace(b)
		l := Layer{Name: "chainstay_outer_face", Lines: []Line{{Points: []r3.Vec{a, e}}}}
		if t := stayOf(b); t != nil {
			l.Solids = []Solid{*t}
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

const round = 96 // corners of a tyre in solids

// cylinder has its axis across the bicycle.
func cylinder(at r3.Vec, radius, long float64, sides int) Solid {
	var outline [][2]float64
	for i := range sides {
		si, c := math.Sincos(2 * math.Pi * float64(i) / float64(sides))
		outline = append(outline, [2]float64{at.X + radius*c, at.Z + radius*si})
	}
	return prism(outline, at.Y, long)
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
