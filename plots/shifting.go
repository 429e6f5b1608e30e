package plots

import (
	"math"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// CableSetting is what the cable's one setting may be, cog by cog: places of the pulleys
// outboard of the cog, mm.
type CableSetting struct {
	Answer string
	Now    float64
	Common [2]float64 // every shift made at once; from > to: none
	Cogs   []CogSetting
}

// CogSetting is one cog's part of it. An end that nothing sets is infinite.
type CogSetting struct {
	Name      string
	Runs      [2]float64    // where it runs
	RunsDoubt [2][2]float64 // 5 and 95 % points of both ends
	Shift     [2]float64    // where shifts to it are made at once, from both sides
}

// Shifting draws the setting: a row for each cog, the smallest at the bottom.
func Shifting(title string, s *CableSetting) Figure {
	f := Figure{Name: "shifts", Title: title, About: "A row for each cog: where the guide pulley can sit for the gear to run and to be shifted into, mm outboard of the cog to the right. " + s.Answer, Width: 24 * vg.Centimeter, Height: vg.Length(len(s.Cogs))*0.75*vg.Centimeter + 5.6*vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text = "pulleys beside the cog they run under, mm, outboard to the right"
		lo, hi := s.Now, s.Now
		for _, r := range s.Cogs {
			lo, hi = math.Min(lo, r.RunsDoubt[0][0]), math.Max(hi, r.RunsDoubt[1][1])
		}
		p.X.Min, p.X.Max = lo-0.4, hi+0.4
		p.Y.Min, p.Y.Max = -0.6, float64(len(s.Cogs))-0.4
		var names plot.ConstantTicks
		for i, r := range s.Cogs {
			names = append(names, plot.Tick{Value: float64(i), Label: r.Name})
		}
		p.Y.Label.Text = "cog, teeth"
		p.Y.Tick.Marker, p.X.Tick.Marker, p.Y.Tick.Length = names, every{1}, 0
		if s.Common[0] <= s.Common[1] {
			p.Add(band{s.Common[0], s.Common[1]})
		}
		for i, r := range s.Cogs {
			p.Add(cogRow{r, float64(i)})
		}
		p.Add(upright{s.Now, windowToday})
		e := []entry{{"the gear runs", &runsBar, nil}, {"5 to 95 % of its ends", &windowDoubt, nil}, {"shifts to it are made at once", &shiftBar, nil}, {"as set", &windowToday, nil}}
		if s.Common[0] <= s.Common[1] {
			e = append(e, entry{"all of it", &windowBand, nil})
		}
		p.Draw(header(c, title, s.Answer, e))
	}
	return f
}

var (
	runsBar  = line(mid, 6, nil)
	shiftBar = line(teal, 3, nil)
)

// cogRow draws a cog's two bars; an end of shifts that nothing sets goes to that of the
// other bar.
type cogRow struct {
	CogSetting
	y float64
}

// Plot draws it.
func (r cogRow) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	y := ty(r.y)
	bar := func(from, to float64, at vg.Length, st draw.LineStyle) {
		if from <= to {
			c.StrokeLine2(st, tx(from), at, tx(to), at)
		}
	}
	bar(r.Runs[0], r.Runs[1], y+vg.Points(4), runsBar)
	for _, d := range r.RunsDoubt {
		a, b, h, at := tx(d[0]), tx(d[1]), vg.Points(2), y+vg.Points(4)
		c.StrokeLine2(windowDoubt, a, at, b, at)
		c.StrokeLine2(windowDoubt, a, at-h, a, at+h)
		c.StrokeLine2(windowDoubt, b, at-h, b, at+h)
	}
	from, to := math.Max(r.Shift[0], r.Runs[0]), math.Min(r.Shift[1], r.Runs[1])
	at := y - vg.Points(3)
	bar(from, to, at, shiftBar)
	if from > to { // two ends that do not meet, each pointing to where it asks the pulleys to be
		h := vg.Points(3)
		for _, e := range []struct {
			x   float64
			dir vg.Length
		}{{from, 1}, {to, -1}} {
			x := tx(e.x)
			c.FillPolygon(teal, []vg.Point{{X: x + e.dir*2*h, Y: at}, {X: x, Y: at + h}, {X: x, Y: at - h}})
		}
	}
}
