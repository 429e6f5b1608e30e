package exchange

import "gonum.org/v1/gonum/spatial/r3"

// Frame is where a solid stands: its origin and its axes, which are unit vectors at right angles.
type Frame struct{ At, X, Y, Z r3.Vec }

// Of returns a point of the solid where it stands.
func (f Frame) Of(p r3.Vec) r3.Vec {
	return r3.Add(f.At, r3.Add(r3.Scale(p.X, f.X), r3.Add(r3.Scale(p.Y, f.Y), r3.Scale(p.Z, f.Z))))
}

// Placed is a solid that stands in many places.
type Placed struct {
	Name  string
	Solid Solid
	At    []Frame
}
