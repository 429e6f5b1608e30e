package ask

import (
	"fmt"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// How far the rings are moved for the shades of the one figure, mm either way, and in what
// steps.
const (
	shadesReach = 26.0
	shadesStep  = 2.0
)

// Figure works out the one figure of a bicycle; doc has its chances already.
func Figure(c *cases.Case, b *sim.Bike, r *sim.Result, doc *show.Gears) (*show.Figure, error) {
	s, err := c.Settle()
	if err != nil {
		return nil, err
	}
	g, err := GroundOf(s, r)
	if err != nil {
		return nil, err
	}
	return g.Figure(c, b, r, doc), nil
}

// Ground is what stands behind the marks of the one figure, and stays where it is while the rings are moved: where they
// cannot stand, and how chances go with their place.
type Ground struct {
	hard   *decide.Along
	whose  string
	shifts []float64 // of the rings, mm
	moved  [][]sim.Chances
}

// GroundOf works it out.
func GroundOf(s *cases.Settled, r *sim.Result) (*Ground, error) {
	b := s.Bike
	w, err := decide.FindWalls(s.Case.Work(), b, r.Links)
	if err != nil {
		return nil, err
	}
	g := &Ground{hard: w.Along(nil, &decide.Usual)}
	if largest := len(b.Rings) - 1; largest > 0 {
		g.whose = fmt.Sprintf("for the %d-tooth chainring: ", b.Rings[largest].Teeth)
	}
	for s := -shadesReach; s <= shadesReach; s += shadesStep {
		g.shifts = append(g.shifts, s)
	}
	g.moved, err = s.ByBendAlong(g.shifts)
	return g, err
}

// Moved returns it for rings that were moved outboard, mm.
func (g *Ground) Moved(by float64) *Ground {
	m := *g
	m.shifts = make([]float64, len(g.shifts))
	for i, s := range g.shifts {
		m.shifts[i] = s - by
	}
	return &m
}

// Figure draws it up with a bicycle's marks; doc has its chances already.
func (g *Ground) Figure(c *cases.Case, b *sim.Bike, r *sim.Result, doc *show.Gears) *show.Figure {
	f := show.NewFigure(c, b, doc)
	shift := b.Rings[len(b.Rings)-1].Line - b.FrontLine()
	f.SetWalls(g.hard.From+shift, g.whose+say.TooClose(g.hard.FromBy), g.hard.To+shift, g.whose+say.TooClose(g.hard.ToBy))
	for d := sim.Riding; d <= sim.Backwards; d++ {
		f.Ways = append(f.Ways, show.FigureWayOf(doc, r, d, g.shifts, g.moved))
	}
	return f
}
