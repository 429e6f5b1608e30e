package plots

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"chainpath/sim"
	"chainpath/sim/engage"
	"chainpath/sim/march"
)

// March is what a march's figures are drawn from.
type March struct {
	Title     string
	Gear      *sim.Gear
	Direction sim.Direction
	Chain     engage.Chain
	Wheels    []march.Wheel // in the order of travel
	Length    float64       // of the path, mm
	Moment    march.Event   // the drop or first strike; Link -1: nothing happened
	Map       []march.Frame // a turn or less, for the map
	Film      []march.Frame // a few pitches around the moment
	Asked     int           // of trials, where fewer were marched because they were stopped
}

// Name returns a file name for one of the figures, without ending.
func (m March) Name(what string) string {
	return fmt.Sprintf("march-%s-%dx%d-%s", what, m.Gear.RingTeeth, m.Gear.CogTeeth, m.Direction)
}

func (m March) second(what string) string {
	way := "riding"
	if m.Direction == sim.Backwards {
		way = "back-pedalling"
	}
	return fmt.Sprintf("%d/%d, %s; %s", m.Gear.RingTeeth, m.Gear.CogTeeth, way, what)
}

// shades go from dark (inboard) over mid to light (outboard), each lighter than
// the one before.
var shades = []color.Color{
	color.RGBA{0x00, 0x2b, 0x3a, 0xff}, color.RGBA{0x00, 0x4c, 0x60, 0xff}, color.RGBA{0x2f, 0x6f, 0x80, 0xff},
	color.RGBA{0x9c, 0x9c, 0x9c, 0xff},
	color.RGBA{0xd9, 0xb0, 0x6a, 0xff}, color.RGBA{0xf0, 0xd0, 0x98, 0xff}, color.RGBA{0xff, 0xee, 0xd0, 0xff},
}

// shadeOf returns the shade of an offset, in steps from 0.
func shadeOf(off, step float64) color.Color {
	i := int(math.Round(off/step)) + len(shades)/2
	return shades[min(max(i, 0), len(shades)-1)]
}

// MapFigure draws how far each link lies off the straight path, along the path
// and over the crank angle of the last turn.
func (m March) MapFigure() Figure {
	most := 0.0
	rows := m.everyPitch()
	for _, f := range rows {
		for _, p := range f.Places {
			most = math.Max(most, math.Abs(p.Off))
		}
	}
	step := 0.1
	for _, s := range []float64{0.1, 0.2, 0.25, 0.5, 1} {
		step = s
		if most <= 3.5*s {
			break
		}
	}
	f := Figure{Name: m.Name("map"), Title: m.Title, About: m.second("how far links lie off the straight path, as shade, along the chain across and over the crank angle up"), Width: 26 * vg.Centimeter, Height: 15 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text = "along the chain in the direction of travel, mm from the middle of the chainring's seat"
		p.Y.Label.Text = "crank angle, °"
		p.X.Min, p.X.Max = 0, m.Length
		p.X.Tick.Marker, p.Y.Tick.Marker = every{100}, rounded{}
		first, last := rows[0].Angle, rows[len(rows)-1].Angle
		pitch := 2 * math.Pi / float64(m.Gear.RingTeeth)
		p.Y.Min, p.Y.Max = sim.Degrees(first), sim.Degrees(last+pitch)
		p.Add(cells{rows, pitch, step})
		p.Add(seats{m.Wheels})
		var entries []entry
		for i := range shades {
			text := fmt.Sprintf("%+.2g", float64(i-len(shades)/2)*step)
			switch i {
			case 0:
				text += " or less (inboard)"
			case len(shades) / 2:
				text = "0"
			case len(shades) - 1:
				text += " mm or more (outboard)"
			}
			l := line(shades[i], 9, nil)
			entries = append(entries, entry{text, &l, nil})
		}
		p.Draw(draw.Crop(header(c, m.Title, m.second("how far links lie off the straight path, mm"), entries), 0, 0, 0, -vg.Points(12)))
	}
	return f
}

// everyPitch returns the frames of the map a pitch apart.
func (m March) everyPitch() (out []march.Frame) {
	pitch := 2 * math.Pi / float64(m.Gear.RingTeeth)
	for _, f := range m.Map {
		if len(out) == 0 || f.Angle >= out[len(out)-1].Angle+pitch-1e-9 {
			out = append(out, f)
		}
	}
	return out
}

