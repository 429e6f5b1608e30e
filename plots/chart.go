package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Column is a sweep's column: one number a design, NaN where there is none.
type Column struct {
	Name string // as in the rows, with its unit
	X    []float64
}

// Chart is a sweep's rows as its figures are drawn from.
type Chart struct {
	Title    string
	Levels   []float64 // drawn as contours, or as lines across
	Feasible []bool    // nil: nothing is said
	Said     string    // what feasible means
}

// axisSpan returns a range a little wider than the numbers.
func axisSpan(x []float64, extra ...float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range append(slices.Clone(extra), x...) {
		if !math.IsNaN(v) {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	if !(lo <= hi) {
		return 0, 1
	}
	if lo == hi {
		return lo - 1, hi + 1
	}
	return lo - 0.03*(hi-lo), hi + 0.03*(hi-lo)
}

// number prints a number for a legend.
func number(x float64) string { return fmt.Sprintf("%.4g", x) }

var levelLine = line(ochre, 1.6, nil)

// Curve draws a result over one variable. Where several designs share its value
// the band goes from their least to their largest result, the line through the
// means.
func (g Chart) Curve(x, z Column) Figure {
	type stat struct{ sum, n, lo, hi float64 }
	at := map[float64]*stat{}
	var places []float64
	for i, v := range x.X {
		if math.IsNaN(v) || math.IsNaN(z.X[i]) {
			continue
		}
		s := at[v]
		if s == nil {
			s = &stat{lo: math.Inf(1), hi: math.Inf(-1)}
			at[v] = s
			places = append(places, v)
		}
		s.sum, s.n, s.lo, s.hi = s.sum+z.X[i], s.n+1, math.Min(s.lo, z.X[i]), math.Max(s.hi, z.X[i])
	}
	slices.Sort(places)
	f := Figure{Name: "curve-" + z.Name, Width: 22 * vg.Centimeter, Height: 13 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text, p.Y.Label.Text = x.Name, z.Name
		p.X.Min, p.X.Max = axisSpan(x.X)
		p.Y.Min, p.Y.Max = axisSpan(z.X, g.Levels...)
		var mean, lo, hi []r2.Vec
		spread := false
		for _, v := range places {
			s := at[v]
			mean = append(mean, r2.Vec{X: v, Y: s.sum / s.n})
			lo = append(lo, r2.Vec{X: v, Y: s.lo})
			hi = append(hi, r2.Vec{X: v, Y: s.hi})
			spread = spread || s.lo < s.hi
		}
		curve, band := line(ink, 1.8, nil), line(pale, 9, nil)
		entries := []entry{{z.Name, &curve, nil}}
		if spread {
			slices.Reverse(hi)
			p.Add(shape{append(lo, hi...), draw.LineStyle{}, pale})
			entries = []entry{{"mean of the designs there", &curve, nil}, {"least to largest", &band, nil}}
		}
		p.Add(shape{mean, curve, nil})
		if len(mean) <= 60 {
			for _, m := range mean {
				p.Add(spot{m, dark, 1.6})
			}
		}
		for _, l := range g.Levels {
			p.Add(shape{[]r2.Vec{{X: p.X.Min, Y: l}, {X: p.X.Max, Y: l}}, levelLine, nil})
			entries = append(entries, entry{"level " + number(l), &levelLine, nil})
		}
		p.Draw(header(c, g.Title, fmt.Sprintf("%s over %s, %d designs", z.Name, x.Name, len(z.X)), entries))
	}
	return f
}

// spot is a filled disc.
type spot struct {
	at     r2.Vec
	fill   color.Color
	radius float64 // points
}

// Plot draws it.
func (s spot) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	c.DrawGlyph(draw.GlyphStyle{Color: s.fill, Radius: vg.Points(s.radius), Shape: draw.CircleGlyph{}}, vg.Point{X: tx(s.at.X), Y: ty(s.at.Y)})
}

// field is a result on the cells of two variables.
type field struct {
	x, y  []float64 // middles of the cells, rising
	z     [][]float64
	wrong [][]bool // not feasible
}

// mostCells is the largest number of cells of an axis; more values are put together.
const mostCells = 160

// middles returns the cells of a variable: its values, or equal bins of many.
func middles(x []float64) []float64 {
	v := slices.Clone(x)
	v = slices.DeleteFunc(v, math.IsNaN)
	slices.Sort(v)
	v = slices.Compact(v)
	if len(v) <= mostCells {
		return v
	}
	const bins = 40
	lo, hi := v[0], v[len(v)-1]
	v = v[:0]
	for i := range bins {
		v = append(v, lo+(float64(i)+0.5)*(hi-lo)/bins)
	}
	return v
}

// nearestCell returns the index of the nearest of rising numbers.
func nearestCell(v []float64, x float64) int {
	i, _ := slices.BinarySearch(v, x)
	if i == len(v) || i > 0 && x-v[i-1] < v[i]-x {
		i--
	}
	return i
}

func (g Chart) field(x, y, z Column) field {
	f := field{x: middles(x.X), y: middles(y.X)}
	n := make([][]float64, len(f.y))
	for range f.y {
		f.z, f.wrong = append(f.z, make([]float64, len(f.x))), append(f.wrong, make([]bool, len(f.x)))
	}
	for i := range n {
		n[i] = make([]float64, len(f.x))
	}
	for k := range z.X {
		if math.IsNaN(x.X[k]) || math.IsNaN(y.X[k]) {
			continue
		}
		i, j := nearestCell(f.y, y.X[k]), nearestCell(f.x, x.X[k])
		if g.Feasible != nil && !g.Feasible[k] {
			f.wrong[i][j] = true
		}
		if !math.IsNaN(z.X[k]) {
			f.z[i][j] += z.X[k]
			n[i][j]++
		}
	}
	for i := range n {
		for j := range n[i] {
			f.z[i][j] /= n[i][j] // NaN for an empty cell
			if n[i][j] == 0 {
				f.wrong[i][j] = true
			}
		}
	}
	return f
}

// edges returns the borders between cells with the given middles.
func edges(m []float64) []float64 {
	if len(m) == 1 {
		return []float64{m[0] - 0.5, m[0] + 0.5}
	}
	e := []float64{m[0] - (m[1]-m[0])/2}
	for i := 1; i < len(m); i++ {
		e = append(e, (m[i-1]+m[i])/2)
	}
	return append(e, m[len(m)-1]+(m[len(m)-1]-m[len(m)-2])/2)
}

// Map draws a result over two variables as shaded cells, dark to light, with the
// contours of levels and the border of the feasible region.
func (g Chart) Map(x, y, z Column) Figure {
	d := g.field(x, y, z)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, row := range d.z {
		for _, v := range row {
			if !math.IsNaN(v) {
				lo, hi = math.Min(lo, v), math.Max(hi, v)
			}
		}
	}
	f := Figure{Name: "map-" + z.Name, Width: 24 * vg.Centimeter, Height: 18 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text, p.Y.Label.Text = x.Name, y.Name
		ex, ey := edges(d.x), edges(d.y)
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = ex[0], ex[len(ex)-1], ey[0], ey[len(ey)-1]
		step := (hi - lo) / float64(len(shades))
		p.Add(heat{d, ex, ey, lo, step})
		var entries []entry
		for i := range shades {
			l := line(shades[i], 9, nil)
			entries = append(entries, entry{"from " + number(lo+float64(i)*step), &l, nil})
		}
		border := line(color.White, 3.4, nil)
		inner := line(ink, 1.6, nil)
		if g.Feasible != nil {
			p.Add(outline{d, ex, ey, border}, outline{d, ex, ey, inner})
			entries = append(entries, entry{g.Said, &inner, nil})
		}
		thin, under := line(ink, 0.9, nil), line(color.White, 2.6, nil)
		for _, l := range g.Levels {
			p.Add(contour{d, l, under, ""}, contour{d, l, thin, number(l)})
		}
		if len(g.Levels) > 0 {
			entries = append(entries, entry{"level, with its value", &thin, nil})
		}
		p.Draw(header(c, g.Title, fmt.Sprintf("%s from %s to %s, %d designs", z.Name, number(lo), number(hi), len(z.X)), entries))
	}
	return f
}

// heat draws the cells.
type heat struct {
	field
	ex, ey   []float64
	lo, step float64
}

// Plot draws them.
func (h heat) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	for i, row := range h.z {
		for j, v := range row {
			if math.IsNaN(v) {
				continue
			}
			k := 0
			if h.step > 0 {
				k = min(int((v-h.lo)/h.step), len(shades)-1)
			}
			const seam = 0.25
			a, b, e, f := tx(h.ex[j]), tx(h.ex[j+1])+seam, ty(h.ey[i]), ty(h.ey[i+1])+seam
			c.FillPolygon(shades[k], []vg.Point{{X: a, Y: e}, {X: b, Y: e}, {X: b, Y: f}, {X: a, Y: f}})
		}
	}
}

