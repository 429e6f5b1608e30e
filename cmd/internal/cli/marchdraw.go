package cli

import (
	"fmt"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/march"
)

// attempt is a gear of a case of which trials are marched.
type attempt struct {
	c         *cases.Case
	load      *sim.Load
	ring, cog int
	way       sim.Direction
	set       march.Set // without what is drawn
	seed      uint64
	draws     *cases.Drawn // for one goroutine
}

// drawnGear is a trial's bicycle, its gear, and that made ready.
type drawnGear struct {
	bike  *sim.Bike
	gear  *sim.Gear
	march *march.Drive
}

// drawn makes a trial's gear ready. Errors wrap march.ErrCannot where what was drawn
// cannot be.
func (a *attempt) drawn(n uint64) (*drawnGear, error) {
	if a.draws == nil {
		d, err := a.c.Draws()
		if err != nil {
			return nil, err
		}
		a.draws = d
	}
	cannot := func(err error) error {
		return fmt.Errorf("%w: trial %d of seed %d: %w", march.ErrCannot, n, a.seed, err)
	}
	b, f, err := a.draws.Trial(a.seed, n, a.load)
	if err != nil {
		return nil, cannot(err)
	}
	g, err := b.Gear(a.ring, a.cog, a.draws.Links)
	if err != nil {
		return nil, cannot(err)
	}
	set := a.set
	set.Spread, set.Guard = f.Spread, f.Guard
	m, err := march.New(b, g, a.draws.Links, a.way, set)
	if err != nil {
		return nil, cannot(err)
	}
	return &drawnGear{b, g, m}, nil
}

// maker returns what makes trials ready on one goroutine.
func (a *attempt) maker() (march.Maker, error) {
	own := *a
	own.draws = nil
	return func(n uint64) (*march.Drive, error) {
		d, err := own.drawn(n)
		if err != nil {
			return nil, err
		}
		return d.march, nil
	}, nil
}
