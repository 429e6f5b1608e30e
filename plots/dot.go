package plots

import (
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// disc is a filled dot as a polygon, which every canvas draws alike.
type disc struct{}

// DrawGlyph draws the dot.
func (disc) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, p vg.Point) {
	c.SetColor(s.Color)
	c.Fill(circlePath(p, s.Radius))
}

func circlePath(p vg.Point, r vg.Length) (path vg.Path) {
	const n = 24
	for i := range n {
		a := 2 * math.Pi * float64(i) / n
		q := vg.Point{X: p.X + r*vg.Length(math.Cos(a)), Y: p.Y + r*vg.Length(math.Sin(a))}
		if i == 0 {
			path.Move(q)
		} else {
			path.Line(q)
		}
	}
	path.Close()
	return path
}
