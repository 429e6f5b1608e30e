package plots

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Window draws the line window: one bar a constraint on a common axis of front
// lines in mm, today's line, the rear line, and the safe window shaded; doubt,
// when not nil, adds how far the window's edges and today's line may lie off. At
// each end of a bar stands the gear that sets it.
func Window(title string, b *sim.Bike, w *decide.Window, doubt *decide.WindowUncertainty) Figure {
	f := Figure{Name: "window", Title: title, About: "A bar for each limit: front chainlines that clear it, outboard to the right. " + windowWords(w), Width: 26 * vg.Centimeter, Height: vg.Length(len(w.Bars))*0.95*vg.Centimeter + 6.2*vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text = "front chainline, mm from the frame centreline, outboard to the right"
		lo, hi := windowRange(w)
		p.X.Min, p.X.Max = lo, hi
		n := len(w.Bars)
		p.Y.Min, p.Y.Max = -0.85, float64(n)-0.3
		var names plot.ConstantTicks
		for i, b := range w.Bars {
			names = append(names, plot.Tick{Value: float64(n - 1 - i), Label: b.Words()})
		}
		p.Y.Tick.Marker, p.X.Tick.Marker = names, every{5}
		p.Y.Tick.Length = 0
		if !w.Safe.Empty {
			p.Add(band{w.Safe.From, w.Safe.To})
		}
		p.Add(upright{w.Front, windowToday}, upright{w.Rear, topRear})
		for i, x := range w.Bars {
			p.Add(bar{x, b, float64(n - 1 - i), math.Max(lo, w.From), math.Min(hi, w.To)})
		}
		if doubt != nil {
			p.Add(whisker{doubt.Today.Line, 1.96 * doubt.Today.U, float64(n) - 0.55})
			for i, x := range [2]float64{w.Safe.From, w.Safe.To} {
				p.Add(whisker{x, math.Abs(doubt.Possible[i]-doubt.Sure[i]) / 2, -0.42 - 0.22*float64(i)}) // one below the other
			}
		}
		p.Draw(header(c, title, windowWords(w), windowLegend(!w.Safe.Empty, doubt != nil)))
	}
	return f
}

var (
	windowToday = line(ochre, 1.8, dashed)
	windowBar   = line(mid, 7, nil)
	windowBand  = line(pale, 9, nil)
	windowDoubt = line(ink, 1, nil)
)

func windowLegend(safe, doubt bool) []entry {
	e := []entry{{"clears one limit", &windowBar, nil}, {"today's front chainline", &windowToday, nil}, {"rear chainline", &topRear, nil}}
	if safe {
		e = append(e, entry{"clears all, with typical values", &windowBand, nil})
	}
	if doubt {
		e = append(e, entry{"95 % of its doubt", &windowDoubt, nil})
	}
	return e
}

func windowWords(w *decide.Window) string {
	if w.Safe.Empty {
		return "no front chainline clears every limit but that of noise; arrows that do not meet: two gears exclude each other"
	}
	return fmt.Sprintf("with typical values clear of every limit but that of noise from %.1f to %.1f mm; today %.1f mm; rear chainline %.1f mm", w.Safe.From, w.Safe.To, w.Front, w.Rear)
}

// windowRange returns the part of the axis in which anything ends or stands.
func windowRange(w *decide.Window) (lo, hi float64) {
	lo, hi = math.Min(w.Front, w.Rear), math.Max(w.Front, w.Rear)
	for _, b := range w.Bars {
		for _, e := range []decide.Edge{b.Lo, b.Hi} {
			if !e.Open {
				lo, hi = math.Min(lo, e.Line), math.Max(hi, e.Line)
			}
		}
	}
	return lo - 5, hi + 5
}

// band shades the safe window.
type band struct{ lo, hi float64 }

// Plot draws it.
func (b band) Plot(c draw.Canvas, p *plot.Plot) {
	tx, _ := p.Transforms(&c)
	c.FillPolygon(pale, []vg.Point{{X: tx(b.lo), Y: c.Min.Y}, {X: tx(b.hi), Y: c.Min.Y}, {X: tx(b.hi), Y: c.Max.Y}, {X: tx(b.lo), Y: c.Max.Y}})
}

// bar draws one constraint's interval with the binding gear at each end; an open
// end has an arrow head.
type bar struct {
	decide.Bar
	bike        *sim.Bike
	y, from, to float64
}

