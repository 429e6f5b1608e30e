package plots

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"chainpath/sim"
)

// ringMarks tell the rings apart, smallest first.
var ringMarks = []struct {
	glyph draw.GlyphDrawer
	color color.Color
}{
	{disc{}, ink},
	{draw.SquareGlyph{}, teal},
	{draw.PyramidGlyph{}, ochre},
}

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

// Limit lines.
var (
	quietLine = line(teal, 1.4, dashed)
	climbLine = line(ochre, 2.2, nil)
	shopQuiet = line(mid, 1, dotted)
	shopClimb = line(mid, 1.6, dotdash)
)

// Bends draws the bend at every arrival against the cogs, one panel an arrival,
// riding above, backwards below, with the quiet and climb limit of each arrival
// (of several rings the lowest) and the shop's own limits.
func Bends(in Input) Figure {
	r := in.Result
	arrivals := len(r.Gears[0].Arrivals[sim.Riding])
	f := Figure{Name: "bends", Width: vg.Length(arrivals) * 8.2 * vg.Centimeter, Height: 16.5 * vg.Centimeter}
	if arrivals < 3 {
		f.Width = 19 * vg.Centimeter
	}
	f.draw = func(c draw.Canvas) {
		body := header(c, in.Title, "bend of the chain at each arrival; bends level 1 (geometry), limits level 2 (mechanics on assumptions)", in.bendLegend())
		top := in.topBend()
		plots := make([][]*plot.Plot, 2)
		for d := sim.Riding; d <= sim.Backwards; d++ {
			for k := range arrivals {
				plots[d] = append(plots[d], in.bendPanel(d, k, top))
			}
		}
		tiles := draw.Tiles{Rows: 2, Cols: arrivals, PadX: vg.Points(12), PadY: vg.Points(12)}
		canvases := plot.Align(plots, tiles, body)
		for i := range plots {
			for j, p := range plots[i] {
				p.Draw(canvases[i][j])
			}
		}
	}
	return f
}

func (in Input) bendLegend() (e []entry) {
	add := func(s string, l *draw.LineStyle, g *draw.GlyphStyle) { e = append(e, entry{s, l, g}) }
	for i, ring := range in.Bike.Rings {
		m := ringMarks[i]
		l, g := line(m.color, 1, nil), draw.GlyphStyle{Color: m.color, Radius: vg.Points(3), Shape: m.glyph}
		add(fmt.Sprintf("bend, ring of %d", ring.Teeth), &l, &g)
	}
	add("a tip touches", &quietLine, nil)
	add("may come off, default set", &climbLine, nil)
	if in.Quiet > 0 {
		add("shop's quiet limit", &shopQuiet, nil)
	}
	if in.Climb > 0 {
		add("shop's climb limit", &shopClimb, nil)
	}
	return e
}

// topBend returns the top of the bend axis: past the largest bend and every
// climb limit near it, degrees.
func (in Input) topBend() float64 {
	top := 1.0
	for i := range in.Result.Gears {
		for _, as := range in.Result.Gears[i].Arrivals {
			for _, a := range as {
				top = math.Max(top, sim.Degrees(a.Bend))
				top = math.Max(top, math.Min(6, sim.Degrees(a.Limits.Climb)))
			}
		}
	}
	top = math.Max(top, sim.Degrees(in.Climb))
	return math.Ceil(top*1.06*2) / 2
}

