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
	f := show.NewFigure(c, b, doc)
	if err := walls(f, c, b, r); err != nil {
		return nil, err
	}
	var shifts []float64
	for s := -shadesReach; s <= shadesReach; s += shadesStep {
		shifts = append(shifts, s)
	}
	moved, err := c.ChancesAlong(shifts)
	if err != nil {
		return nil, err
	}
	for d := sim.Riding; d <= sim.Backwards; d++ {
		f.Ways = append(f.Ways, show.FigureWayOf(doc, r, d, shifts, moved))
	}
	return f, nil
}

// walls puts down where the largest ring cannot stand, and why.
func walls(f *show.Figure, c *cases.Case, b *sim.Bike, r *sim.Result) error {
	w, err := decide.FindWalls(c.Work(), b, r.Links)
	if err != nil {
		return err
	}
	hard := w.Along(nil, &decide.Usual)
	largest := len(b.Rings) - 1
	shift := b.Rings[largest].Line - b.FrontLine()
	whose := ""
	if largest > 0 {
		whose = fmt.Sprintf("for the %d-tooth chainring: ", b.Rings[largest].Teeth)
	}
	f.SetWalls(hard.From+shift, whose+say.TooClose(hard.FromBy), hard.To+shift, whose+say.TooClose(hard.ToBy))
	return nil
}