// outline draws the borders between feasible and other cells.
type outline struct {
	field
	ex, ey []float64
	line   draw.LineStyle
}

// Plot draws them.
func (o outline) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	ok := func(i, j int) bool {
		return i >= 0 && j >= 0 && i < len(o.y) && j < len(o.x) && !o.wrong[i][j]
	}
	for i := range o.y {
		for j := range o.x {
			if !ok(i, j) {
				continue
			}
			a, b, e, f := tx(o.ex[j]), tx(o.ex[j+1]), ty(o.ey[i]), ty(o.ey[i+1])
			if !ok(i, j-1) {
				c.StrokeLine2(o.line, a, e, a, f)
			}
			if !ok(i, j+1) {
				c.StrokeLine2(o.line, b, e, b, f)
			}
			if !ok(i-1, j) {
				c.StrokeLine2(o.line, a, e, b, e)
			}
			if !ok(i+1, j) {
				c.StrokeLine2(o.line, a, f, b, f)
			}
		}
	}
}

// contour draws where a field crosses a level, linear between the cells' middles.
type contour struct {
	field
	level float64
	line  draw.LineStyle
	text  string // set once on the line
}

// Plot draws it.
func (k contour) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	var places []vg.Point
	for i := 0; i+1 < len(k.y); i++ {
		for j := 0; j+1 < len(k.x); j++ {
			// Two triangles, each crossed by at most one piece.
			a, b := r3v{k.x[j], k.y[i], k.z[i][j]}, r3v{k.x[j+1], k.y[i], k.z[i][j+1]}
			e, f := r3v{k.x[j], k.y[i+1], k.z[i+1][j]}, r3v{k.x[j+1], k.y[i+1], k.z[i+1][j+1]}
			for _, t := range [2][3]r3v{{a, b, f}, {a, f, e}} {
				var cut []vg.Point
				for s := range 3 {
					u, v := t[s], t[(s+1)%3]
					if (u.z < k.level) != (v.z < k.level) && !math.IsNaN(u.z+v.z) {
						w := (k.level - u.z) / (v.z - u.z)
						cut = append(cut, vg.Point{X: tx(u.x + w*(v.x-u.x)), Y: ty(u.y + w*(v.y-u.y))})
					}
				}
				if len(cut) == 2 {
					c.StrokeLine2(k.line, cut[0].X, cut[0].Y, cut[1].X, cut[1].Y)
					places = append(places, cut[0])
				}
			}
		}
	}
	if k.text == "" || len(places) == 0 {
		return
	}
	at := places[len(places)/2]
	st := style(8, ink)
	w, h := st.Width(k.text)/2+vg.Points(2), vg.Points(6)
	at.X = min(max(at.X, c.Min.X+w), c.Max.X-w)
	at.Y = min(max(at.Y, c.Min.Y+h), c.Max.Y-h)
	c.FillPolygon(color.White, []vg.Point{{X: at.X - w, Y: at.Y - h}, {X: at.X + w, Y: at.Y - h}, {X: at.X + w, Y: at.Y + h}, {X: at.X - w, Y: at.Y + h}})
	write(c, 8, draw.XCenter, draw.YCenter, at, k.text)
}

