package plots

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// CableSetting is what the cable's one setting may be, cog by cog: places of the pulleys
// outboard of where the best setting puts them, mm.
type CableSetting struct {
	Answer string
	Read   bool       // Now is a reading
	Trim   bool       // there is no adjuster to turn
	Now    float64    // how the cable is set
	Common [2]float64 // every shift is made; from > to: none
	Cogs   []CogSetting
}

// CogSetting is one cog's part of it. An end that nothing sets is infinite.
type CogSetting struct {
	Name  string
	Room  [2]float64    // where the shifts to it are made
	Doubt [2][2]float64 // 5 and 95 % points of both ends
}

// Shifting draws the setting: a row for each cog, the smallest at the bottom.
func Shifting(title string, s *CableSetting) Figure {
	f := Figure{Name: "shifts", Title: title, About: "A row for each cog: where the guide pulley can sit for the shifts to it to be made, mm outboard of the best setting to the right. " + s.Answer, Width: 24 * vg.Centimeter, Height: vg.Length(len(s.Cogs))*0.75*vg.Centimeter + 5.6*vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		if s.Trim {
			p.X.Label.Text = "← trim it inboard" + apart + "pulleys outboard of the best setting, mm" + apart + "trim it outboard →"
		} else {
			p.X.Label.Text = "← turn the adjuster out" + apart + "pulleys outboard of the best setting, mm" + apart + "turn it in →"
		}
		lo, hi := math.Min(s.Now, -1), math.Max(s.Now, 1)
		for _, r := range s.Cogs {
			for _, d := range r.Doubt {
				for _, x := range d {
					if !math.IsInf(x, 0) {
						lo, hi = math.Min(lo, x), math.Max(hi, x)
					}
				}
			}
		}
		p.X.Min, p.X.Max = lo-0.2, hi+0.2
		p.Y.Min, p.Y.Max = -0.6, float64(len(s.Cogs))-0.4
		var names plot.ConstantTicks
		for i, r := range s.Cogs {
			names = append(names, plot.Tick{Value: float64(i), Label: r.Name})
		}
		p.Y.Label.Text = "shifts to the cog, teeth"
		p.Y.Tick.Marker, p.X.Tick.Marker, p.Y.Tick.Length = names, every{1}, 0
		if s.Common[0] <= s.Common[1] {
			p.Add(band{s.Common[0], s.Common[1]})
		}
		for i, r := range s.Cogs {
			p.Add(cogRow{r, float64(i)})
		}
		p.Add(upright{s.Now, windowToday})
		now := "set at its best"
		if s.Read {
			now = "as set"
		}
		e := []entry{{"shifts to it are made", &runsBar, nil}, {"5 to 95 % of its ends", &endDoubt, nil}, {now, &windowToday, nil}}
		if s.Common[0] <= s.Common[1] {
			e = append(e, entry{"all of it", &allOfIt, nil})
		}
		p.Draw(header(c, title, s.Answer, e))
	}
	return f
}

// apart stands between three labels of one axis; it is made of spaces that a browser keeps.
const apart = "\u00a0\u00a0\u00a0\u00a0\u00a0\u00a0"

var (
	runsBar  = line(mid, 6, nil)
	allOfIt  = line(pale, 9, nil)
	endDoubt = line(ink, 1, nil)
)

// band shades where all shifts are made.
type band struct{ lo, hi float64 }

// Plot draws it.
func (b band) Plot(c draw.Canvas, p *plot.Plot) {
	tx, _ := p.Transforms(&c)
	c.FillPolygon(pale, []vg.Point{{X: tx(b.lo), Y: c.Min.Y}, {X: tx(b.hi), Y: c.Min.Y}, {X: tx(b.hi), Y: c.Max.Y}, {X: tx(b.lo), Y: c.Max.Y}})
}

// cogRow draws a cog's bar; an end that nothing sets goes to the axis' own.
type cogRow struct {
	CogSetting
	y float64
}

// Plot draws it.
func (r cogRow) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	from, to, y := math.Max(r.Room[0], p.X.Min), math.Min(r.Room[1], p.X.Max), ty(r.y)
	if from <= to {
		c.StrokeLine2(runsBar, tx(from), y, tx(to), y)
	} else { // two ends that do not meet, each pointing to where it asks the pulleys to be
		h := vg.Points(3)
		for _, e := range []struct {
			x   float64
			dir vg.Length
		}{{from, 1}, {to, -1}} {
			x := tx(e.x)
			c.FillPolygon(teal, []vg.Point{{X: x + e.dir*2*h, Y: y}, {X: x, Y: y + h}, {X: x, Y: y - h}})
		}
	}
	for i, d := range r.Doubt {
		if math.IsInf(d[0], 0) {
			continue
		}
		at := y + vg.Points(float64(5-10*i)) // the ends' doubts may overlap: one above, one below
		a, b, h := tx(d[0]), tx(d[1]), vg.Points(2)
		c.StrokeLine2(endDoubt, a, at, b, at)
		c.StrokeLine2(endDoubt, a, at-h, a, at+h)
		c.StrokeLine2(endDoubt, b, at-h, b, at+h)
	}
}
