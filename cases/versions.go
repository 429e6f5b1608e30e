package cases

import (
	"math"
	"slices"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// Prepare draws the case's bikes. Errors are as of Chances.
func (c *Case) Prepare() (*judge.Versions, error) { return c.prepare(false) }

// prepare does so on one core, or on all.
func (c *Case) prepare(alone bool) (*judge.Versions, error) {
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	b, links, err := c.chained()
	if err != nil {
		return nil, err
	}
	s := judge.Source{
		Base: b, Links: links, Sets: len(sets), Explain: c.Explain, Stopped: c.Stopped, Alone: alone,
		Drawer: func() (judge.Drawer, error) {
			d, err := c.Draws()
			return versionDrawer{d, sets}, err
		},
		Shift: func(set int, gears []sim.Chances, rings int) { sets[set].shift(gears, rings) },
	}
	if c.derived.cage > 0 {
		s.Spare = cageSpare
	}
	return judge.Prepare(s)
}

// versionDrawer draws the versions of a case from where its sets start.
type versionDrawer struct {
	d    *Drawn
	sets []start
}

// Draw returns the version of a set.
func (w versionDrawer) Draw(set int) (judge.Version, error) {
	x, err := w.d.version(w.sets[set])
	if err != nil {
		return judge.Version{}, err
	}
	return judge.Version{Version: x, Lines: [2]float64{judge.MeanLine(x.Bike.Rings), judge.MeanLine(x.Bike.Cogs)}, Read: slices.Clone(w.d.x)}, nil
}

// CageWithin returns how far the length of the cage may be off, mm either way.
func (w versionDrawer) CageWithin() float64 { return w.d.within("tensioner.cage") }

// version returns the bike of a set.
func (d *Drawn) version(from start) (x sim.Version, err error) {
	if x.Bike, x.Free, x.Links, err = d.begin(from); err == nil && d.c.Chain.Links == 0 && x.Bike.Tensioner != nil {
		x.Need, err = x.Bike.Need()
	}
	return x, err
}

// within returns how far a reading, or what stands for it, may be off either way.
func (d *Drawn) within(path string) float64 {
	for i, in := range d.inputs {
		if in.Name == path && !d.fixed[i] {
			return math.Sqrt(3) * in.U
		}
	}
	return 0
}