func (in Input) bendPanel(d sim.Direction, k int, top float64) *plot.Plot {
	r, b := in.Result, in.Bike
	p := plot.New()
	dress(p)
	at := r.Gears[0].Arrivals[d][k].At
	p.Title.Text = map[sim.Direction]string{sim.Riding: "riding: ", sim.Backwards: "backwards: "}[d] + arrivalWords(d, at, r.Tensioned)
	p.X.Label.Text = "cog, teeth"
	p.Y.Label.Text = "bend, °"
	n := len(b.Cogs)
	p.X.Min, p.X.Max = -0.6, float64(n)-0.4
	p.Y.Min, p.Y.Max = 0, top
	names := make([]string, n)
	for i, c := range b.Cogs {
		names[i] = fmt.Sprint(c.Teeth)
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = cogTicks(names), every{1}
	grid := plotter.NewGrid()
	grid.Vertical.Color = nil
	grid.Horizontal = line(pale, 0.5, nil)
	p.Add(grid)

	quiet, climb := make([]float64, n), make([]float64, n)
	for i := range quiet {
		quiet[i], climb[i] = math.Inf(1), math.Inf(1)
	}
	for i := range r.Gears {
		g := &r.Gears[i]
		if !g.Fit.Mounts() {
			continue
		}
		l := g.Arrivals[d][k].Limits
		quiet[g.Cog] = math.Min(quiet[g.Cog], sim.Degrees(l.Quiet))
		climb[g.Cog] = math.Min(climb[g.Cog], sim.Degrees(l.Climb))
	}
	p.Add(steps{quiet, quietLine, top}, steps{climb, climbLine, top})
	if in.Quiet > 0 {
		p.Add(level{sim.Degrees(in.Quiet), shopQuiet})
	}
	if in.Climb > 0 {
		p.Add(level{sim.Degrees(in.Climb), shopClimb})
	}
	for ring := range b.Rings {
		var pts plotter.XYs
		for i := range r.Gears {
			if g := &r.Gears[i]; g.Ring == ring && g.Fit.Mounts() {
				pts = append(pts, plotter.XY{X: float64(g.Cog), Y: sim.Degrees(g.Arrivals[d][k].Bend)})
			}
		}
		m := ringMarks[ring]
		l := &plotter.Line{XYs: pts, LineStyle: line(m.color, 1, nil)}
		s := &plotter.Scatter{XYs: pts, GlyphStyle: draw.GlyphStyle{Color: m.color, Radius: vg.Points(2.8), Shape: m.glyph}}
		p.Add(l, s)
	}
	return p
}

func arrivalWords(d sim.Direction, at sim.Part, tensioned bool) string {
	from := map[sim.Part]string{sim.AtRing: "top span", sim.AtTension: "bottom span", sim.AtCog: "guide span"}
	if d == sim.Backwards {
		from = map[sim.Part]string{sim.AtCog: "top span", sim.AtRing: "bottom span", sim.AtGuide: "guide span"}
	}
	if !tensioned && d == sim.Riding && at == sim.AtCog {
		return "bottom span onto the cog"
	}
	return from[at] + " onto the " + at.Name()
}

// cogTicks sets a tick under each cog.
func cogTicks(names []string) plot.ConstantTicks {
	var t plot.ConstantTicks
	for i, s := range names {
		t = append(t, plot.Tick{Value: float64(i), Label: s})
	}
	return t
}

// steps draws a level over each cog's place, joined upright; levels above the
// top are left out.
type steps struct {
	y     []float64
	style draw.LineStyle
	top   float64
}

// Plot draws the steps.
func (s steps) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	var run []vg.Point
	flush := func() {
		if len(run) > 1 {
			c.StrokeLines(s.style, run)
		}
		run = nil
	}
	for i, y := range s.y {
		if y > s.top {
			flush()
			continue
		}
		run = append(run, vg.Point{X: tx(float64(i) - 0.5), Y: ty(y)}, vg.Point{X: tx(float64(i) + 0.5), Y: ty(y)})
	}
	flush()
}

// level draws a line across the panel.
type level struct {
	y     float64
	style draw.LineStyle
}

// Plot draws the line.
func (l level) Plot(c draw.Canvas, p *plot.Plot) {
	_, ty := p.Transforms(&c)
	c.StrokeLine2(l.style, c.Min.X, ty(l.y), c.Max.X, ty(l.y))
}
