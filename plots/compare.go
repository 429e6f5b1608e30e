package plots

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/plotter"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"chainpath/sim"
)

// SetUp is one of several bikes in a comparison.
type SetUp struct {
	Name   string
	Result *sim.Result
}

// setUpMarks tell set-ups apart by marker and dashes.
var setUpMarks = []struct {
	glyph  draw.GlyphDrawer
	color  color.Color
	dashes []vg.Length
}{
	{disc{}, ink, nil},
	{draw.SquareGlyph{}, teal, dashed},
	{draw.PyramidGlyph{}, ochre, dotdash},
	{draw.CrossGlyph{}, dark, dotted},
	{draw.PlusGlyph{}, mid, nil},
	{draw.TriangleGlyph{}, teal, nil},
}

// MaxSetUps is how many set-ups a comparison can tell apart: the ghost and one for each mark.
var MaxSetUps = len(setUpMarks) + 1

// Compare draws the top and bottom span's bend of up to MaxSetUps set-ups against the ratio of
// the gear. The first, which was before, stands behind the others as a ghost, and below is by
// how much the others' bends differ from its, in the gears that both have.
func Compare(title string, sets []SetUp) Figure {
	f := Figure{Name: "compare", Title: title, About: "Chain angle in degrees of top and bottom run over the gear's ratio. The first set-up is a ghost; below, how the others differ from it", Width: 25 * vg.Centimeter, Height: vg.Length(17+0.5*float64(len(sets))) * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		k := comparison{sets: sets}
		var entries []entry
		for i, s := range sets {
			l, g := k.style(i)
			entries = append(entries, entry{s.Name, &l, g})
		}
		body := header(c, title, "chain angle; below, how much it differs from "+sets[0].Name, entries)
		plots := [][]*plot.Plot{
			{
				k.panel("top run: onto the chainring riding, the cog back-pedalling", topBend),
				k.panel("bottom run: onto the pulley riding, the chainring back-pedalling", bottomBend),
			},
			{k.difference(topBend), k.difference(bottomBend)},
		}
		for i, row := range plot.Align(plots, draw.Tiles{Rows: 2, Cols: 2, PadX: vg.Points(14), PadY: vg.Points(6)}, body) {
			for j, cv := range row {
				plots[i][j].Draw(cv)
			}
		}
	}
	return f
}

func topBend(g *sim.Gear) float64    { return sim.Degrees(g.Top.Bend) }
func bottomBend(g *sim.Gear) float64 { return sim.Degrees(g.Bottom.Bend) }

// comparison draws panels of set-ups.
type comparison struct{ sets []SetUp }

// style is how a set-up is drawn: the first as a ghost, when there is another.
func (k comparison) style(i int) (draw.LineStyle, *draw.GlyphStyle) {
	if i == 0 && len(k.sets) > 1 {
		return line(mid, 2.6, dashed), nil
	}
	m := setUpMarks[max(0, i-1)]
	return line(m.color, 1.1, m.dashes), &draw.GlyphStyle{Color: m.color, Radius: vg.Points(2.8), Shape: m.glyph}
}

// axes returns a panel over all set-ups' ratios, with a grid.
func (k comparison) axes() *plot.Plot {
	p := plot.New()
	dress(p)
	grid := plotter.NewGrid()
	grid.Vertical.Color = nil
	grid.Horizontal = line(pale, 0.5, nil)
	p.Add(grid)
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, s := range k.sets {
		for i := range s.Result.Gears {
			r := s.Result.Gears[i].Ratio()
			lo, hi = math.Min(lo, r), math.Max(hi, r)
		}
	}
	pad := math.Max(0.1, (hi-lo)*0.04)
	p.X.Min, p.X.Max, p.X.Tick.Marker = lo-pad, hi+pad, halves{}
	return p
}

// add draws a set-up's value of every gear that has one, a line a ring.
func (k comparison) add(p *plot.Plot, i int, of func(g *sim.Gear) (float64, bool)) {
	l, glyph := k.style(i)
	runs := map[int]plotter.XYs{}
	gears := k.sets[i].Result.Gears
	for n := range gears {
		if v, ok := of(&gears[n]); ok && gears[n].Fit.Mounts() {
			runs[gears[n].Ring] = append(runs[gears[n].Ring], plotter.XY{X: gears[n].Ratio(), Y: v})
		}
	}
	for ring := range gears[len(gears)-1].Ring + 1 {
		p.Add(&plotter.Line{XYs: runs[ring], LineStyle: l})
		if glyph != nil {
			p.Add(&plotter.Scatter{XYs: runs[ring], GlyphStyle: *glyph})
		}
	}
}

// panel draws a bend of all set-ups.
func (k comparison) panel(name string, of func(g *sim.Gear) float64) *plot.Plot {
	p := k.axes()
	p.Title.Text, p.Y.Label.Text = name, "chain angle (°)"
	most := 1.0
	for i := range k.sets {
		k.add(p, i, func(g *sim.Gear) (float64, bool) {
			most = math.Max(most, of(g))
			return of(g), true
		})
	}
	p.Y.Min, p.Y.Max, p.Y.Tick.Marker = 0, math.Ceil(most*1.06*2)/2, every{1}
	return p
}

// difference draws by how much the bends differ from the first set-up's.
func (k comparison) difference(of func(g *sim.Gear) float64) *plot.Plot {
	p := k.axes()
	p.X.Label.Text, p.Y.Label.Text = "ratio, chainring teeth to cog teeth", "difference, °"
	first := map[[2]int]float64{}
	for i := range k.sets[0].Result.Gears {
		if g := &k.sets[0].Result.Gears[i]; g.Fit.Mounts() {
			first[[2]int{g.RingTeeth, g.CogTeeth}] = of(g)
		}
	}
	zero := line(mid, 1.2, nil)
	p.Add(shape{[]r2.Vec{{X: p.X.Min}, {X: p.X.Max}}, zero, nil})
	most := 0.5
	for i := 1; i < len(k.sets); i++ {
		k.add(p, i, func(g *sim.Gear) (float64, bool) {
			was, ok := first[[2]int{g.RingTeeth, g.CogTeeth}]
			if ok {
				most = math.Max(most, math.Abs(of(g)-was))
			}
			return of(g) - was, ok
		})
	}
	p.Y.Min, p.Y.Max, p.Y.Tick.Marker = -1.1*most, 1.1*most, rounded{}
	return p
}

// halves ticks a ratio axis every half.
type halves struct{}

// Ticks returns the ticks.
func (halves) Ticks(lo, hi float64) (t []plot.Tick) {
	for v := math.Ceil(lo*2) / 2; v <= hi; v += 0.5 {
		t = append(t, plot.Tick{Value: v, Label: fmt.Sprintf("%.1f", v)})
	}
	return t
}
