package cases

import (
	"context"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// Settled is a case whose bikes are drawn, so that what becomes of it when its dimensions are moved is judged
// without drawing them again. For one goroutine.
type Settled struct {
	Case   *Case
	Bike   *sim.Bike
	design sim.Design
	v      *judge.Versions
	doubt  string // of what was drawn
}

// Settle draws the case's bikes. Errors are as of Chances.
func (c *Case) Settle() (*Settled, error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	doubt, err := c.doubts()
	return &Settled{c, v.Base, v.Own(), v, doubt}, err
}

// Foresee returns chances with the sizes beside them, of every gear.
func (s *Settled) Foresee() ([]judge.Foreseen, error) { return s.v.Foresee(s.design) }

// ByBendAlong returns the chances of every gear that go by the bend of a run, with the rings moved outboard by each of
// the shifts, mm; the others are -1.
func (s *Settled) ByBendAlong(shifts []float64) ([][]sim.Chances, error) {
	return s.v.MeansByBend(judge.Along(s.design, shifts))
}

// Moved returns the case with a field set as of Set, worked on within a context. Where it differs from by in a dimension
// alone, and not in what is drawn, it is judged by the bikes drawn of that, within 0.005 of its own; else it draws its
// own. Errors are as of Set and Chances.
func (s *Settled) Moved(ctx context.Context, path, text string, by *Settled) (*Settled, error) {
	c, err := s.Case.edited(path, text)
	if err != nil {
		return nil, err
	}
	if err := c.checked(); err != nil {
		return nil, err
	}
	if err := c.derive(); err != nil {
		return nil, err
	}
	c = c.Within(ctx)
	doubt, err := c.doubts()
	if err != nil {
		return nil, err
	}
	b, links, err := c.chained()
	if err != nil {
		return nil, err
	}
	if doubt != by.doubt || !by.Bike.Alike(b) || (c.Learned == nil) != (by.Case.Learned == nil) {
		return c.Settle()
	}
	by.v.Stopped, by.v.Explain = c.Stopped, c.Explain
	return &Settled{c, b, sim.Design{Bike: b, Links: links, Cut: c.Chain.Links == 0}, by.v, doubt}, nil
}

// Same reports whether both are judged by the same drawn bikes.
func (s *Settled) Same(as *Settled) bool { return s.v == as.v }
