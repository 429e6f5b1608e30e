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

// Window draws where the chainring can stand: on a common axis of front lines in mm one bar for each
// room that is asked for, and one for each fault that its chance depends on the line of, dark where that
// stays below a tenth in every gear, light where it stays below a half; today's line, and the rear line. At
// each end of a bar stands the gear that sets it.
func Window(title string, b *sim.Bike, w *decide.Walls, ranges []decide.Range) Figure {
	rows := windowRows(w, ranges)
	const words = "dark: room is left, or the fault is unlikely (below 10 %) in every gear; light: below 50 %"
	f := Figure{Name: "window", Title: title, About: "A bar for each fault: front chainlines at which it is unlikely, outboard to the right. " + words, Width: 26 * vg.Centimeter, Height: vg.Length(len(rows))*0.95*vg.Centimeter + 6.2*vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text = "front chainline, mm from the frame centreline, outboard to the right"
		lo, hi := windowRange(w, rows)
		p.X.Min, p.X.Max = lo, hi
		n := len(rows)
		p.Y.Min, p.Y.Max = -0.85, float64(n)-0.3
		var names plot.ConstantTicks
		for i := range rows {
			names = append(names, plot.Tick{Value: float64(n - 1 - i), Label: rows[i].words})
		}
		p.Y.Tick.Marker, p.X.Tick.Marker = names, every{5}
		p.Y.Tick.Length = 0
		p.Add(upright{w.Front, windowToday}, upright{w.Rear, topRear})
		for i := range rows {
			p.Add(bar{&rows[i], b, float64(n - 1 - i), lo, hi})
		}
		p.Draw(header(c, title, words, []entry{{"room is left, or below 10 %", &windowDark, nil}, {"below 50 %", &windowLight, nil}, {"today's front chainline", &windowToday, nil}, {"rear chainline", &topRear, nil}}))
	}
	return f
}

var (
	windowToday = line(ochre, 1.8, dashed)
	windowDark  = line(mid, 7, nil)
	windowLight = line(pale, 9, nil)
)

// span is where a bar goes from and to; nil where there is none.
type span struct {
	lo, hi decide.End
	none   bool
}

// windowRow is a room, which is dark alone, or a fault.
type windowRow struct {
	words       string
	dark, light *span
}

func windowRows(w *decide.Walls, ranges []decide.Range) (rows []windowRow) {
	for _, r := range w.Rooms {
		rows = append(rows, windowRow{words: "clear of the " + map[string]string{"tyre": "tyre", "stay": "chainstay"}[r.Part], dark: &span{r.Lo, r.Hi, r.None}})
	}
	open := &span{lo: decide.End{Open: true}, hi: decide.End{Open: true}}
	for _, r := range ranges {
		x := &span{r.Lo, r.Hi, r.None}
		switch r.Level {
		case decide.Levels[0]:
			rows = append(rows, windowRow{sim.Hazards[r.Concern].Words, x, open})
		case decide.Levels[1]:
			rows[len(rows)-1].light = x
		}
	}
	return rows
}

// windowRange returns the part of the axis in which anything ends or stands.
func windowRange(w *decide.Walls, rows []windowRow) (lo, hi float64) {
	lo, hi = math.Min(w.Front, w.Rear), math.Max(w.Front, w.Rear)
	for _, r := range rows {
		for _, s := range [2]*span{r.dark, r.light} {
			if s == nil {
				continue
			}
			for _, e := range [2]decide.End{s.lo, s.hi} {
				if !e.Open {
					lo, hi = math.Min(lo, e.Line), math.Max(hi, e.Line)
				}
			}
		}
	}
	return lo - 5, hi + 5
}

// bar draws a row with the gear at each end; an open end has an arrow head.
type bar struct {
	row         *windowRow
	bike        *sim.Bike
	y, from, to float64
}

// Plot draws it.
func (b bar) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	y := ty(b.y)
	outer := b.row.light
	if outer == nil {
		outer = b.row.dark
	}
	if outer.none {
		words := "nowhere: " + b.gear(outer.lo)
		if b.row.light != nil {
			words = "nowhere below 50 %: " + b.gear(outer.lo)
		}
		write(c, 8, draw.XCenter, draw.YCenter, vg.Point{X: tx((b.from + b.to) / 2), Y: y}, words)
		return
	}
	if b.row.light != nil {
		b.fill(c, tx, y, b.row.light, pale)
	}
	if !b.row.dark.none {
		b.fill(c, tx, y, b.row.dark, mid)
	}
	lo, hi := outer, outer // where the light bar is open the dark one's gear is told
	if lo.lo.Open {
		lo = b.row.dark
	}
	if hi.hi.Open {
		hi = b.row.dark
	}
	b.name(c, lo, lo.lo, vg.Point{X: tx(lo.lo.Line) - vg.Points(4), Y: y}, draw.XRight)
	b.name(c, hi, hi.hi, vg.Point{X: tx(hi.hi.Line) + vg.Points(4), Y: y}, draw.XLeft)
}

// fill draws the bar of one span.
func (b bar) fill(c draw.Canvas, tx func(float64) vg.Length, y vg.Length, s *span, in color.Color) {
	half := vg.Points(4)
	tip := func(e decide.End, end float64, dir vg.Length) []vg.Point {
		if e.Open {
			x := tx(end) - dir*half*1.6
			return []vg.Point{{X: x, Y: y + dir*half}, {X: tx(end), Y: y}, {X: x, Y: y - dir*half}}
		}
		x := tx(e.Line)
		return []vg.Point{{X: x, Y: y + dir*half}, {X: x, Y: y - dir*half}}
	}
	pts := append(tip(s.hi, b.to, 1), tip(s.lo, b.from, -1)...)
	c.FillPolygon(in, pts)
	c.StrokeLines(line(dark, 0.8, nil), append(pts, pts[0]))
}

func (b bar) gear(e decide.End) string {
	return fmt.Sprintf("%d/%d", b.bike.Rings[e.Ring].Teeth, b.bike.Cogs[e.Cog].Teeth)
}

// name writes the gear that sets an end, on white.
func (b bar) name(c draw.Canvas, s *span, e decide.End, at vg.Point, align draw.XAlignment) {
	if e.Open || s.none {
		return
	}
	name, st := b.gear(e), style(7, ink)
	w, h, left := st.Width(name)+vg.Points(2), vg.Points(4.5), at.X-vg.Points(1)
	if align == draw.XRight {
		left = at.X + vg.Points(1) - w
	}
	c.FillPolygon(color.White, []vg.Point{{X: left, Y: at.Y - h}, {X: left + w, Y: at.Y - h}, {X: left + w, Y: at.Y + h}, {X: left, Y: at.Y + h}})
	write(c, 7, align, draw.YCenter, at, name)
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
