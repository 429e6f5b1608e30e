package plots

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"chainpath/geom"
	"chainpath/sim"
)

// shape is a polyline or filled outline in mm on the plane of a view.
type shape struct {
	points []r2.Vec
	line   draw.LineStyle
	fill   color.Color // nil: not filled
}

// Plot draws the shape.
func (s shape) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	pts := make([]vg.Point, len(s.points))
	for i, q := range s.points {
		pts[i] = vg.Point{X: tx(q.X), Y: ty(q.Y)}
	}
	if s.fill != nil {
		c.FillPolygon(s.fill, c.ClipPolygonXY(pts))
	}
	if s.line.Width > 0 {
		c.StrokeLines(s.line, c.ClipLinesXY(pts)...)
	}
}

// label is a text at a place in mm.
type label struct {
	at   r2.Vec
	text string
	x    draw.XAlignment
	y    draw.YAlignment
}

// Plot sets the text.
func (l label) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	write(c, 8, l.x, l.y, vg.Point{X: tx(l.at.X), Y: ty(l.at.Y)}, l.text)
}

// box is the part of the plane that a view shows.
type box struct{ x0, x1, y0, y1 float64 }

// scaled draws a plot so that a mm is as long on both axes: the box keeps its
// middle and grows on the axis that has room.
func scaled(p *plot.Plot, c draw.Canvas, b box) {
	p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = b.x0, b.x1, b.y0, b.y1
	// Ticks that stay while the range settles, so that it does settle.
	p.X.Tick.Marker = plot.ConstantTicks(p.X.Tick.Marker.Ticks(b.x0, b.x1))
	p.Y.Tick.Marker = plot.ConstantTicks(p.Y.Tick.Marker.Ticks(b.y0, b.y1))
	for range 12 { // the data area depends a little on the range
		d := p.DataCanvas(c)
		w, h := float64(d.Max.X-d.Min.X), float64(d.Max.Y-d.Min.Y)
		mm := math.Max((b.x1-b.x0)/w, (b.y1-b.y0)/h) // for each point of the canvas
		x, y := (b.x0+b.x1)/2, (b.y0+b.y1)/2
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = x-mm*w/2, x+mm*w/2, y-mm*h/2, y+mm*h/2
	}
	p.Draw(c)
}

// every ticks an axis at round steps.
type every struct{ step float64 }

// Ticks returns the ticks.
func (e every) Ticks(lo, hi float64) (t []plot.Tick) {
	for i := math.Ceil(lo / e.step); i*e.step <= hi; i++ {
		t = append(t, plot.Tick{Value: i * e.step, Label: fmt.Sprintf("%.0f", i*e.step+0)})
	}
	return t
}

func ring(at r2.Vec, radius float64) []r2.Vec { return arc(at, radius, 0, 2*math.Pi) }

// arc returns points from angle a over a turn t.
func arc(at r2.Vec, radius, a, t float64) []r2.Vec {
	n := max(8, int(math.Abs(t)*radius/1.5))
	out := make([]r2.Vec, n+1)
	for i := range out {
		s, c := math.Sincos(a + t*float64(i)/float64(n))
		out[i] = r2.Vec{X: at.X + radius*c, Y: at.Y + radius*s}
	}
	return out
}

func rectangle(x0, x1, y0, y1 float64) []r2.Vec {
	return []r2.Vec{{X: x0, Y: y0}, {X: x1, Y: y0}, {X: x1, Y: y1}, {X: x0, Y: y1}, {X: x0, Y: y0}}
}