type r3v struct{ x, y, z float64 }

// Front draws every design in two results, and the ones that no other beats, joined.
func (g Chart) Front(a, b Column, up [2]bool, front []int) Figure {
	f := Figure{Name: "front-" + a.Name + "-" + b.Name, Width: 22 * vg.Centimeter, Height: 16 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		better := func(more bool) string {
			if more {
				return "more is better"
			}
			return "less is better"
		}
		p.X.Label.Text = fmt.Sprintf("%s (%s)", a.Name, better(up[0]))
		p.Y.Label.Text = fmt.Sprintf("%s (%s)", b.Name, better(up[1]))
		p.X.Min, p.X.Max = axisSpan(a.X)
		p.Y.Min, p.Y.Max = axisSpan(b.X)
		every := max(1, len(a.X)/20000) // more dots than that are one blot
		for i := 0; i < len(a.X); i += every {
			if !math.IsNaN(a.X[i] + b.X[i]) {
				p.Add(spot{r2.Vec{X: a.X[i], Y: b.X[i]}, mid, 1.1})
			}
		}
		var way []r2.Vec
		for _, i := range front {
			way = append(way, r2.Vec{X: a.X[i], Y: b.X[i]})
		}
		joined := line(ink, 1.4, nil)
		p.Add(shape{way, joined, nil})
		for _, w := range way {
			p.Add(spot{w, ochre, 3})
		}
		all := draw.GlyphStyle{Color: mid, Radius: vg.Points(2), Shape: draw.CircleGlyph{}}
		best := draw.GlyphStyle{Color: ochre, Radius: vg.Points(3), Shape: draw.CircleGlyph{}}
		p.Draw(header(c, g.Title, fmt.Sprintf("%d of %d designs are beaten by no other in both", len(front), len(a.X)), []entry{{"designs", nil, &all}, {"beaten by none", &joined, &best}}))
	}
	return f
}
