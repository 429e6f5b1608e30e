package show

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// Figure is what the one figure of a bicycle shows: cogs and rings at their places, the hard
// walls of the front line, and for each direction every gear's bend with how likely trouble is.
type Figure struct {
	Words  string       `json:"words"`
	Second string       `json:"second"`
	Rings  []FigureRing `json:"rings"`
	Cogs   []FigureCog  `json:"cogs"`
	Ways   []FigureWay  `json:"ways"`
	// Glyphs are the marks' shapes, by their names.
	Glyphs map[sim.Mark]Glyph `json:"glyphs"`
	// From and To are the walls of the largest ring's line; null where there is none.
	From   *float64 `json:"from_mm"`
	FromBy string   `json:"from_by"`
	To     *float64 `json:"to_mm"`
	ToBy   string   `json:"to_by"`
	Quiet  float64  `json:"quiet_limit_deg"` // the shop's own; 0: none
	Climb  float64  `json:"climb_limit_deg"`
}

// FigureRing is a ring at its place outboard of the frame's middle plane.
type FigureRing struct {
	Teeth int     `json:"teeth"`
	Line  float64 `json:"line_mm"`
}

// FigureCog is a cog at its place.
type FigureCog struct {
	Teeth  int     `json:"teeth"`
	Line   float64 `json:"line_mm"`
	Radius float64 `json:"tip_radius_mm"`
}

// FigureWay is one direction: what is looked at, and what else is to be said of it.
type FigureWay struct {
	Direction string       `json:"direction"`
	Name      string       `json:"name"`
	Note      string       `json:"note"`
	Also      string       `json:"also"` // the note as a sentence
	Marks     []FigureMark `json:"marks"`
}

// FigureMark is a gear: the top run's bend, the fault that goes by it, and how its chance
// goes with the bend were the ring elsewhere on its side of the cog; bends rise. Rest is the worst of the faults that do not
// go by the bend; a gear that does not fit has that alone, and no bend.
type FigureMark struct {
	RingTeeth int          `json:"ring_teeth"`
	CogTeeth  int          `json:"cog_teeth"`
	Length    float64      `json:"top_mm"`
	Bend      float64      `json:"bend_deg"`
	Fits      bool         `json:"fits"`
	Chance    float64      `json:"chance"`
	By        Worst        `json:"by"`
	Rest      Worst        `json:"rest"`
	Curve     [][2]float64 `json:"curve"`
}

// NewFigure returns a figure's words, rings and cogs; doc has its chances already.
func NewFigure(c *cases.Case, b *sim.Bike, doc *Gears) *Figure {
	f := &Figure{Words: c.Title, Glyphs: Glyphs, Quiet: c.Limits.Quiet.Value, Climb: c.Limits.Climb.Value}
	if x := doc.Answer; x != nil {
		f.Words, f.Second = x.Headline(), c.Title
		if x.Usual != nil {
			f.Second += ". " + x.Usual.Words
		}
	}
	for _, w := range b.Rings {
		f.Rings = append(f.Rings, FigureRing{w.Teeth, round(w.Line)})
	}
	for _, w := range b.Cogs {
		f.Cogs = append(f.Cogs, FigureCog{w.Teeth, round(w.Line), round(w.TipRadius(b.Chain.Pitch))})
	}
	return f
}

// SetWalls puts down where the largest ring cannot stand, mm, and why; infinite: no wall.
func (f *Figure) SetWalls(from float64, fromBy string, to float64, toBy string) {
	if !math.IsInf(from, 0) {
		x := round(from)
		f.From, f.FromBy = &x, fromBy
	}
	if !math.IsInf(to, 0) {
		x := round(to)
		f.To, f.ToBy = &x, toBy
	}
}

// wayNames say what the figure looks at in each direction.
var wayNames = [2]string{"Riding, or both ways", "Back-pedalling"}

