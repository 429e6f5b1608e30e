package engine

import (
	"context"
	"fmt"
	"math"
	"slices"

	vec "gonum.org/v1/gonum/spatial/r3"

	"chainpath/cmd/internal/exchange"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

// space is a gear in space as export writes it, mm: x forward, y to the drive side, z up.
type space struct {
	Ring   int          `json:"ring"`
	Cog    int          `json:"cog"`
	Words  string       `json:"words"` // what it shows, for those who do not see it
	Links  int          `json:"links"`
	Steps  int          `json:"steps"` // points of the run to a pitch
	Run    []float64    `json:"run"`   // x, y, z of each; pin k is point k times steps, link k is behind it
	Outer  mesh         `json:"outer"` // of even k
	Inner  mesh         `json:"inner"`
	Wheels []spaceWheel `json:"wheels"`
	Cage   *mesh        `json:"cage"`
	Tyre   *mesh        `json:"tyre"` // what of it the chain passes
	Stay   *mesh        `json:"stay"`
	Cut    spaceCut     `json:"cut"`
}

// mesh is a solid: x, y, z of its points, and their numbers by threes.
type mesh struct {
	Points    []float64 `json:"points"`
	Triangles []int     `json:"triangles"`
}

// spaceWheel is a toothed wheel: tooth k is kind k modulo their number, turned by k teeth.
type spaceWheel struct {
	Part   string     `json:"part"`
	Teeth  int        `json:"teeth"`
	At     [3]float64 `json:"at"`
	Tip    float64    `json:"tip"`   // radius
	Thick  float64    `json:"thick"` // of its teeth
	Drives bool       `json:"drives"`
	Turned float64    `json:"turned"` // from x towards z, rad
	Rate   float64    `json:"rate"`   // that it turns on with a pitch of chain, rad
	Kinds  []mesh     `json:"kinds"`
}

// spaceCut is what a cut across an arriving link shows, mm.
type spaceCut struct {
	Inner  float64      `json:"inner_mm"` // between inner plates
	Outer  float64      `json:"outer_mm"` // between outer plates
	Over   float64      `json:"over_mm"`  // over the outer plates
	Height float64      `json:"height_mm"`
	Ways   []spaceEntry `json:"ways"` // riding, back-pedalling; none where the chain does not go round
}

// spaceEntry is how links arrive at ring or cog in a direction.
type spaceEntry struct {
	At        string  `json:"at"`
	Direction string  `json:"direction"`
	Bend      float64 `json:"bend_deg"`
	Offset    float64 `json:"offset_mm"` // of an inner link as a tooth tip reaches it, outboard positive
	Seated    float64 `json:"seated_mm"` // how far the tooth stands into a seated link
	Tip       float64 `json:"tip_mm"`    // the tooth's thickness there, and in full
	Full      float64 `json:"full_mm"`
	Relief    float64 `json:"relief_mm"` // below the tip, where it is full
	From      float64 `json:"from"`      // where links meet the wheel, pitches from pin 0
	Words     string  `json:"words"`
}

// space shows one gear in space.
func (a *answer) space(ctx context.Context, q *request) error {
	c, b, r, err := a.evaluated(ctx, q)
	if err != nil {
		return err
	}
	doc, err := show.FromResult(c, b, r, nil)
	if err != nil {
		return err
	}
	if a.Space = spaceOf(b, r, &doc, q.Ring, q.Cog); a.Space == nil {
		return fmt.Errorf("request: no gear %d/%d", q.Ring, q.Cog)
	}
	return nil
}

// spaceOf is a gear by its teeth; nil where there is none.
func spaceOf(b *sim.Bike, r *sim.Result, doc *show.Gears, ring, cog int) *space {
	for i := range r.Gears {
		if g := &r.Gears[i]; g.RingTeeth == ring && g.CogTeeth == cog {
			return spaceOfGear(b, r, g, &doc.Gears[i])
		}
	}
	return nil
}

func spaceOfGear(b *sim.Bike, r *sim.Result, g *sim.Gear, told *show.Gear) *space {
	sc := exchange.SceneOf(b, g, r.Links)
	s := &space{
		Ring: g.RingTeeth, Cog: g.CogTeeth, Links: sc.Run.Links, Steps: exchange.Steps, Run: flat(sc.Run.Points),
		Outer: *meshOf(&sc.Outer), Inner: *meshOf(&sc.Inner), Cage: meshOf(sc.Cage), Tyre: meshOf(near(sc.Tyre, sc.Axle)), Stay: meshOf(sc.Stay),
		Cut: spaceCut{Inner: r3(b.Chain.InnerWidth), Outer: r3(b.Chain.OuterWidth), Over: r3(b.Chain.Width - 2*b.Chain.Proud), Height: r3(2 * b.Chain.PlateHalfHeight), Ways: []spaceEntry{}},
	}
	for _, w := range sc.Wheels {
		x := spaceWheel{Part: w.Part.String(), Teeth: w.Sprocket.Teeth, At: [3]float64{r3(w.At.X), r3(w.At.Y), r3(w.At.Z)}, Tip: r3(w.TipRadius(b.Chain.Pitch)), Thick: w.Thickness(), Drives: w.Drives, Turned: w.Turned, Rate: w.Rate}
		for k := range w.Kinds {
			x.Kinds = append(x.Kinds, *meshOf(&w.Kinds[k]))
		}
		s.Wheels = append(s.Wheels, x)
	}
	if g.Fit.Mounts() {
		for d, at := range [2]sim.Part{sim.AtRing, sim.AtCog} {
			if e := entryOf(b, g, told, sim.Direction(d), at, &sc.Run); e != nil {
				s.Cut.Ways = append(s.Cut.Ways, *e)
			}
		}
	}
	s.Words = told.Space()
	return s
}

// entryOf is how links arrive at a wheel along the top run, as the document tells it; nil where it
// does not.
func entryOf(b *sim.Bike, g *sim.Gear, told *show.Gear, d sim.Direction, at sim.Part, run *exchange.Run) *spaceEntry {
	// Riding, links come to the ring from the wheel before it; back-pedalling to the cog from the one behind it.
	path, list, w := g.Loop.Path(), told.Riding, b.Rings[g.Ring].Sprocket
	from := path[slices.Index(path, sim.AtRing)-1]
	if d == sim.Backwards {
		list, w, from = told.Backwards, b.Cogs[g.Cog].Sprocket, path[1]
	}
	p := b.Chain.Pitch
	for _, x := range list {
		if x.At != at.String() {
			continue
		}
		t, off := w.Tooth, g.Loop.Line[from]-g.Loop.Line[at]
		side := ""
		if off > 0 {
			side = "outboard"
		} else if off < 0 {
			side = "inboard"
		}
		return &spaceEntry{
			At: x.At, Direction: d.String(), Bend: x.Bend, Offset: math.Copysign(x.Offset, off), Seated: r3(w.TipRadius(p) - w.PitchRadius(p) + b.Chain.PlateHalfHeight),
			Tip: t.Tip, Full: t.Full, From: run.Seats[at][d], Relief: r3((t.Full - t.Tip) / 2 / math.Tan(t.Relief)), Words: say.CutWords(at.Name(), say.Way(d), fmt.Sprintf("%.2f", x.Offset), side),
		}
	}
	return nil
}

// tyreFrom and tyreTo are between which angles seen from the axle the tyre is shown, forward and up
// from straight ahead, rad: where the chain passes it.
const tyreFrom, tyreTo = -0.16, 0.36

// near is a tyre where the chain passes it: of the same points those that are needed.
func near(tyre *exchange.Solid, axle vec.Vec) *exchange.Solid {
	if tyre == nil {
		return nil
	}
	var out exchange.Solid
	number := map[int]int{}
	shown := func(k int) bool {
		a := math.Atan2(tyre.Points[k].Z-axle.Z, tyre.Points[k].X-axle.X)
		return a >= tyreFrom && a <= tyreTo
	}
	for _, t := range tyre.Triangles {
		if !shown(t[0]) || !shown(t[1]) || !shown(t[2]) {
			continue
		}
		for i, k := range t {
			if _, known := number[k]; !known {
				number[k] = len(out.Points)
				out.Points = append(out.Points, tyre.Points[k])
			}
			t[i] = number[k]
		}
		out.Triangles = append(out.Triangles, t)
	}
	return &out
}

func meshOf(s *exchange.Solid) *mesh {
	if s == nil {
		return nil
	}
	m := &mesh{Points: flat(s.Points)}
	for _, t := range s.Triangles {
		m.Triangles = append(m.Triangles, t[:]...)
	}
	return m
}

func flat(points []vec.Vec) []float64 {
	out := make([]float64, 0, 3*len(points))
	for _, p := range points {
		out = append(out, r3(p.X), r3(p.Y), r3(p.Z))
	}
	return out
}
