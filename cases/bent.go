package cases

import (
	"chainpath/sim"
	"chainpath/sim/judge"
)

// BendsAt returns those bends for every arrival of every gear, in the order of
// sim.Gear.Arrivals, none of a gear that the chain does not go round. Errors are as of
// Chances.
func (c *Case) BendsAt() ([][]judge.BendAt, error) {
	b, links, err := c.chained()
	if err != nil {
		return nil, err
	}
	all, err := c.bentBySet()
	if err != nil {
		return nil, err
	}
	out := make([][]judge.BendAt, len(b.Rings)*len(b.Cogs))
	var o sim.Odds
	for g := range out {
		arrivals, err := o.Bent(b, &sim.Free{}, g/len(b.Cogs), g%len(b.Cogs), links, nil)
		if err != nil {
			return nil, c.Explain(err)
		}
		for i := range arrivals {
			out[g] = append(out[g], judge.BendAtOf(all, g, i, &arrivals[i]))
		}
	}
	return out, nil
}

// bentBySet returns what every set's arrivals would do from no bend on to the greatest, by
// gear; nil of a set that cannot be.
func (c *Case) bentBySet() ([][][]sim.Bent, error) {
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	bends := judge.Bends()
	all := make([][][]sim.Bent, len(sets))
	return all, c.eachOf(len(sets), func(d *Drawn) func(k int) {
		o := new(sim.Odds)
		return func(k int) {
			if bent, err := d.bent(o, sets[k], bends); err == nil {
				sets[k].shiftBends(bent, len(c.Front.Rings))
				all[k] = bent
			}
		}
	})
}

// bent returns what one draw's arrivals would do at the bends, by gear.
func (d *Drawn) bent(o *sim.Odds, from start, bends []float64) ([][]sim.Bent, error) {
	b, f, links, err := d.begin(from)
	if err != nil {
		return nil, err
	}
	out := make([][]sim.Bent, len(b.Rings)*len(b.Cogs))
	for g := range out {
		if out[g], err = o.Bent(b, f, g/len(b.Cogs), g%len(b.Cogs), links, bends); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// begin returns a bike drawn from where a set starts, with its set and chain.
func (d *Drawn) begin(from start) (*sim.Bike, *sim.Free, int, error) {
	b, f, err := d.drawn(from)
	if err != nil {
		return nil, nil, 0, err
	}
	links, err := d.Chain(b)
	return b, f, links, err
}
