package geom

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Disc is a flat round body with its axis across the side view.
type Disc struct {
	Centre r2.Vec // side view
	Radius float64
	At     float64 // middle along the axis
	Half   float64 // half its thickness
}

// Gap returns the signed distance of two discs with parallel axes. Apart it is exact:
// across and along lie at right angles. Where they overlap both ways it is less than 0,
// by the shorter way out.
func (d Disc) Gap(e Disc) float64 {
	out := r2.Norm(r2.Sub(d.Centre, e.Centre)) - d.Radius - e.Radius
	along := math.Abs(d.At-e.At) - d.Half - e.Half
	if out > 0 && along > 0 {
		return math.Hypot(out, along)
	}
	return max(out, along)
}
