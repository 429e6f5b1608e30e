package plots

import (
	"fmt"
	"image/color"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Answer is the one figure of a bike: cogs and chainring at their places on one axis, and over each
// cog the chain angle of the top run with the chance of a fault.
type Answer struct {
	Title  string // the answer in words
	Second string // the bicycle, and whether that is usual
	Rings  []AnswerRing
	Cogs   []AnswerCog
	Ways   []AnswerWay // riding, backwards
	// From, To are the hard walls of the front line, mm, with what stands there; infinite
	// where there is none.
	From, To     float64
	FromBy, ToBy string
	Quiet, Climb float64          // the shop's own limits, degrees; 0: none
	Shapes       map[string]Shape // of the marks, by their names
	Low          bool             // it is drawn low, so that the cluster below takes more of it
}

// Shape is lines through points of a square from -1 to 1, the second number down; filled: the areas that they
// go round.
type Shape struct {
	Lines  [][][2]float64
	Filled bool
}

// AnswerRing is a ring at its place, mm outboard of the frame's middle plane.
type AnswerRing struct {
	Teeth int
	Line  float64
}

// AnswerCog is a cog at its place, with its tips' radius, mm.
type AnswerCog struct {
	Teeth        int
	Line, Radius float64
}

// AnswerWay is one direction: what is looked at, and what else is to be said of it.
type AnswerWay struct {
	Name string
	Note string
	Mark []AnswerMark
}

// AnswerMark is a gear: its bend, degrees, what it is marked by, and how the chance of faults by the bend goes
// with it were the ring elsewhere.
type AnswerMark struct {
	Ring, Cog int // indices
	Fits      bool
	Bend      float64
	Chance    float64      // of what it is marked by
	Mark      string       // that, as a name among the shapes
	Words     string       // what people call it; "" for nothing
	Text      string       // the chance as people read it, beside a mark that is not quiet
	Curve     [][2]float64 // bend, chance; bends rise
}

// Draw draws the figure.
func (a *Answer) Draw() Figure {
	f := Figure{Name: "answer", Title: a.Title, About: "Across: millimetres from the frame centreline, seen from behind, outboard to the right, with cogs and chainrings at their places. Up: chain angle of the top run in degrees, a panel for each direction. Shaded: chain angles at which a fault is unlikely, could go either way, is probable.", Width: 25 * vg.Centimeter, Height: 18.5 * vg.Centimeter}
	if len(a.Cogs) == 1 {
		f.Width, f.Height = 19*vg.Centimeter, 13.5*vg.Centimeter
	}
	f.draw = func(c draw.Canvas) {
		p := plot.New()
		dress(p)
		p.X.Label.Text = "mm from the frame centreline, seen from behind, outboard to the right"
		p.Y.Label.Text = "chain angle of the top run (°)"
		p.X.Min, p.X.Max = a.span()
		l := a.layout()
		p.Y.Min, p.Y.Max = -l.strip, l.base(0)+l.top+l.gap/2
		p.Y.Tick.Marker, p.X.Tick.Marker = l.ticks(len(a.Ways)), every{5}
		p.Add(answerPanels{a, l}, answerStrip{a, l})
		p.Draw(a.header(c))
	}
	return f
}

// answerLayout is where the panels stand on one axis: each from its base up to its top, the
// first one uppermost, and the cluster below zero.
type answerLayout struct {
	top, gap, strip float64
	ways            int
}

func (l answerLayout) base(way int) float64 { return float64(l.ways-1-way) * (l.top + l.gap) }

func (l answerLayout) ticks(ways int) (t plot.ConstantTicks) {
	for w := range ways {
		for v := 0.0; v <= l.top; v++ {
			t = append(t, plot.Tick{Value: l.base(w) + v, Label: fmt.Sprintf("%.0f", v)})
		}
	}
	return t
}

func (a *Answer) layout() answerLayout {
	top := 3.0
	for _, w := range a.Ways {
		for _, m := range w.Mark {
			top = math.Max(top, math.Ceil(m.Bend+0.4))
		}
	}
	top = math.Max(top, math.Ceil(math.Max(a.Quiet, a.Climb)))
	top = math.Min(top, 9)
	l := answerLayout{top: top, gap: 0.28 * top, strip: 0.62 * top, ways: len(a.Ways)}
	if a.Low {
		l.strip = 1.1 * top
	}
	return l
}

func (a *Answer) span() (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, c := range a.Cogs {
		lo, hi = math.Min(lo, c.Line), math.Max(hi, c.Line)
	}
	for _, r := range a.Rings {
		lo, hi = math.Min(lo, r.Line), math.Max(hi, r.Line)
	}
	const shown = 10 // of a wall that is farther away nothing is drawn, mm
	if a.From > lo-shown {
		lo = math.Min(lo, a.From-2)
	}
	if a.To < hi+shown {
		hi = math.Max(hi, a.To+2)
	}
	if len(a.Rings) > 1 { // names stand there
		hi += 3
	}
	return lo - 4, hi + 4
}

var (
	answerV    = line(dark, 1, nil)
	answerFoot = line(ochre, 1.4, dashed)
	shopQuiet  = line(mid, 1, dotted)
	shopClimb  = line(mid, 1.6, dotdash)
)

// groundShades are the greys behind the marks, at which chain angles a fault is unlikely, could go either way, is
// probable: paler than any mark.
var (
	groundShades = [3]color.Color{color.Gray{Y: 0xf6}, color.Gray{Y: 0xee}, color.Gray{Y: 0xe4}}
	grounds      = [3]draw.LineStyle{line(groundShades[0], 9, nil), line(groundShades[1], 9, nil), line(groundShades[2], 9, nil)}
)

// faultMark marks a gear: a small open dot where nothing is expected; else the shape of its worst fault in a disc,
// thin and grey where that is unlikely, in a ring of the accent where it could go either way, on a disc of it where it is
// probable.
type faultMark struct {
	step int
	of   Shape
}

// DrawGlyph draws it.
func (m faultMark) DrawGlyph(c *draw.Canvas, s draw.GlyphStyle, p vg.Point) {
	disc := func(r vg.Length, in color.Color) {
		c.SetColor(in)
		c.Fill(circlePath(p, r))
	}
	paper, r, in := chanceShades[0], s.Radius, color.Color(dark)
	switch m.step {
	case 0:
		disc(r*0.55, ink)
		disc(r*0.55-vg.Points(0.9), paper)
		return
	case 1:
		disc(r, mid)
		disc(r-vg.Points(0.7), paper)
	case 2:
		disc(r, accent)
		disc(r-vg.Points(1.5), paper)
		in = accent
	default:
		disc(r, accent)
		in = paper
	}
	for _, l := range m.of.Lines {
		var pts []vg.Point
		for _, q := range l {
			pts = append(pts, vg.Point{X: p.X + vg.Length(q[0])*r*0.92, Y: p.Y - vg.Length(q[1])*r*0.92})
		}
		if m.of.Filled {
			c.FillPolygon(in, pts)
		} else {
			c.StrokeLines(line(in, 1.2, nil), pts)
		}
	}
}

// faultStyle is a mark of a chance's step.
func faultStyle(step int, of Shape) draw.GlyphStyle {
	return draw.GlyphStyle{Color: ink, Radius: vg.Points(6), Shape: faultMark{step, of}}
}

// header writes the answer, wrapped, the second line and the legend.
func (a *Answer) header(c draw.Canvas) draw.Canvas {
	pad := vg.Points(10)
	c = draw.Crop(c, pad, -pad, pad, -pad)
	y := c.Max.Y
	for i, text := range append(fitted(a.Title, 12, c.Max.X-c.Min.X), fitted(a.Second, 9, c.Max.X-c.Min.X)...) {
		size := 12.0
		if i >= len(fitted(a.Title, 12, c.Max.X-c.Min.X)) {
			size = 9
		}
		write(c, size, draw.XLeft, draw.YTop, vg.Point{X: c.Min.X, Y: y}, text)
		y -= vg.Points(size * 1.4)
	}
	var e []entry
	mark := func(words string, step int, of string) {
		s := faultStyle(step, a.Shapes[of])
		e = append(e, entry{words, nil, &s})
	}
	mark("no fault expected", 0, "")
	mark("unlikely", 1, "")
	mark("could go either way", 2, "")
	mark("probable", 3, "")
	for _, w := range a.Ways {
		for _, m := range w.Mark {
			if m.Words != "" && !slices.ContainsFunc(e, func(x entry) bool { return x.text == m.Words }) {
				mark(m.Words, 1, m.Mark)
			}
		}
	}
	e = append(e, []entry{
		{"chain angles at which it is unlikely", &grounds[0], nil}, {"could go either way", &grounds[1], nil}, {"probable", &grounds[2], nil},
		{"chainring today", &answerFoot, nil},
	}...)
	if a.Quiet > 0 {
		e = append(e, entry{"shop's limit for noise", &shopQuiet, nil})
	}
	if a.Climb > 0 {
		e = append(e, entry{"shop's limit for drops", &shopClimb, nil})
	}
	y = legend(c, y-vg.Points(10), e)
	return draw.Crop(c, 0, 0, 0, y-vg.Points(10)-c.Max.Y)
}

// fitted breaks a text into lines of at most a width.
func fitted(s string, size float64, width vg.Length) (lines []string) {
	st, now := style(size, ink), ""
	for _, w := range strings.Fields(s) {
		next := strings.TrimSpace(now + " " + w)
		if now != "" && st.Width(next) > width {
			lines, now = append(lines, now), w
			continue
		}
		now = next
	}
	if now != "" {
		lines = append(lines, now)
	}
	return lines
}

// answerPanels draws a panel for each direction.
type answerPanels struct {
	*Answer
	l answerLayout
}

// Plot draws them.
func (a answerPanels) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	for w := range a.Ways {
		way, base := &a.Ways[w], a.l.base(w)
		for v := 0.0; v <= a.l.top; v++ {
			c.StrokeLine2(line(pale, 0.5, nil), c.Min.X, ty(base+v), c.Max.X, ty(base+v))
		}
		for i := range way.Mark {
			a.column(c, tx, ty, base, &way.Mark[i])
		}
		for _, r := range a.Rings {
			c.StrokeLine2(answerFoot, tx(r.Line), ty(base), tx(r.Line), ty(base+a.l.top))
		}
		for _, own := range []struct {
			at    float64
			style draw.LineStyle
		}{{a.Quiet, shopQuiet}, {a.Climb, shopClimb}} {
			if own.at > 0 && own.at < a.l.top {
				c.StrokeLine2(own.style, c.Min.X, ty(base+own.at), c.Max.X, ty(base+own.at))
			}
		}
		for ring := range a.Rings {
			var pts []vg.Point
			for _, m := range way.Mark {
				if m.Ring == ring && m.Fits {
					pts = append(pts, vg.Point{X: tx(a.Cogs[m.Cog].Line), Y: ty(base + math.Min(m.Bend, a.l.top))})
				}
			}
			c.StrokeLines(line(chanceShades[0], 2.6, nil), pts)
			c.StrokeLines(answerV, pts)
		}
		for i := range way.Mark {
			right := a.mark(c, tx, ty, base, &way.Mark[i])
			if m := &way.Mark[i]; len(a.Rings) > 1 && m.Fits && m.Cog == a.outmost() { // each line has its chainring's name
				write(c, 8, draw.XLeft, draw.YCenter, vg.Point{X: right + vg.Points(2), Y: ty(base + math.Min(m.Bend, a.l.top))}, fmt.Sprintf("chainring %d", a.Rings[m.Ring].Teeth))
			}
		}
		at := vg.Point{X: c.Min.X + vg.Points(4), Y: ty(base+a.l.top) + vg.Points(3)}
		write(c, 9.5, draw.XLeft, draw.YBottom, at, way.Name)
		if lines := fitted(way.Note, 8, c.Max.X-c.Min.X-vg.Points(150)); len(lines) > 0 {
			text := lines[0]
			if len(lines) > 1 { // the rest stands in the table
				text = strings.TrimRight(text, ",;") + " …"
			}
			write(c, 8, draw.XRight, draw.YBottom, vg.Point{X: c.Max.X, Y: at.Y}, text)
		}
	}
}

