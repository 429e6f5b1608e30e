package cases

import (
	"fmt"
	"math"
	"slices"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// anchor is where a sweep's designs are judged from.
type anchor struct {
	x         []float64
	dimension []bool // by variable
}

// Chances returns the chances of every gear of the design of the last Bike call, with a
// chain of so many links; 0: the case's own, or what a mechanic would cut for each drawn
// bike. Designs that differ in dimensions alone are judged by the same drawn bikes, those of
// the sweep's own middle, so that a row does not depend on the rows before it.
func (d *Designer) Chances(links int) ([]sim.Chances, error) {
	x, b := slices.Clone(d.x), d.b
	v, err := d.versions(x, links)
	if err != nil {
		return nil, plain(err)
	}
	design := sim.Design{Bike: b, Links: links, Cut: links == 0 && d.c.Chain.Links == 0}
	if links == 0 {
		if design.Links, err = b.ChooseLinks(); err != nil {
			return nil, plain(err)
		}
	}
	gears, err := v.Means([]sim.Design{design})
	if err != nil {
		return nil, plain(err)
	}
	return gears[0], nil
}

// versions returns the drawn bikes that judge a design, with dimensions as the sweep's anchor has
// them, and leaves the case as it is in that.
func (d *Designer) versions(x []float64, links int) (*judge.Versions, error) {
	a := d.s.anchored()
	key := []float64{float64(links)} // and the values of what is not a dimension
	from := slices.Clone(x)
	for i := range x {
		if a.dimension[i] {
			from[i] = a.x[i]
		} else {
			key = append(key, x[i])
		}
	}
	if v := d.kept.get(key); v != nil {
		return v, nil
	}
	design := d.b
	v, err := d.prepared(from, design, links)
	if err != nil { // the anchor cannot be with these: the design itself can
		return d.prepared(x, design, links)
	}
	d.kept.put(key, v)
	return v, nil
}

// prepared draws the bikes of a design and comes back to the one at hand.
func (d *Designer) prepared(from []float64, design *sim.Bike, links int) (*judge.Versions, error) {
	back := slices.Clone(d.x)
	b, err := d.Bike(from)
	if err == nil && !b.Alike(design) {
		err = sim.ErrOther
	}
	var v *judge.Versions
	if err == nil {
		restore := d.chain(links)
		v, err = d.c.clone().prepare(true)
		restore()
	}
	if _, again := d.Bike(back); again != nil {
		return nil, again
	}
	return v, err
}

// anchored returns where the sweep's designs are judged from: the case's own dimensions where
// they lie among those that are varied, else the middle, and which variables are dimensions.
func (s *Sweep) anchored() *anchor {
	s.anchorOnce.Do(func() {
		a := &s.anchor
		n := len(s.Plan.Variables)
		a.x, a.dimension = make([]float64, n), make([]bool, n)
		ends := make([][2]float64, n)
		for i, v := range s.Plan.Variables {
			lo, hi := v.From, v.To
			if len(v.Values) > 0 {
				lo, hi = slices.Min(v.Values), slices.Max(v.Values)
			}
			ends[i] = [2]float64{lo, hi}
			a.x[i] = (lo + hi) / 2
			if own, err := s.base.Number(s.vars[i].path); err == nil && own >= lo && own <= hi {
				a.x[i] = own
			} else if s.vars[i].whole {
				a.x[i] = lo
			}
		}
		d := s.Designer()
		b, err := d.Bike(a.x)
		if err != nil {
			return
		}
		doubt, err := d.c.doubts()
		if err != nil {
			return
		}
		for i := range a.dimension {
			x := slices.Clone(a.x)
			x[i] = ends[i][0]
			if math.Abs(ends[i][1]-a.x[i]) > math.Abs(x[i]-a.x[i]) {
				x[i] = ends[i][1]
			}
			if c, err := d.Bike(x); err == nil && !s.vars[i].whole && b.Alike(c) {
				other, err := d.c.doubts()
				a.dimension[i] = err == nil && other == doubt
			}
		}
	})
	return &s.anchor
}

// doubts names everything of a case that is drawn, with its doubt.
func (c *Case) doubts() (string, error) {
	d, err := c.Draws()
	if err != nil {
		return "", err
	}
	text := fmt.Sprint(d.front, d.rear, d.free, d.fixed)
	for _, in := range d.inputs {
		text += fmt.Sprint(in.Name, in.U, in.Dist)
	}
	return text, nil
}
