package exchange

import (
	"math"

	"gonum.org/v1/gonum/spatial/r3"

	"chainpath/sim"
)

// waist is how high a plate is drawn in its middle, of its height over the pins.
const waist = 0.74

// Links returns an inner and an outer link about their middles, x along the chain, y along the pins:
// plates of the chain's widths and height, which fill what is between those of the other kind and the
// rivets' ends, with rollers, or with pins over all.
func Links(c sim.Chain) (inner, outer Solid) {
	p := c.Pitch / 2
	for _, side := range [2]float64{-1, 1} {
		inner.add(plate(c, side*(c.InnerWidth+c.OuterWidth)/4, (c.OuterWidth-c.InnerWidth)/2))
		out := c.Width/2 - c.Proud
		outer.add(plate(c, side*(out+c.OuterWidth/2)/2, out-c.OuterWidth/2))
		inner.add(cylinder(r3.Vec{X: side * p}, Roller(c.Pitch)/2, c.InnerWidth, 16))
		outer.add(cylinder(r3.Vec{X: side * p}, c.Pin/2, c.Width, 10))
	}
	return inner, outer
}

// plate is one link plate in the plane y.
func plate(c sim.Chain, y, thick float64) (s Solid) {
	const arc = 8 // steps round an end
	var outline [][2]float64
	for _, end := range [2]float64{1, -1} {
		for i := range arc + 1 {
			sin, cos := math.Sincos(math.Pi * (float64(i)/arc - 0.5))
			outline = append(outline, [2]float64{end * (c.Pitch/2 + c.PlateHalfHeight*cos), end * c.PlateHalfHeight * sin})
		}
		outline = append(outline, [2]float64{0, end * waist * c.PlateHalfHeight})
	}
	return prism(outline, y, thick)
}

// prism is a plate of an outline seen from the drive side, x and z, that its middle overlooks.
func prism(outline [][2]float64, y, thick float64) (s Solid) {
	n := len(outline)
	middle := r3.Vec{}
	for _, side := range [2]float64{-1, 1} {
		for _, p := range outline {
			v := r3.Vec{X: p[0], Y: y + side*thick/2, Z: p[1]}
			s.Points = append(s.Points, v)
			middle = r3.Add(middle, r3.Scale(0.5/float64(n), v))
		}
	}
	for _, side := range [2]float64{-1, 1} {
		s.Points = append(s.Points, r3.Vec{X: middle.X, Y: y + side*thick/2, Z: middle.Z})
	}
	for i := range n {
		j := (i + 1) % n
		s.quad(i, n+i, n+j, j)
		s.Triangles = append(s.Triangles, [3]int{2 * n, i, j}, [3]int{2*n + 1, n + j, n + i})
	}
	return s
}

// add puts another solid into this one.
func (s *Solid) add(o Solid) {
	n := len(s.Points)
	s.Points = append(s.Points, o.Points...)
	for _, t := range o.Triangles {
		s.Triangles = append(s.Triangles, [3]int{n + t[0], n + t[1], n + t[2]})
	}
}
