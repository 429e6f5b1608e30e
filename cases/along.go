package cases

import (
	"math"
	"slices"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// How far the ring is moved in the search for a better place, mm either way, and in what
// steps.
const (
	alongReach = 10.0
	alongStep  = 1.0
)

// Walls returns what holds the chainring. Errors are *Error or come from package sim.
func (c *Case) Walls() (*decide.Walls, error) {
	b, links, err := c.chained()
	if err != nil {
		return nil, err
	}
	w, err := decide.FindWalls(c.Work(), b, links)
	return w, c.Explain(err)
}

// LinesAlong returns the front lines that are looked at, from inboard to outboard: whole millimetres from
// today's, since spacers and offsets come in such, and the walls.
func LinesAlong(w *decide.Walls) []float64 {
	lines := []float64{w.Front}
	walls := w.Along(nil, &decide.Usual)
	for _, x := range [...]float64{walls.From, walls.To} {
		if math.Abs(x-w.Front) <= alongReach && math.Abs(x-w.Front) > 1e-9 {
			lines = append(lines, x)
		}
	}
	for by := -alongReach; by <= alongReach; by += alongStep {
		x := w.Front + by
		if !slices.ContainsFunc(lines, func(y float64) bool { return math.Abs(x-y) < alongStep/4 }) {
			lines = append(lines, x)
		}
	}
	slices.Sort(lines)
	return lines
}

// Along finds the trouble along the front line, and the chances it is made of: at
// every step, today's line, and the walls. Errors are as of Chances, or wrap
// decide.ErrWeights.
func (c *Case) Along(w *decide.Walls, weights *decide.Weights) (*decide.Along, [][]sim.Chances, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, nil, err
	}
	share, err := c.Shares(b)
	if err != nil {
		return nil, nil, err
	}
	lines := LinesAlong(w)
	shifts := make([]float64, len(lines))
	for i, x := range lines {
		shifts[i] = x - w.Front
	}
	chances, err := c.ChancesAlong(shifts)
	if err != nil {
		return nil, nil, err
	}
	carried, err := c.Carried()
	if err != nil {
		return nil, nil, err
	}
	places := make([]decide.Place, len(lines))
	for i, x := range lines {
		t, err := decide.Expect(chances[i], share, weights, carried)
		if err != nil {
			return nil, nil, err
		}
		places[i] = decide.Place{Line: x, Trouble: t}
	}
	return w.Along(places, weights), chances, nil
}