// half is half the width of a cog's column, mm.
func (a *Answer) half() float64 {
	if len(a.Cogs) < 2 {
		return 1.4
	}
	return 0.42 * math.Abs(a.Cogs[0].Line-a.Cogs[len(a.Cogs)-1].Line) / float64(len(a.Cogs)-1)
}

// column shades over a cog at which bends trouble is how likely; of several rings each has
// its part of the column.
func (a answerPanels) column(c draw.Canvas, tx, ty func(float64) vg.Length, base float64, m *AnswerMark) {
	wide := 2 * a.half() / float64(len(a.Rings))
	left := a.Cogs[m.Cog].Line - a.half() + wide*float64(m.Ring)
	fill := func(from, to float64, k int) {
		from, to = math.Max(from, 0), math.Min(to, a.l.top)
		if k == 0 || from >= to {
			return
		}
		x, y, e, f := tx(left), tx(left+wide), ty(base+from), ty(base+to)
		c.FillPolygon(groundShades[k-1], []vg.Point{{X: x, Y: e}, {X: y, Y: e}, {X: y, Y: f}, {X: x, Y: f}})
	}
	from, step := 0.0, 0
	to := func(at float64, k int) { // what is alike is one piece
		if k != step {
			fill(from, at, step)
			from, step = at, k
		}
	}
	for i := 1; i < len(m.Curve); i++ {
		p, q := m.Curve[i-1], m.Curve[i]
		to(p[0], chanceStep(p[1]))
		if p[1] > q[1] {
			continue
		}
		for _, s := range chanceSteps { // where the chance passes a step between two bends
			if p[1] < s && q[1] >= s {
				to(p[0]+(q[0]-p[0])*(s-p[1])/(q[1]-p[1]), chanceStep(s))
			}
		}
	}
	fill(from, a.l.top, step)
}

