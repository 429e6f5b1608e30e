package plots

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"chainpath/sim"
)

// sideways is how many times larger the top view is drawn across than along.
const sideways = 4.0

// TopView draws every gear's top run from above, across drawn larger than along: cogs, rings,
// and of the tyre what reaches up to the chain. What lies below the chain, such as a
// chainstay, is not in it. One panel a ring; outboard is up, travel to the right.
func TopView(in Input) Figure {
	b, r := in.Bike, in.Result
	view := in.topBox()
	panels := make([]*plot.Plot, len(b.Rings))
	tyred := false
	for i := range panels {
		var tyre bool
		panels[i], tyre = in.topPanel(i, view)
		tyred = tyred || tyre
	}
	entries := []entry{{"chain", &topChain, nil}, {"front chainline", &topFront, nil}, {"rear chainline", &topRear, nil}}
	if tyred {
		entries = append(entries, entry{"tyre at the chain's height", &topTyre, nil})
	}
	f := Figure{Name: "top", Title: in.Title, About: "The top run of every gear from above, outboard up, forward to the right, with cogs, chainrings and the tyre at the chain's height", Width: 27 * vg.Centimeter}
	panel := f.Width*vg.Length(sideways*(view.y1-view.y0)/(view.x1-view.x0))*0.93 + 2*vg.Centimeter
	f.Height = vg.Length(len(panels))*panel + 2.1*vg.Centimeter
	f.draw = func(c draw.Canvas) {
		second := fmt.Sprintf("from above, top run of every gear, across %.0f times larger than along; front chainline %.1f mm, rear chainline %.1f mm", sideways, r.Front, r.Rear)
		tiles := draw.Tiles{Rows: len(panels), Cols: 1, PadY: vg.Points(8)}
		body := header(c, in.Title, second, entries)
		for i, p := range panels {
			p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = view.x0, view.x1, view.y0, view.y1
			p.Draw(tiles.At(body, 0, i))
		}
	}
	return f
}

// Lines of the top view.
var (
	topChain = line(ink, 0.9, nil)
	topFront = line(ochre, 1.4, dashed)
	topRear  = line(teal, 1.4, dotted)
	topTyre  = line(pale, 9, nil)
)

// topBox returns what the top view shows.
func (in Input) topBox() box {
	b, r := in.Bike, in.Result
	axle, _ := b.Frame.Axle()
	cog, ring := b.Cogs[len(b.Cogs)-1].TipRadius(b.Chain.Pitch), b.Rings[len(b.Rings)-1].TipRadius(b.Chain.Pitch)
	view := box{x0: axle - math.Max(cog, 60) - 15, x1: math.Max(100, ring+15), y0: math.Min(r.Front, r.Rear), y1: math.Max(r.Front, r.Rear)}
	wheels := append(append([]sim.Wheel{}, b.Rings...), b.Cogs...)
	if b.Idler != nil {
		wheels = append(wheels, b.Idler.Wheel)
	}
	for _, w := range wheels {
		view.y0, view.y1 = math.Min(view.y0, w.Line), math.Max(view.y1, w.Line)
	}
	for i := range r.Gears {
		for _, q := range in.tyreBeside(&r.Gears[i]) {
			view.y0 = math.Min(view.y0, q.Y-4)
		}
	}
	return box{view.x0, view.x1, view.y0 - 5, view.y1 + 6}
}

// tyreBeside returns the tyre's outboard edge along a gear's top run, at the run's height, as
// places in the top view; none where the tyre does not reach up to it.
func (in Input) tyreBeside(g *sim.Gear) (edge []r2.Vec) {
	t := in.Bike.Tyre
	if t == nil {
		return nil
	}
	x, y := in.Bike.Frame.Axle()
	s, half := g.Loop.Spans[sim.Top], t.Width/2
	middle := t.OutsideDiameter()/2 - half // of the section, from the axle
	for k := 0.0; k <= 1; k += 1.0 / 200 {
		at := r2.Add(r2.Scale(1-k, s.From), r2.Scale(k, s.To))
		if away := math.Hypot(at.X-x, at.Y-y) - middle; math.Abs(away) < half {
			edge = append(edge, r2.Vec{X: at.X, Y: t.Dish + math.Sqrt(half*half-away*away)})
		}
	}
	return edge
}

// topPanel draws the gears of one ring, and says whether there is tyre beside them.
func (in Input) topPanel(ring int, view box) (p *plot.Plot, tyred bool) {
	b, r := in.Bike, in.Result
	p = plot.New()
	dress(p)
	p.X.Label.Text = "forward of the bottom bracket, mm"
	p.Y.Label.Text = "outboard, mm"
	if len(b.Rings) > 1 {
		p.Title.Text = fmt.Sprintf("on the %d-tooth chainring", b.Rings[ring].Teeth)
	}
	p.X.Tick.Marker, p.Y.Tick.Marker = every{50}, every{5}
	axle, _ := b.Frame.Axle()
	if edge := in.tyreBeside(&r.Gears[(ring+1)*len(b.Cogs)-1]); len(edge) > 1 { // beside the largest cog
		tyred = true
		first, last := edge[0], edge[len(edge)-1]
		p.Add(shape{append(edge, r2.Vec{X: last.X, Y: view.y0}, r2.Vec{X: first.X, Y: view.y0}), line(mid, 0.6, nil), pale})
	}
	wheel := func(w sim.Wheel, x float64) {
		t := w.TipRadius(b.Chain.Pitch)
		p.Add(shape{rectangle(x-t, x+t, w.Line-w.Thickness()/2, w.Line+w.Thickness()/2), line(dark, 0.4, nil), mid})
	}
	for _, w := range b.Rings {
		wheel(w, 0)
	}
	for _, w := range b.Cogs {
		wheel(w, axle)
	}
	if d := b.Idler; d != nil {
		wheel(d.Wheel, d.X)
		p.Add(label{r2.Vec{X: d.X, Y: d.Line - 1.5}, "idler", draw.XCenter, draw.YTop})
	}
	across := func(y float64, l draw.LineStyle) {
		p.Add(shape{[]r2.Vec{{X: view.x0, Y: y}, {X: view.x1, Y: y}}, l, nil})
	}
	across(r.Front, topFront)
	across(r.Rear, topRear)
	for i := range r.Gears {
		g := &r.Gears[i]
		if g.Ring != ring {
			continue
		}
		s := g.Loop.Spans[sim.Top]
		run := []r2.Vec{{X: s.From.X, Y: g.CogLine}, {X: s.To.X, Y: g.RingLine}}
		if g.Loop.Idled {
			lead := g.Loop.Spans[sim.Lead]
			run = []r2.Vec{run[0], {X: s.To.X, Y: b.Idler.Line}, {X: lead.From.X, Y: b.Idler.Line}, {X: lead.To.X, Y: g.RingLine}}
		}
		p.Add(shape{run, topChain, nil})
	}
	return p, tyred
}