// SideView draws the chain path of one gear from the drive side at true scale.
func SideView(in Input, gear int) Figure {
	b, g := in.Bike, &in.Result.Gears[gear]
	l := &g.Loop
	p := plot.New()
	dress(p)
	p.X.Label.Text = "forward of the bottom bracket, mm"
	p.Y.Label.Text = "up, mm"
	p.X.Tick.Marker, p.Y.Tick.Marker = every{50}, every{50}
	axle := l.Wheels[sim.AtCog].Centre
	view := box{x0: math.Inf(1), x1: math.Inf(-1), y0: math.Inf(1), y1: math.Inf(-1)}
	include := func(at r2.Vec, rad float64) {
		view.x0, view.x1 = math.Min(view.x0, at.X-rad), math.Max(view.x1, at.X+rad)
		view.y0, view.y1 = math.Min(view.y0, at.Y-rad), math.Max(view.y1, at.Y+rad)
	}
	var entries []entry
	add := func(s string, st draw.LineStyle) { entries = append(entries, entry{s, &st, nil}) }
	chain, pitch, tips, others := line(ink, 2.2, nil), line(mid, 0.8, dashed), line(dark, 0.7, nil), line(pale, 0.7, nil)
	if t := b.Tyre; t != nil {
		tyre := line(mid, 1, dotted)
		p.Add(shape{ring(axle, t.OutsideDiameter()/2), tyre, nil})
		add("tyre", tyre)
	}
	for _, w := range b.Cogs {
		p.Add(shape{ring(axle, w.TipRadius(l.Pitch())), others, nil})
		include(axle, w.TipRadius(l.Pitch()))
	}
	for _, w := range b.Rings {
		p.Add(shape{ring(r2.Vec{}, w.TipRadius(l.Pitch())), others, nil})
		include(r2.Vec{}, w.TipRadius(l.Pitch()))
	}
	teeth := [sim.NumParts]sim.Sprocket{sim.AtCog: b.Cogs[g.Cog].Sprocket, sim.AtRing: b.Rings[g.Ring].Sprocket}
	if d := b.Idler; d != nil {
		teeth[sim.AtIdler] = d.Sprocket
		at := r2.Vec{X: d.X, Y: d.Z}
		p.Add(shape{ring(at, d.TipRadius(l.Pitch())), others, nil}) // where the chain passes over it as well
		include(at, d.TipRadius(l.Pitch()))
		p.Add(label{at, "idler", draw.XCenter, draw.YTop})
	}
	if t := b.Tensioner; t != nil {
		teeth[sim.AtTension], teeth[sim.AtGuide] = t.Tension, t.Guide
		cage := line(teal, 3, nil)
		p.Add(shape{[]r2.Vec{l.Wheels[sim.AtGuide].Centre, l.Wheels[sim.AtTension].Centre}, cage, nil})
		add("cage", cage)
	}
	for _, i := range l.Path() {
		w := l.Wheels[i]
		p.Add(shape{ring(w.Centre, teeth[i].TipRadius(l.Pitch())), tips, nil}, shape{ring(w.Centre, w.Radius), pitch, nil}, shape{ring(w.Centre, 1.5), line(ink, 0.5, nil), ink})
		include(w.Centre, teeth[i].TipRadius(l.Pitch()))
		in := l.Spans[l.Into(i)].To
		a := math.Atan2(in.Y-w.Centre.Y, in.X-w.Centre.X)
		p.Add(shape{arc(w.Centre, w.Radius, a, float64(w.Sense)*l.Wraps[i]), chain, nil})
		p.Add(shape{[]r2.Vec{l.Spans[i].From, l.Spans[i].To}, chain, nil})
	}
	add("chain", chain)
	add("pitch circle", pitch)
	add("tip circle", tips)
	p.Add(arrows(l)...)
	view = box{view.x0 - 12, view.x1 + 12, view.y0 - 12, view.y1 + 12}
	f := Figure{Name: fmt.Sprintf("side-%dx%d", g.RingTeeth, g.CogTeeth), Title: in.Title, About: fmt.Sprintf("The chain's path on chainring %d and cog %d from the drive side, forward to the right, up is up, one scale", g.RingTeeth, g.CogTeeth), Width: 24 * vg.Centimeter}
	f.Height = f.Width*vg.Length((view.y1-view.y0)/(view.x1-view.x0))*0.93 + 4.1*vg.Centimeter
	second := fmt.Sprintf("from the drive side, chainring %d, cog %d, %d links, same scale both ways", g.RingTeeth, g.CogTeeth, in.Result.Links)
	if in.Result.Tensioned {
		way := "forward"
		if g.CageAngle < 0 {
			way = "back"
		}
		second += fmt.Sprintf("; cage %.0f° %s of straight down", math.Abs(sim.Degrees(g.CageAngle)), way)
	}
	if !g.Fit.Closes {
		second += "; " + g.Fit.Reason()
	}
	f.draw = func(c draw.Canvas) { scaled(p, header(c, in.Title, second, entries), view) }
	return f
}

// arrows mark the way the chain runs when riding, one in the middle of the top
// and one of the bottom span.
func arrows(l *sim.Loop) (out []plot.Plotter) {
	for _, i := range []int{sim.Top, sim.Bottom} {
		s := l.Spans[i]
		out = append(out, arrow(s))
	}
	return out
}

func arrow(s geom.Span) shape {
	m := r2.Scale(0.5, r2.Add(s.From, s.To))
	n := r2.Vec{X: -s.Dir.Y, Y: s.Dir.X}
	at := func(along, across float64) r2.Vec {
		return r2.Add(m, r2.Add(r2.Scale(along, s.Dir), r2.Scale(across, n)))
	}
	return shape{[]r2.Vec{at(7, 0), at(-5, 5), at(-5, -5), at(7, 0)}, draw.LineStyle{}, ink}
}