// outmost returns the cog that is farthest outboard.
func (a *Answer) outmost() (at int) {
	for i, c := range a.Cogs {
		if c.Line > a.Cogs[at].Line {
			at = i
		}
	}
	return at
}

// mark draws a gear's mark, by its shape, and the chance beside it where there is one, and returns where that ends to
// the right.
func (a answerPanels) mark(c draw.Canvas, tx, ty func(float64) vg.Length, base float64, m *AnswerMark) (right vg.Length) {
	at := vg.Point{X: tx(a.Cogs[m.Cog].Line), Y: ty(base + math.Min(m.Bend, a.l.top))}
	k := chanceStep(m.Chance)
	c.DrawGlyph(draw.GlyphStyle{Color: chanceShades[0], Radius: vg.Points(7), Shape: disc{}}, at)
	c.DrawGlyph(faultStyle(k, a.Shapes[m.Mark]), at)
	right = at.X + vg.Points(8)
	if text := m.Text; k > 0 && text != "" {
		st := style(7.5, ink)
		w, h := st.Width(text)+vg.Points(3), vg.Points(5)
		x := at.X - vg.Points(8) - w
		if a.Cogs[m.Cog].Line > a.Rings[m.Ring].Line {
			x = at.X + vg.Points(8)
			right = x + w
		}
		c.FillPolygon(chanceShades[0], []vg.Point{{X: x, Y: at.Y - h}, {X: x + w, Y: at.Y - h}, {X: x + w, Y: at.Y + h}, {X: x, Y: at.Y + h}})
		write(c, 8, draw.XLeft, draw.YCenter, vg.Point{X: x + vg.Points(1.5), Y: at.Y}, text)
	}
	return right
}