// FigureWayOf returns a direction's part: the gears' chances as the document has them, and with
// the rings moved by each of the shifts, mm.
func FigureWayOf(doc *Gears, r *sim.Result, d sim.Direction, shifts []float64, moved [][]sim.Chances) FigureWay {
	way := FigureWay{Direction: d.String(), Name: wayNames[d], Note: restWords(doc, d), Marks: []FigureMark{}}
	way.Also = say.Also(d, way.Note)
	for i := range r.Gears {
		g := &r.Gears[i]
		m := FigureMark{RingTeeth: g.RingTeeth, CogTeeth: g.CogTeeth, Fits: g.Fit.Mounts(), Curve: [][2]float64{}}
		chance := doc.Gears[i].Chance
		m.Rest = worstOf(chance, d, func(h *sim.Hazard) bool { return !h.ByBend })
		if m.Fits {
			m.Length, m.Bend = round(runOf(g, d).Length), round(sim.Degrees(runOf(g, d).Bend))
			m.Chance, m.Curve = told(chance, d), curveOf(g, d, shifts, moved, i)
			m.By = worstOf(chance, d, func(h *sim.Hazard) bool { return h.ByBend })
		} else if d == sim.Riding && m.Rest.Words == "" { // by the nominal dimensions alone
			m.Rest = Worst{sim.UnfitMark, sim.Hazards[sim.DoesNotClose].Words, say.FromEither}
		}
		way.Marks = append(way.Marks, m)
	}
	return way
}

// Worst returns what a gear is marked by: of the two the higher level, of one level the fault that goes by the
// bend.
func (m *FigureMark) Worst() Worst {
	if say.LevelOf(m.Rest.Chance) > say.LevelOf(m.By.Chance) {
		return m.Rest
	}
	return m.By
}

// told is the document's chance of the trouble that goes by the bend.
func told(chance map[string]*float64, d sim.Direction) (most float64) {
	for k := range sim.Hazards {
		if p := chance[sim.Hazards[k].Code]; p != nil && goesByBend(k, d) {
			most = math.Max(most, *p)
		}
	}
	return most
}

// byBend is the chance of the trouble that goes by the top run's bend.
func byBend(c *sim.Chances, d sim.Direction) float64 {
	most := -1.0
	for k, p := range c {
		if goesByBend(k, d) {
			most = math.Max(most, p)
		}
	}
	return most
}

// goesByBend reports whether a concern is one of a direction that goes by the bend.
func goesByBend(k int, d sim.Direction) bool {
	return sim.Hazards[k].ByBend && sim.Hazards[k].Ways[d]
}

// runOf is the run that trouble of a direction goes by: onto the ring, or onto the cog.
func runOf(g *sim.Gear, d sim.Direction) sim.Span {
	if d == sim.Backwards {
		return g.Top
	}
	return g.OnRing()
}

// curveOf is how a gear's chance goes with its bend, the ring moved on the side of the cog on
// which it stands.
func curveOf(g *sim.Gear, d sim.Direction, shifts []float64, all [][]sim.Chances, i int) [][2]float64 {
	curve := [][2]float64{}
	run := runOf(g, d)
	if d == sim.Backwards && g.Loop.Idled { // moving the ring moves nothing of the run from idler to cog
		return curve
	}
	side := run.Across
	for k, s := range shifts {
		across := side + s
		if across*side < 0 || byBend(&all[k][i], d) < 0 {
			continue
		}
		curve = append(curve, [2]float64{round(sim.Degrees(math.Atan(math.Abs(across) / run.Length))), share(byBend(&all[k][i], d))})
	}
	sort.Slice(curve, func(a, b int) bool { return curve[a][0] < curve[b][0] })
	return curve
}

// restWords says what else is likely or cannot be told in a direction, which no bend shows.
func restWords(doc *Gears, d sim.Direction) string {
	gears := map[string][]string{}
	var order []string
	for i := range doc.Gears {
		g := &doc.Gears[i]
		for _, v := range g.Verdicts {
			if p := g.Chance[v.Code]; v.Direction != d.String() || d == sim.Backwards && hazardOf(v.Code).Ways[sim.Riding] || hazardOf(v.Code).ByBend || p == nil || *p < say.FromEither {
				continue
			}
			words := hazardOf(v.Code).Words
			if gears[words] == nil {
				order = append(order, words)
			}
			gears[words] = append(gears[words], fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth))
		}
	}
	for i, words := range order {
		order[i] = words + " in " + say.And(gears[words])
	}
	return strings.Join(order, ", ")
}
