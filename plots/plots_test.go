package plots

import (
	"bytes"
	"encoding/xml"
	"html"
	"image/png"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/engage"
)

// input is an invented 1×12 with everything a figure can show.
func input(t *testing.T) Input {
	tooth := engage.Tooth{Tip: 1, Full: 1.6, Relief: 0.3}
	wheel := func(teeth int, line float64) sim.Wheel {
		return sim.Wheel{Sprocket: sim.Sprocket{Teeth: teeth, TipHeight: 2.3, Tooth: tooth}, Line: line}
	}
	b := &sim.Bike{
		Chain: sim.Chain{
			Chain: engage.Chain{Pitch: 12.7, InnerWidth: 2.18, OuterWidth: 4, PlateHalfHeight: 4, Bevel: 0.4, Slack: 0.0105, Stiffness: 1e4},
			Width: 5.2, Proud: 0.2, Pin: 3.66, Margin: 1,
		},
		Frame:     sim.Frame{Stay: 435, Drop: 58},
		Rings:     []sim.Wheel{wheel(34, 40), wheel(46, 47)},
		Cogs:      []sim.Wheel{wheel(11, 56), wheel(15, 48), wheel(21, 40), wheel(30, 32)},
		Tensioner: &sim.Tensioner{Guide: wheel(11, 0).Sprocket, Tension: wheel(11, 0).Sprocket, Cage: 90, Direction: 0.26, Gap: [2]float64{10, 6}, Folded: -1.3, Stretched: 1.3, Spring: 1200},
		Tyre:      &sim.Tyre{BeadSeat: 622, Section: 50, Width: 52, Mud: 6},
		Stay:      &sim.Stay{Face: 40, Radius: 95, Angle: 0.06, Flex: 1, Diameter: 18},
		Load:      sim.Load{Torque: 40000, FreehubDrag: 80},
	}
	r, err := b.Evaluate()
	require.NoError(t, err)
	return Input{Title: "Prüfstück ½ × α", Bike: b, Result: r, Answer: answered(b, r)}
}

// answered makes up an answer of a bike: chances that rise with the bend.
func answered(b *sim.Bike, r *sim.Result) *Answer {
	a := &Answer{Title: "Prüfstück ½ × α: something is likely", Second: "that is usual", From: 30, To: math.Inf(1), FromBy: "the stay", Quiet: 1.5, Climb: 3, Shapes: map[string]Shape{"noise": {Lines: [][][2]float64{{{-0.5, 0}, {0.5, 0}}}}}}
	for _, w := range b.Rings {
		a.Rings = append(a.Rings, AnswerRing{w.Teeth, w.Line})
	}
	for _, w := range b.Cogs {
		a.Cogs = append(a.Cogs, AnswerCog{w.Teeth, w.Line, w.TipRadius(b.Chain.Pitch)})
	}
	for _, name := range []string{"riding", "backwards"} {
		way := AnswerWay{Name: name, Note: "rubs next cog in 34/11"}
		for i := range r.Gears {
			g := &r.Gears[i]
			bend := sim.Degrees(g.Top.Bend)
			way.Mark = append(way.Mark, AnswerMark{g.Ring, g.Cog, g.Fit.Mounts(), bend, math.Min(1, bend/3), "noise", "noise", "50 %", [][2]float64{{0, 0}, {2, 0.05}, {3, 0.6}, {4, 0.99}}})
		}
		a.Ways = append(a.Ways, way)
	}
	return a
}

func TestFiguresRenderInEveryFormatAndTheSameTwice(t *testing.T) {
	in := input(t)
	names := map[string]bool{}
	for i, f := range Figures(in, 0, 7) {
		names[f.Name] = true
		again := Figures(in, 0, 7)[i]
		for _, format := range Formats {
			a, err := f.Render(format)
			require.NoError(t, err)
			b, err := again.Render(format)
			require.NoError(t, err)
			assert.True(t, bytes.Equal(a, b), "%s.%s differs on repeat", f.Name, format)
			switch format {
			case "svg":
				assert.NoError(t, wellFormed(a))
				assert.Contains(t, string(a), in.Title)
			case "png":
				img, err := png.Decode(bytes.NewReader(a))
				require.NoError(t, err)
				assert.Equal(t, int(f.Width.Dots(dpi)+0.5), img.Bounds().Dx())
			case "pdf":
				assert.True(t, bytes.HasPrefix(a, []byte("%PDF-")))
				assert.NotContains(t, string(a), "/FontFile", "letters are outlines")
			}
		}
	}
	assert.Equal(t, map[string]bool{"answer": true, "top": true, "side-34x11": true, "side-46x30": true}, names)
	_, err := in.Answer.Draw().Render("gif")
	assert.EqualError(t, err, `plots: no format "gif"`)
}

