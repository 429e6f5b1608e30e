package plots

import (
	"fmt"
	"image/color"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Priced is a combination of changes: what it costs, and what it leaves of today's fault score, 0 to 1
// and above.
type Priced struct{ Price, Left float64 }

// Named is a combination that is named in a figure of prices.
type Named struct {
	Priced
	Words string
}

// namedMarks tell the named ones apart, the first by size too.
var namedMarks = []struct {
	glyph  draw.GlyphDrawer
	radius float64
}{{disc{}, 5}, {draw.SquareGlyph{}, 3.5}, {draw.PyramidGlyph{}, 4}, {draw.TriangleGlyph{}, 4}}

// worstDrawn is how much of today's fault score a combination may leave to be drawn.
const worstDrawn = 1.3

// Prices draws what combinations of changes leave of the fault score over what they cost, the least
// that is left for so much money as a line in steps, by the places in all of those that no other beats, the
// cheapest first, and today's. The first of those named stands out.
func Prices(title string, all []Priced, front []int, named []Named) Figure {
	f := Figure{Name: "prices", Title: title, About: "What every combination of changes leaves of today's fault score, in percent, over its price; the least for so much money is joined", Width: 25 * vg.Centimeter, Height: vg.Length(15+0.6*float64(len(named))) * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Tick.Marker, p.Y.Tick.Marker = rounded{}, rounded{}
		p.X.Label.Text, p.Y.Label.Text = "price of the parts", "fault score left, % of today's"
		most, left, drawn := 0.0, 1.0, 0
		for _, x := range all {
			if x.Left <= worstDrawn {
				most, left, drawn = max(most, x.Price), max(left, x.Left), drawn+1
			}
		}
		if most == 0 {
			most = 1
		}
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = -0.02*most, 1.02*most, 0, 100*left+4
		today := line(ink, 1.2, dashed)
		p.Add(shape{[]r2.Vec{{X: p.X.Min, Y: 100}, {X: p.X.Max, Y: 100}}, today, nil})
		for _, x := range all {
			if x.Left <= worstDrawn {
				p.Add(spot{r2.Vec{X: x.Price, Y: 100 * x.Left}, mid, 1.3})
			}
		}
		joined := line(ink, 1.6, nil)
		p.Add(shape{steps(all, front, p.X.Max), joined, nil})
		dots := draw.GlyphStyle{Color: mid, Radius: vg.Points(2), Shape: draw.CircleGlyph{}}
		entries := []entry{{"one combination", nil, &dots}, {"least that is left for so much", &joined, nil}, {"leave it as it is", &today, nil}}
		for i, n := range named {
			g := draw.GlyphStyle{Color: color.Color(ink), Radius: vg.Points(namedMarks[i].radius), Shape: namedMarks[i].glyph}
			p.Add(marked{r2.Vec{X: n.Price, Y: 100 * n.Left}, g})
			entries = append(entries, entry{fmt.Sprintf("%s: %.2f, %.0f %% left", n.Words, n.Price, 100*n.Left), nil, &g})
		}
		second := fmt.Sprintf("%d combinations", drawn)
		if n := len(all) - drawn; n > 0 {
			second += fmt.Sprintf("; %d that leave more than %.0f %% are not drawn", n, 100*worstDrawn)
		}
		p.Draw(header(c, title, second, entries))
	}
	return f
}

// steps joins a front by what is left for so much money, up to a price.
func steps(all []Priced, front []int, to float64) (way []r2.Vec) {
	left := 0.0
	for i, k := range front {
		if i > 0 {
			way = append(way, r2.Vec{X: all[k].Price, Y: left})
		}
		left = 100 * all[k].Left
		way = append(way, r2.Vec{X: all[k].Price, Y: left})
	}
	if len(front) > 0 {
		way = append(way, r2.Vec{X: to, Y: left})
	}
	return way
}

// marked is a glyph at a place.
type marked struct {
	at r2.Vec
	g  draw.GlyphStyle
}

// Plot draws it.
func (m marked) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	c.DrawGlyph(m.g, vg.Point{X: tx(m.at.X), Y: ty(m.at.Y)})
}
