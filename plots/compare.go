package plots

import (
	"fmt"
	"image/color"
	"math"

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

// MaxSetUps is how many set-ups a comparison can tell apart.
var MaxSetUps = len(setUpMarks)

// Compare draws the top and bottom span's bend of up to MaxSetUps set-ups
// against the ratio of the gear.
func Compare(title string, sets []SetUp) Figure {
	f := Figure{Name: "compare", Width: 25 * vg.Centimeter, Height: vg.Length(12.5+0.5*float64(len(sets))) * vg.Centimeter}
	f.draw = func(c draw.Canvas) {
		top := 1.0
		var entries []entry
		for i, s := range sets {
			m := setUpMarks[i]
			l, g := line(m.color, 1.1, m.dashes), draw.GlyphStyle{Color: m.color, Radius: vg.Points(3), Shape: m.glyph}
			entries = append(entries, entry{s.Name, &l, &g})
			for k := range s.Result.Gears {
				g := &s.Result.Gears[k]
				if g.Fit.Mounts() {
					top = math.Max(top, sim.Degrees(math.Max(g.Top.Bend, g.Bottom.Bend)))
				}
			}
		}
		top = math.Ceil(top*1.06*2) / 2
		panel := func(name string, of func(g *sim.Gear) float64) *plot.Plot {
			p := plot.New()
			dress(p)
			p.Title.Text = name
			p.X.Label.Text, p.Y.Label.Text = "ratio, ring teeth to cog teeth", "bend, °"
			p.Y.Min, p.Y.Max, p.Y.Tick.Marker = 0, top, every{1}
			grid := plotter.NewGrid()
			grid.Vertical.Color = nil
			grid.Horizontal = line(pale, 0.5, nil)
			p.Add(grid)
			lo, hi := math.Inf(1), math.Inf(-1)
			for i, s := range sets {
				m := setUpMarks[i]
				runs := map[int]plotter.XYs{}
				for k := range s.Result.Gears {
					g := &s.Result.Gears[k]
					lo, hi = math.Min(lo, g.Ratio()), math.Max(hi, g.Ratio())
					if !g.Fit.Mounts() {
						continue
					}
					runs[g.Ring] = append(runs[g.Ring], plotter.XY{X: g.Ratio(), Y: sim.Degrees(of(g))})
				}
				for ring := range s.Result.Gears[len(s.Result.Gears)-1].Ring + 1 {
					p.Add(&plotter.Line{XYs: runs[ring], LineStyle: line(m.color, 1.1, m.dashes)},
						&plotter.Scatter{XYs: runs[ring], GlyphStyle: draw.GlyphStyle{Color: m.color, Radius: vg.Points(2.8), Shape: m.glyph}})
				}
			}
			pad := math.Max(0.1, (hi-lo)*0.04)
			p.X.Min, p.X.Max = lo-pad, hi+pad
			p.X.Tick.Marker = halves{}
			return p
		}
		plots := [][]*plot.Plot{{
			panel("top span (ring when riding, cog backwards)", func(g *sim.Gear) float64 { return g.Top.Bend }),
			panel("bottom span (pulley when riding, ring backwards)", func(g *sim.Gear) float64 { return g.Bottom.Bend }),
		}}
		body := header(c, title, "bend of the chain, level 1 (geometry)", entries)
		for j, cv := range plot.Align(plots, draw.Tiles{Rows: 1, Cols: 2, PadX: vg.Points(14)}, body)[0] {
			plots[0][j].Draw(cv)
		}
	}
	return f
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
