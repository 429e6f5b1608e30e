package ask

import (
	"fmt"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/march"
)

// Attempt is a gear of a case of which trials are marched.
type Attempt struct {
	Case      *cases.Case
	Ring, Cog int // indices
	Way       sim.Direction
	Set       march.Set // without what is drawn
	Seed      uint64
	draws     *cases.Drawn // for one goroutine
}

// DrawnGear is a trial's bicycle, its gear, and that made ready.
type DrawnGear struct {
	Bike  *sim.Bike
	Gear  *sim.Gear
	March *march.Drive
}

// Drawn makes a trial's gear ready. Errors wrap march.ErrCannot where what was drawn
// cannot be.
func (a *Attempt) Drawn(n uint64) (*DrawnGear, error) {
	if a.draws == nil {
		d, err := a.Case.Draws()
		if err != nil {
			return nil, err
		}
		a.draws = d
	}
	cannot := func(err error) error {
		return fmt.Errorf("%w: trial %d of seed %d: %w", march.ErrCannot, n, a.Seed, err)
	}
	b, f, err := a.draws.Trial(a.Seed, n)
	if err != nil {
		return nil, cannot(err)
	}
	links, err := a.draws.Chain(b)
	if err != nil {
		return nil, cannot(err)
	}
	g, err := b.Gear(a.Ring, a.Cog, links)
	if err != nil {
		return nil, cannot(err)
	}
	set := a.Set
	set.Spread, set.Guard = f.Spread, f.Guard
	m, err := march.New(b, g, links, a.Way, set)
	if err != nil {
		return nil, cannot(err)
	}
	return &DrawnGear{b, g, m}, nil
}

// Maker returns what makes trials ready on one goroutine.
func (a *Attempt) Maker() (march.Maker, error) {
	own := *a
	own.draws = nil
	return func(n uint64) (*march.Drive, error) {
		d, err := own.Drawn(n)
		if err != nil {
			return nil, err
		}
		return d.March, nil
	}, nil
}