// What has no room beside a panel's name is left out with a sign that it is.
func TestALongNoteSaysThatItGoesOn(t *testing.T) {
	in := input(t)
	short, err := in.Answer.Draw().Render("svg")
	require.NoError(t, err)
	assert.NotContains(t, string(short), "…")
	in.Answer.Ways[0].Note = "rubs in " + strings.Repeat("34/11, ", 60) + "46/30"
	long, err := in.Answer.Draw().Render("svg")
	require.NoError(t, err)
	assert.Regexp(t, `34/11 …<`, string(long))
	assert.NotContains(t, string(long), "46/30<")
}

func TestWindowAndComparison(t *testing.T) {
	in := input(t)
	w, err := decide.FindWalls(t.Context(), in.Bike, in.Result.Links)
	require.NoError(t, err)
	w.Rooms = append(w.Rooms, decide.Room{Part: "tyre", None: true})
	at := func(line float64) decide.End { return decide.End{Line: line} }
	open := decide.End{Line: 60, Open: true}
	ranges := []decide.Range{
		{Concern: sim.NoiseRiding, Level: 0.1, Lo: at(43), Hi: at(46)}, {Concern: sim.NoiseRiding, Level: 0.5, Lo: at(41), Hi: at(49)},
		{Concern: sim.DropBackwards, Level: 0.1, Lo: at(40), Hi: open},
		{Concern: sim.RubsNextCog, Level: 0.1, None: true}, {Concern: sim.RubsNextCog, Level: 0.5, None: true}, {Concern: sim.RubsNextCog, Level: 0.9, Lo: at(40), Hi: at(50)},
		{Concern: sim.RubsNextRing, Level: 0.1, None: true}, {Concern: sim.RubsNextRing, Level: 0.5, Lo: open, Hi: at(50)},
	}
	rows := windowRows(w, ranges)
	require.Len(t, rows, len(w.Rooms)+4)
	for name, f := range map[string]Figure{
		"window": Window("a", in.Bike, w, ranges), "bare": Window("a", in.Bike, &decide.Walls{Front: 45, Rear: 44}, nil),
		"compare": Compare("a", []SetUp{{"before", in.Result}, {"after", in.Result}}),
	} {
		for _, format := range Formats {
			data, err := f.Render(format)
			require.NoError(t, err)
			assert.NotEmpty(t, data)
			if format != "svg" {
				continue
			}
			assert.NoError(t, wellFormed(data))
			if name == "window" {
				for _, r := range rows {
					assert.Contains(t, string(data), r.words)
				}
				assert.Contains(t, string(data), "nowhere below 50 %")
			}
		}
	}
}

func wellFormed(svg []byte) error {
	d := xml.NewDecoder(bytes.NewReader(svg))
	for {
		if _, err := d.Token(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

func TestEveryAxisHasItsUnit(t *testing.T) {
	in := input(t)
	for _, f := range Figures(in, 0) {
		svg, err := f.Render("svg")
		require.NoError(t, err)
		want := []string{"mm"}
		if f.Name == "answer" {
			want = []string{"chain angle of the top run (°)", "mm from the frame", "could go either way", "chainring 34", "shop&#39;s limit for noise", "rubs next cog in 34/11", "no room: the stay"}
		}
		for _, w := range want {
			assert.True(t, strings.Contains(string(svg), w), "%s lacks %q", f.Name, w)
		}
	}
}

func TestViewsAreTrueToScale(t *testing.T) {
	for _, b := range []box{{-500, 100, -20, 80}, {-50, 50, -300, 300}} {
		c := draw.New(vgimg.New(20*vg.Centimeter, 15*vg.Centimeter))
		p := plot.New()
		dress(p)
		p.X.Tick.Marker, p.Y.Tick.Marker = every{50}, every{50}
		scaled(p, c, b)
		d := p.DataCanvas(c)
		kx := float64(d.Max.X-d.Min.X) / (p.X.Max - p.X.Min)
		ky := float64(d.Max.Y-d.Min.Y) / (p.Y.Max - p.Y.Min)
		assert.InEpsilon(t, kx, ky, 1e-3)
		assert.LessOrEqual(t, p.X.Min, b.x0+0.5)
		assert.GreaterOrEqual(t, p.Y.Max, b.y1-0.5)
	}
}

func TestBendAxisHoldsEveryBend(t *testing.T) {
	in := input(t)
	l := in.Answer.layout()
	for _, w := range in.Answer.Ways {
		for _, m := range w.Mark {
			assert.Less(t, m.Bend, l.top)
		}
	}
	assert.GreaterOrEqual(t, l.top, 3.0)
	assert.Greater(t, l.base(0), l.base(1)+l.top, "panels do not overlap")
}

// Every SVG has a title and a description before anything else, and stays well formed.
func TestFiguresAreTold(t *testing.T) {
	in := input(t)
	for _, f := range Figures(in) {
		svg, err := f.Render("svg")
		require.NoError(t, err)
		assert.NoError(t, wellFormed(svg), f.Name)
		assert.NotEmpty(t, f.Title, f.Name)
		assert.Greater(t, len(f.About), 40, f.Name)
		assert.Contains(t, string(svg), "<title id=\"t\">"+html.EscapeString(f.Title)+"</title>\n<desc id=\"d\">"+html.EscapeString(f.About), f.Name)
	}
}
