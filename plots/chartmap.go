package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// field is a result on the cells of two variables.
type field struct {
	x, y  []float64 // middles of the cells, rising
	z     [][]float64
	wrong [][]bool // not feasible

	shared bool // several designs lie in one cell
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
			f.shared = f.shared || n[i][j] > 1
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
	f := Figure{Name: "map-" + z.Name, Title: g.Title, About: z.Words() + " as shade, over " + x.Words() + " across and " + y.Words() + " up", Width: 24 * vg.Centimeter, Height: 18 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Tick.Marker, p.Y.Tick.Marker = rounded{}, rounded{}
		p.X.Label.Text, p.Y.Label.Text = x.Words(), y.Words()
		ex, ey := edges(d.x), edges(d.y)
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = ex[0], ex[len(ex)-1], ey[0], ey[len(ey)-1]
		from, step, scale := cellSteps(lo, hi)
		p.Add(heat{d, ex, ey, from, step, scale})
		var entries []entry
		for i := range scale {
			l := line(scale[i], 9, nil)
			entries = append(entries, entry{"from " + number(from+float64(i)*step), &l, nil})
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
		p.Draw(header(c, g.Title, fmt.Sprintf("%s from %s to %s, %d designs%s", z.Words(), number(lo), number(hi), len(z.X), d.averaged()), entries))
	}
	return f
}

// one colour from dark to light, for results without a zero that means anything.
var single = []color.Color{
	color.RGBA{0x12, 0x2b, 0x33, 0xff}, color.RGBA{0x2b, 0x48, 0x50, 0xff}, color.RGBA{0x4a, 0x67, 0x6e, 0xff}, color.RGBA{0x6f, 0x89, 0x8f, 0xff},
	color.RGBA{0x97, 0xab, 0xb0, 0xff}, color.RGBA{0xc1, 0xce, 0xd1, 0xff}, color.RGBA{0xea, 0xf0, 0xf1, 0xff},
}

// cellSteps returns round steps for the cells' shades and the shades: of two colours where
// the results lie on both sides of zero, with zero between two steps, else of one.
func cellSteps(lo, hi float64) (from, step float64, scale []color.Color) {
	if !(hi > lo) {
		return lo, 1, single[3:4]
	}
	step = math.Pow(10, math.Floor(math.Log10((hi-lo)/float64(len(single)-1))))
	for _, k := range []float64{1, 2, 2.5, 5, 10} {
		if k*step*float64(len(single)-1) >= hi-lo {
			step *= k
			break
		}
	}
	from = step * math.Floor(lo/step+1e-9)
	n := min(int(math.Ceil((hi-from)/step-1e-9)), len(single))
	if lo >= 0 || hi <= 0 {
		return from, step, single[:max(1, n)]
	}
	below := int(math.Round(-from / step)) // steps below zero
	for i := range n {
		k := i - below + len(shades)/2
		if i >= below {
			k++
		}
		scale = append(scale, shades[min(max(k, 0), len(shades)-1)])
	}
	return from, step, scale
}

// averaged says where several designs share a cell, whose mean is drawn.
func (f *field) averaged() string {
	if f.shared {
		return "; several share a cell, whose mean is drawn"
	}
	return ""
}

// heat draws the cells.
type heat struct {
	field
	ex, ey   []float64
	lo, step float64
	scale    []color.Color
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
				k = min(max(int((v-h.lo)/h.step), 0), len(h.scale)-1)
			}
			const seam = 0.25
			a, b, e, f := tx(h.ex[j]), tx(h.ex[j+1])+seam, ty(h.ey[i]), ty(h.ey[i+1])+seam
			c.FillPolygon(h.scale[k], []vg.Point{{X: a, Y: e}, {X: b, Y: e}, {X: b, Y: f}, {X: a, Y: f}})
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