// Plot draws it.
func (b bar) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	y, half := ty(b.y), vg.Points(4)
	if b.Empty {
		b.plotEmpty(c, tx, y)
		return
	}
	lo, hi := b.Lo.Line, b.Hi.Line
	if b.Lo.Open {
		lo = b.from
	}
	if b.Hi.Open {
		hi = b.to
	}
	tip := func(open bool, x vg.Length, dir vg.Length) []vg.Point {
		if open {
			return []vg.Point{{X: x, Y: y + dir*half}, {X: x + dir*half*1.6, Y: y}, {X: x, Y: y - dir*half}}
		}
		return []vg.Point{{X: x, Y: y + dir*half}, {X: x, Y: y - dir*half}}
	}
	pts := append(tip(b.Hi.Open, tx(hi), 1), tip(b.Lo.Open, tx(lo), -1)...)
	c.FillPolygon(mid, pts)
	c.StrokeLines(line(dark, 0.8, nil), append(pts, pts[0]))
	b.gear(c, b.Lo, vg.Point{X: tx(lo) - vg.Points(4), Y: y}, draw.XRight)
	b.gear(c, b.Hi, vg.Point{X: tx(hi) + vg.Points(4), Y: y}, draw.XLeft)
}

// gear writes the gear that sets an edge.
func (b bar) gear(c draw.Canvas, e decide.Edge, at vg.Point, align draw.XAlignment) {
	if !e.Open {
		m := e.Margin
		name := fmt.Sprintf("%d/%d", b.bike.Rings[m.Ring].Teeth, b.bike.Cogs[m.Cog].Teeth)
		st := style(7, ink)
		w, h, left := st.Width(name)+vg.Points(2), vg.Points(4.5), at.X-vg.Points(1)
		if align == draw.XRight {
			left = at.X + vg.Points(1) - w
		}
		c.FillPolygon(color.White, []vg.Point{{X: left, Y: at.Y - h}, {X: left + w, Y: at.Y - h}, {X: left + w, Y: at.Y + h}, {X: left, Y: at.Y + h}})
		write(c, 7, align, draw.YCenter, at, name)
	}
}

// plotEmpty draws the two arrows that do not meet: one gear wants the ring
// further outboard than another bears.
func (b bar) plotEmpty(c draw.Canvas, tx func(float64) vg.Length, y vg.Length) {
	if b.Never != nil {
		write(c, 8, draw.XCenter, draw.YCenter, vg.Point{X: tx((b.from + b.to) / 2), Y: y}, "no front chainline does")
		return
	}
	l, h := line(dark, 1, nil), vg.Points(3)
	for _, e := range []struct {
		edge  decide.Edge
		end   float64
		up    vg.Length
		dir   vg.Length
		align draw.XAlignment
	}{{b.Lo, b.to, vg.Points(4), 1, draw.XRight}, {b.Hi, b.from, -vg.Points(4), -1, draw.XLeft}} {
		x, to, at := tx(e.edge.Line), tx(e.end), y+e.up
		c.StrokeLine2(l, x, at, to, at)
		c.StrokeLine2(l, x, at-h, x, at+h)
		c.FillPolygon(dark, []vg.Point{{X: to, Y: at}, {X: to - e.dir*2*h, Y: at + h}, {X: to - e.dir*2*h, Y: at - h}})
		b.gear(c, e.edge, vg.Point{X: x - e.dir*vg.Points(4), Y: at}, e.align)
	}
}

// upright draws a line from bottom to top at a front line.
type upright struct {
	x     float64
	style draw.LineStyle
}

// Plot draws it.
func (u upright) Plot(c draw.Canvas, p *plot.Plot) {
	tx, _ := p.Transforms(&c)
	c.StrokeLine2(u.style, tx(u.x), c.Min.Y, tx(u.x), c.Max.Y)
}

// whisker marks an interval around a line.
type whisker struct{ x, half, y float64 }

// Plot draws it.
func (w whisker) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	a, b, y, h := tx(w.x-w.half), tx(w.x+w.half), ty(w.y), vg.Points(3)
	c.StrokeLine2(windowDoubt, max(a, c.Min.X), y, min(b, c.Max.X), y)
	for _, end := range [2]vg.Length{a, b} { // one that lies outside has no end here
		if end >= c.Min.X && end <= c.Max.X {
			c.StrokeLine2(windowDoubt, end, y-h, end, y+h)
		}
	}
}
