package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"
	"strings"

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
	Links    []float64 // chain length of each design; nil: not known
}

// columnUnits are the units that columns end in, as they are written on axes.
var columnUnits = []struct{ end, unit string }{
	{"_mm", "mm"}, {"_deg", "°"}, {"_n", "N"}, {"_nm", "N·m"}, {"_percent", "%"}, {"_teeth", "teeth"}, {"_w", "W"}, {"_db", "dB"}, {"_links", "links"}, {"_rpm", "1/min"},
}

// Words returns a column's name in words, with its unit: front line, mm.
func (c Column) Words() string {
	name, unit := c.Name, ""
	for _, u := range columnUnits {
		if strings.HasSuffix(name, u.end) {
			name, unit = strings.TrimSuffix(name, u.end), ", "+u.unit
			break
		}
	}
	return columnWords.Replace(strings.ReplaceAll(name, "_", " ")) + unit
}

// columnWords are what people call what names of columns, which stay, call otherwise.
var columnWords = strings.NewReplacer("frame stay", "chainstay", "front line", "front chainline", "rear line", "rear chainline", "bend", "chain angle", "trouble", "fault score")

// plain is a column's name in words without its unit.
func (c Column) plain() string {
	words, _, _ := strings.Cut(c.Words(), ", ")
	return words
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

// rounded ticks an axis at about six round numbers, each printed with the digits that
// tell it from its neighbours.
type rounded struct{}

// Ticks returns the ticks.
func (rounded) Ticks(lo, hi float64) (t []plot.Tick) {
	if !(hi > lo) || math.IsInf(hi-lo, 0) {
		return nil
	}
	step := math.Pow(10, math.Floor(math.Log10((hi-lo)/6)))
	for _, k := range []float64{1, 2, 5, 10} {
		if k*step*6.5 >= hi-lo {
			step *= k
			break
		}
	}
	digits := max(0, int(-math.Floor(math.Log10(step)+1e-9)))
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+1e-9*step; i++ {
		v := i * step
		if v == 0 {
			v = 0 // not its negative
		}
		t = append(t, plot.Tick{Value: v, Label: strconv.FormatFloat(v, 'f', digits, 64)})
	}
	return t
}

// number prints a number for a legend.
func number(x float64) string { return fmt.Sprintf("%.4g", x) }

var levelLine = line(ochre, 1.6, nil)

// Curve draws a result over one variable. Where several designs share its value
// the band goes from their least to their largest result, the line through the
// means.
func (g Chart) Curve(x, z Column) Figure {
	type stat struct{ sum, n, lo, hi, links float64 }
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
		if g.Links != nil {
			s.links = g.Links[i]
		}
		s.sum, s.n, s.lo, s.hi = s.sum+z.X[i], s.n+1, math.Min(s.lo, z.X[i]), math.Max(s.hi, z.X[i])
	}
	slices.Sort(places)
	f := Figure{Name: "curve-" + z.Name, Title: g.Title, About: z.Words() + " up, over " + x.Words() + " across", Width: 22 * vg.Centimeter, Height: 13 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Tick.Marker, p.Y.Tick.Marker = rounded{}, rounded{}
		p.X.Label.Text, p.Y.Label.Text = x.Words(), z.Words()
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
		entries := []entry{{z.plain(), &curve, nil}}
		if spread {
			slices.Reverse(hi)
			p.Add(shape{append(lo, hi...), draw.LineStyle{}, pale})
			entries = []entry{{"mean of the designs there", &curve, nil}, {"least to largest", &band, nil}}
		}
		broken := false
		for from, i := 0, 1; i <= len(mean); i++ { // no line from one chain's length to another's
			if i < len(mean) && (spread || at[places[i]].links == at[places[i-1]].links) {
				continue
			}
			p.Add(shape{mean[from:i], curve, nil})
			broken, from = broken || i < len(mean), i
		}
		if broken {
			entries = append(entries, entry{"broken where the chain's length changes", nil, nil})
		}
		if len(mean) <= 60 {
			for _, m := range mean {
				p.Add(spot{m, dark, 1.6})
			}
		}
		for _, l := range g.Levels {
			p.Add(shape{[]r2.Vec{{X: p.X.Min, Y: l}, {X: p.X.Max, Y: l}}, levelLine, nil})
			entries = append(entries, entry{"level " + number(l), &levelLine, nil})
		}
		p.Draw(header(c, g.Title, fmt.Sprintf("%s over %s, %d designs", z.plain(), x.plain(), len(z.X)), entries))
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

// Front draws every design in two results, and the ones that no other beats, joined.
func (g Chart) Front(a, b Column, up [2]bool, front []int) Figure {
	f := Figure{Name: "front-" + a.Name + "-" + b.Name, Title: g.Title, About: "Every design by " + a.Words() + " across and " + b.Words() + " up; those that no other beats are joined", Width: 22 * vg.Centimeter, Height: 16 * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Tick.Marker, p.Y.Tick.Marker = rounded{}, rounded{}
		better := func(more bool) string {
			if more {
				return "more is better"
			}
			return "less is better"
		}
		p.X.Label.Text = fmt.Sprintf("%s (%s)", a.Words(), better(up[0]))
		p.Y.Label.Text = fmt.Sprintf("%s (%s)", b.Words(), better(up[1]))
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