// cells are the map's fields.
type cells struct {
	rows        []march.Frame
	pitch, step float64
}

// Plot draws them.
func (g cells) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	for _, r := range g.rows {
		y0, y1 := ty(sim.Degrees(r.Angle)), ty(sim.Degrees(r.Angle+g.pitch))+0.25
		half := (r.Places[1].Along - r.Places[0].Along) / 2
		for _, q := range r.Places {
			x0, x1 := math.Max(q.Along-half, p.X.Min), math.Min(q.Along+half, p.X.Max)
			if x1 <= x0 {
				continue
			}
			const seam = 0.25 // over the neighbour, so that no light shows between
			a, b := tx(x0), tx(x1)+seam
			c.FillPolygon(shadeOf(q.Off, g.step), []vg.Point{{X: a, Y: y0}, {X: b, Y: y0}, {X: b, Y: y1}, {X: a, Y: y1}})
		}
	}
}

// seats mark where the chain lies on a wheel.
type seats struct{ wheels []march.Wheel }

// Plot draws a bracket and a name over each.
func (s seats) Plot(c draw.Canvas, p *plot.Plot) {
	tx, _ := p.Transforms(&c)
	for _, w := range s.wheels {
		for _, x := range []float64{w.From, w.To} {
			if x > p.X.Min && x < p.X.Max {
				c.StrokeLine2(line(ink, 0.8, dashed), tx(x), c.Min.Y, tx(x), c.Max.Y)
			}
		}
		at := tx((math.Max(w.From, p.X.Min) + math.Min(w.To, p.X.Max)) / 2)
		write(c, 8, draw.XCenter, draw.YBottom, vg.Point{X: at, Y: c.Max.Y + vg.Points(2)}, shortName(w.Part))
	}
}

func shortName(p sim.Part) string { return strings.TrimSuffix(p.Name(), " pulley") }

// wheelOf returns the wheel that the moment is at: of the ring's two halves the one
// that the chain runs onto.
func (m March) wheelOf() march.Wheel {
	for i := len(m.Wheels) - 1; i >= 0; i-- {
		if m.Wheels[i].Part == m.Moment.At {
			return m.Wheels[i]
		}
	}
	return m.Wheels[len(m.Wheels)-1]
}

// frame returns the film's frame of the moment.
func (m March) frame() march.Frame {
	best := m.Film[0]
	for _, f := range m.Film {
		if math.Abs(f.Angle-m.Moment.Angle) < math.Abs(best.Angle-m.Moment.Angle) {
			best = f
		}
	}
	return best
}

// above is how a link or tooth is drawn from above: places relative to where the
// chain meets the wheel and to the wheel's middle plane.
const (
	aboveBefore = 7.2 // pitches shown before the wheel
	aboveAfter  = 4.2 // and on it
	plateThick  = 0.9 // mm, as drawn
)

