package plots

import (
	"fmt"
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// chanceShades are the greys of chances below a tenth, of those that are unlikely, that
// cannot be told, and that are likely.
var chanceShades = [4]color.Color{color.White, color.Gray{0xdc}, color.Gray{0xa8}, color.Gray{0x55}}

// chanceSteps part them.
var chanceSteps = [3]float64{0.10, 0.35, 0.65}

func chanceStep(p float64) (k int) {
	for k < len(chanceSteps) && p >= chanceSteps[k] {
		k++
	}
	return k
}

// LineMap draws every gear against the place of the ring: rows are gears, columns front
// lines in mm, outboard to the right; a cell's grey is the chance of what is worst there,
// and from 0.1 on a letter tells what. Today's line, the best one, and the room that stay
// and tyre take stand in it.
func LineMap(title string, b *sim.Bike, m *decide.LineMap) Figure {
	gears := len(b.Rings) * len(b.Cogs)
	f := Figure{Name: "map", Title: title, About: "Gears down, chainring positions across, outboard to the right: the worst fault of each and its chance, as shade and letter. Hatched: the chainring has no room", Width: 26 * vg.Centimeter, Height: vg.Length(gears)*0.55*vg.Centimeter + 6.4*vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text = "front chainline, mm from the frame centreline, outboard to the right"
		a := m.Along
		var x []float64
		for _, q := range a.Places {
			x = append(x, q.Line)
		}
		ex := edges(x)
		p.X.Min, p.X.Max = ex[0], ex[len(ex)-1]
		p.Y.Min, p.Y.Max = -0.5, float64(gears)-0.5
		var names plot.ConstantTicks
		for g := range gears {
			names = append(names, plot.Tick{Value: float64(gears - 1 - g), Label: fmt.Sprintf("%d/%d", b.Rings[g/len(b.Cogs)].Teeth, b.Cogs[g%len(b.Cogs)].Teeth)})
		}
		p.Y.Tick.Marker, p.X.Tick.Marker, p.Y.Tick.Length = names, every{2}, 0
		p.Add(lineCells{m, ex, b.RearLine()}, walls{a})
		p.Add(upright{a.Places[a.Today].Line, windowToday}, upright{b.RearLine(), topRear})
		if a.Best >= 0 && a.Best != a.Today {
			p.Add(upright{a.Places[a.Best].Line, mapBest})
		}
		p.Draw(header(c, title, mapWords(m), mapLegend(a)))
	}
	return f
}

var (
	mapBest   = line(teal, 1.8, dotdash)
	mapShades = [3]draw.LineStyle{line(chanceShades[1], 9, nil), line(chanceShades[2], 9, nil), line(chanceShades[3], 9, nil)}
)

func mapLegend(a *decide.Along) []entry {
	e := []entry{
		{"unlikely", &mapShades[0], nil}, {"could go either way", &mapShades[1], nil}, {"probable", &mapShades[2], nil},
		{"today", &windowToday, nil}, {"rear chainline", &topRear, nil},
	}
	if a.Best >= 0 && a.Best != a.Today {
		e = append(e, entry{"lowest fault score", &mapBest, nil})
	}
	if !math.IsInf(a.From, 0) || !math.IsInf(a.To, 0) {
		e = append(e, entry{"no room", &wallLine, nil})
	}
	return e
}

// mapWords explains the letters that occur.
func mapWords(m *decide.LineMap) string {
	var seen [sim.NumConcerns]bool
	for _, row := range m.Cells {
		for _, c := range row {
			if chanceStep(c.Chance) > 0 {
				seen[c.Concern] = true
			}
		}
	}
	var words []string
	for _, k := range sim.ToldOrder() {
		if seen[k] {
			words = append(words, sim.Hazards[k].Letter+" "+sim.Hazards[k].Words)
		}
	}
	if len(words) == 0 {
		return "no fault expected in any gear at any position"
	}
	return "worst fault in each gear: " + strings.Join(words, ", ")
}

// lineCells draws the cells of a map.
type lineCells struct {
	*decide.LineMap
	ex   []float64
	rear float64
}

// Plot draws them.
func (h lineCells) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	st := style(6.5, ink)
	for i, row := range h.Cells {
		a, b := tx(h.ex[i]), tx(h.ex[i+1])
		for g, cell := range row {
			k := chanceStep(cell.Chance)
			if k == 0 {
				continue
			}
			y := float64(len(row) - 1 - g)
			e, f := ty(y-0.5), ty(y+0.5)
			c.FillPolygon(chanceShades[k], []vg.Point{{X: a, Y: e}, {X: b, Y: e}, {X: b, Y: f}, {X: a, Y: f}})
			s := st
			if k == 3 {
				s.Color = color.White
			}
			s.XAlign, s.YAlign = draw.XCenter, draw.YCenter
			if letter := sim.Hazards[cell.Concern].Letter; s.Width(letter) < b-a && !h.covered(i) {
				c.FillText(s, vg.Point{X: (a + b) / 2, Y: (e + f) / 2}, letter)
			}
		}
	}
}

// covered reports whether a line or the hatch lies over a column, where no letter could be
// read.
func (h lineCells) covered(i int) bool {
	a, from, to := h.Along, h.ex[i], h.ex[i+1]
	if from < a.From || to > a.To || i == a.Today || i == a.Best {
		return true
	}
	return h.rear >= from && h.rear <= to
}

var wallLine = line(mid, 1, nil)

// walls hatch where stay and tyre leave no room.
type walls struct{ *decide.Along }

// Plot draws them.
func (w walls) Plot(c draw.Canvas, p *plot.Plot) {
	tx, _ := p.Transforms(&c)
	hatch := func(lo, hi vg.Length) {
		lo, hi = max(lo, c.Min.X), min(hi, c.Max.X)
		if lo >= hi {
			return
		}
		const step = 7
		height := c.Max.Y - c.Min.Y
		for x := lo - height; x < hi; x += vg.Points(step) {
			from, to := vg.Point{X: x, Y: c.Min.Y}, vg.Point{X: x + height, Y: c.Max.Y}
			if from.X < lo {
				from.Y += lo - from.X
				from.X = lo
			}
			if to.X > hi {
				to.Y -= to.X - hi
				to.X = hi
			}
			c.StrokeLine2(wallLine, from.X, from.Y, to.X, to.Y)
		}
	}
	if !math.IsInf(w.From, 0) {
		hatch(c.Min.X, tx(w.From))
	}
	if !math.IsInf(w.To, 0) {
		hatch(tx(w.To), c.Max.X)
	}
}