// answerStrip draws the cassette from behind, the rings, and where there is no room.
type answerStrip struct {
	*Answer
	l answerLayout
}

// noRoom says whom there is no room for and why.
func noRoom(by string) string {
	if strings.HasPrefix(by, "for ") {
		return "no room " + by
	}
	return "no room: " + by
}

// Plot draws it.
func (a answerStrip) Plot(c draw.Canvas, p *plot.Plot) {
	tx, ty := p.Transforms(&c)
	most := 0.0
	for _, g := range a.Cogs {
		most = math.Max(most, g.Radius)
	}
	names, tall := -0.60*a.l.strip, 0.44*a.l.strip
	for _, g := range a.Cogs {
		x, h := tx(g.Line), tall*g.Radius/most
		c.StrokeLine2(line(mid, 4, nil), x, ty(names+0.1*a.l.strip), x, ty(names+0.1*a.l.strip+h))
		write(c, 8.5, draw.XCenter, draw.YCenter, vg.Point{X: x, Y: ty(names)}, fmt.Sprint(g.Teeth))
	}
	floor := -0.84 * a.l.strip
	c.StrokeLine2(line(dark, 0.8, nil), c.Min.X, ty(floor), c.Max.X, ty(floor))
	hatch := func(from, to vg.Length, by string, align draw.XAlignment) {
		low, high := ty(floor)-vg.Points(5), ty(floor)+vg.Points(5)
		for x := from; x < to; x += vg.Points(5) {
			c.StrokeLine2(wallLine, x, low, min(x+vg.Points(10), to), high)
		}
		at := from
		if align == draw.XRight {
			at = to
		}
		write(c, 8, align, draw.YBottom, vg.Point{X: at, Y: high + vg.Points(1)}, noRoom(by))
	}
	if !math.IsInf(a.From, 0) && tx(a.From) > c.Min.X {
		hatch(c.Min.X, tx(a.From), a.FromBy, draw.XLeft)
	}
	if !math.IsInf(a.To, 0) && tx(a.To) < c.Max.X {
		hatch(tx(a.To), c.Max.X, a.ToBy, draw.XRight)
	}
	named := "chainring %d, %.1f mm"
	for i := 1; i < len(a.Rings); i++ { // beside each other
		if st := style(8, ink); tx(a.Rings[i-1].Line)+vg.Points(10)+st.Width(fmt.Sprintf(named, 88, 88.8)) > tx(a.Rings[i].Line) {
			named = "%d teeth, %.1f mm"
		}
	}
	for _, r := range a.Rings {
		x, y, d := tx(r.Line), ty(floor), vg.Points(6)
		c.StrokeLine2(answerFoot, x, y, x, ty(0))
		c.FillPolygon(ochre, []vg.Point{{X: x - d, Y: y}, {X: x, Y: y + d}, {X: x + d, Y: y}, {X: x, Y: y - d}})
		text := fmt.Sprintf(named, r.Teeth, r.Line)
		side, by := draw.XLeft, vg.Points(8)
		if st := style(8, ink); x+by+st.Width(text) > c.Max.X {
			side, by = draw.XRight, -by
		}
		write(c, 8, side, draw.YTop, vg.Point{X: x + by, Y: y - vg.Points(2)}, text)
	}
}