// AboveFigure draws the chain from above where it runs onto a wheel, at the moment
// of the drop or the first strike.
func (m March) AboveFigure() Figure {
	w := m.wheelOf()
	pitch := m.Chain.Pitch
	f := Figure{Name: m.Name("above"), Title: m.Title, About: m.second("links from above as they run onto the wheel, travel to the right, outboard up: " + m.Moment.Words()), Width: 26 * vg.Centimeter, Height: 13 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text = fmt.Sprintf("along the chain in the direction of travel, mm from where it meets the %s", w.Part.Name())
		p.Y.Label.Text = "outboard of the wheel's centre, mm"
		p.X.Min, p.X.Max = -aboveBefore*pitch, aboveAfter*pitch
		p.X.Tick.Marker = every{10}
		span := m.Chain.OuterWidth/2 + plateThick + 0.6
		lo, hi := -span, span
		places := m.frame().Places
		for _, q := range places {
			if x := q.Along - w.From; x > p.X.Min-pitch/2 && x < p.X.Max+pitch/2 {
				lo, hi = math.Min(lo, q.Y-w.Line-span), math.Max(hi, q.Y-w.Line+span)
			}
		}
		p.Y.Min, p.Y.Max = lo, hi
		p.Y.Tick.Marker = every{1}
		p.Add(shape{[]r2.Vec{{X: p.X.Min}, {X: p.X.Max}}, line(dark, 0.6, dotdash), nil})
		for i, q := range places {
			if i == 0 || i == len(places)-1 {
				continue
			}
			x := q.Along - w.From
			if x < p.X.Min-pitch || x > p.X.Max+pitch {
				continue
			}
			slope := (places[i+1].Y - places[i-1].Y) / (2 * pitch)
			p.Add(m.linkShapes(q, w, x, slope)...)
		}
		for _, q := range places {
			if x := q.Along - w.From; q.Link == m.Moment.Link && x > p.X.Min && x < p.X.Max {
				p.Add(label{r2.Vec{X: x, Y: hi - 0.1}, "this link", draw.XCenter, draw.YTop})
				p.Add(shape{[]r2.Vec{{X: x, Y: hi - 0.45*span/3}, {X: x, Y: q.Y - w.Line + span - 0.5}}, line(ink, 0.8, nil), nil})
			}
		}
		inner, outer, tip := line(mid, 5, nil), line(ink, 5, nil), line(ochre, 7, nil)
		d := header(c, m.Title, m.second(m.Moment.Words()), []entry{{"inner plates", &inner, nil}, {"outer plates", &outer, nil}, {"tooth in the link", &tip, nil}})
		write(d, 8, draw.XRight, draw.YTop, vg.Point{X: d.Max.X, Y: d.Max.Y + vg.Points(16)}, "sideways drawn larger than along")
		p.Draw(d)
	}
	return f
}

// linkShapes returns a link's plates and the tooth in it.
func (m March) linkShapes(q march.Landing, w march.Wheel, x, slope float64) (out []plot.Plotter) {
	kind, fill := engage.Outer, color.Color(ink)
	if q.Inner {
		kind, fill = engage.Inner, mid
	}
	y, half := q.Y-w.Line, m.Chain.Width(kind)/2
	reach := m.Chain.Pitch * 0.58
	for _, side := range []float64{-1, 1} {
		a, b := y+side*half, y+side*(half+plateThick)
		out = append(out, shape{[]r2.Vec{
			{X: x - reach, Y: a - slope*reach}, {X: x + reach, Y: a + slope*reach},
			{X: x + reach, Y: b + slope*reach}, {X: x - reach, Y: b - slope*reach},
		}, draw.LineStyle{}, fill})
	}
	if q.Overlap > 0 && q.At == w.Part.String() {
		t := w.Entry.Teeth[kind].Thickness(q.Overlap) / 2
		out = append(out, shape{rectangle(x-2.2, x+2.2, -t, t), line(ink, 0.5, nil), ochre})
	}
	return out
}

// DropsFigure draws how many of the trials have come off, over the crank angle. That
// is no chance, and no interval is drawn about it.
func (m March) DropsFigure(t *march.Trials) Figure {
	partial := ""
	if m.Asked > t.Runs {
		partial = fmt.Sprintf("; partial: stopped after %d of %d trials", t.Runs, m.Asked)
	}
	f := Figure{Name: m.Name("drops"), Title: m.Title, About: m.second("how many of the simulated chains have dropped, over the turns of the cranks" + partial), Width: 22 * vg.Centimeter, Height: 13 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text, p.Y.Label.Text = "crank angle, turns", "chains that dropped"
		p.X.Min, p.X.Max, p.Y.Min, p.Y.Max = 0, t.Turns, 0, float64(t.Of())
		p.X.Tick.Marker, p.Y.Tick.Marker = rounded{}, rounded{}
		const n = 240
		var at []r2.Vec
		for i := range n + 1 {
			x := t.Turns * float64(i) / n
			at = append(at, r2.Vec{X: x, Y: float64(t.By(2 * math.Pi * x))})
		}
		curve := line(ink, 1.8, nil)
		p.Add(shape{at, curve, nil})
		what := fmt.Sprintf("%d of %d simulated chains dropped within %g turns: to compare set-ups, no probability%s", t.By(2*math.Pi*t.Turns), t.Of(), t.Turns, partial)
		p.Draw(header(c, m.Title, m.second(what), []entry{{"chains that dropped", &curve, nil}}))
	}
	return f
}
