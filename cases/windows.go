package cases

import (
	"math/rand/v2"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// Bounds of a guide pulley's float where a case does not say it, mm (assumption), and the
// random stream it is drawn from.
const (
	leastFloat  = 0.2
	mostFloat   = 1.0
	floatStream = 23
)

// IndexedGear is where the guide pulley may stand in a gear for the chain to run: 5, 50 and
// 95 % points, mm outboard of the cog. Where shifts put it Shifting tells.
type IndexedGear struct {
	Ring, Cog int
	From, To  judge.Size
	Binds     [2]sim.Binding // what ends it most often
	Off       float64        // what a bent hanger does in this gear, mm
}

// Windows computes where the guide pulley may stand in every gear, riding. Errors are *Error,
// wrap ErrSets, or come from package sim.
func (c *Case) Windows() ([]IndexedGear, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, err
	}
	if err := c.shiftable(b); err != nil {
		return nil, err
	}
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	d, err := c.Draws()
	if err != nil {
		return nil, err
	}
	sum := newWindowSums(b)
	var o sim.Odds
	var failed error
	for _, from := range sets {
		if err := c.Stopped(); err != nil {
			return nil, err
		}
		if err := sum.add(c, d, &o, from); err != nil {
			failed = err
		}
	}
	if len(sum.from[0]) < len(sets)/2 {
		return nil, c.Explain(failed)
	}
	return sum.gears(len(b.Cogs)), nil
}

// windowSums gathers what every set gives.
type windowSums struct {
	windows  []sim.IndexWindow
	from, to [][]float64 // by gear
	binds    [][2]map[sim.Binding]int
}

func newWindowSums(b *sim.Bike) *windowSums {
	n := len(b.Rings) * len(b.Cogs)
	s := &windowSums{windows: make([]sim.IndexWindow, n), from: make([][]float64, n), to: make([][]float64, n), binds: make([][2]map[sim.Binding]int, n)}
	for g := range s.binds {
		s.binds[g] = [2]map[sim.Binding]int{{}, {}}
	}
	return s
}

// add takes what one set gives.
func (s *windowSums) add(c *Case, d *Drawn, o *sim.Odds, from start) error {
	b, f, err := d.drawn(from)
	if err != nil {
		return err
	}
	links, err := d.Chain(b)
	if err != nil {
		return err
	}
	if !c.Tensioner.Float.Given {
		b.Tensioner.Float = leastFloat + (mostFloat-leastFloat)*rand.New(rand.NewPCG(from.seed, floatStream)).Float64()
	}
	if err := o.Index(s.windows, b, f, links); err != nil {
		return err
	}
	for g, w := range s.windows {
		s.from[g], s.to[g] = append(s.from[g], w.From), append(s.to[g], w.To)
		s.binds[g][0][w.Binds[0]]++
		s.binds[g][1][w.Binds[1]]++
	}
	return nil
}

// gears works the sums out.
func (s *windowSums) gears(cogs int) (out []IndexedGear) {
	for g := range s.windows {
		out = append(out, IndexedGear{Ring: g / cogs, Cog: g % cogs, From: judge.PointsOf(s.from[g]), To: judge.PointsOf(s.to[g]), Binds: [2]sim.Binding{mostOf(s.binds[g][0]), mostOf(s.binds[g][1])}, Off: s.windows[g].Off})
	}
	return out
}
