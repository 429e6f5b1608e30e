// Package judge tells the chances of a bike: means over versions of it, of which each has other
// values for what is not known. Who draws the versions, and from what, it does not know.
package judge

import (
	"runtime"
	"sync/atomic"

	"chainpath/sim"
	"chainpath/sim/await"
)

// versionParts is how many parts the drawn bikes are dealt into, to be judged beside each other.
// Sums are made in the order of the parts, so that they are the same on any number of cores.
const versionParts = 4

// Source is where versions come from.
type Source struct {
	Base  *sim.Bike // without doubt
	Links int       // of its chain
	Sets  int       // how many versions there are
	// Drawer makes what draws versions, for one goroutine.
	Drawer func() (Drawer, error)
	// Spare is by how much a cage that is not known is longer than the least that takes up a version's
	// chain, mm; 0: it is known.
	Spare float64
	// Shift puts what was learned of the bike into a version's chances of all gears of so many rings; nil:
	// nothing was.
	Shift func(set int, gears []sim.Chances, rings int)
	// Explain names the field behind an error of package sim; Stopped tells that the work was given up.
	Explain func(error) error
	Stopped func() error
	Alone   bool // one core is used
}

// Drawer draws versions; it is for one goroutine.
type Drawer interface {
	// Draw returns the version of a set. Errors say why it cannot be.
	Draw(set int) (Version, error)
	// CageWithin returns how far the length of the cage may be off, mm either way.
	CageWithin() float64
}

// Version is a drawn bike with what was drawn.
type Version struct {
	sim.Version
	Lines [2]float64 // means of rings and of cogs, mm
	Read  []float64  // the readings
}

// MeanLine returns the mean line of wheels, mm.
func MeanLine(w []sim.Wheel) float64 {
	sum := 0.0
	for i := range w {
		sum += w[i].Line
	}
	return sum / float64(len(w))
}

// Versions are drawn bikes, prepared so that designs are judged fast. They are for one goroutine,
// but use all cores themselves.
type Versions struct {
	Source
	Parts [versionParts]Part
	draws []Draw // without chances
}

// Part is some of the versions, with their sets; Of counts what it has judged.
type Part struct {
	sets []int
	Of   *sim.Prepared
}

// Prepare draws the versions. Errors are those of the source.
func Prepare(s Source) (*Versions, error) {
	v := &Versions{Source: s, draws: make([]Draw, s.Sets)}
	return v, v.each(func(d Drawer, i int) {
		p := &v.Parts[i]
		var list []sim.Version
		from, to := i*s.Sets/versionParts, (i+1)*s.Sets/versionParts
		if s.Alone {
			from, to = 0, s.Sets
		}
		for k := from; k < to && s.Stopped() == nil; k++ {
			x, err := d.Draw(k)
			if v.draws[k].Err = err; err != nil {
				continue
			}
			v.draws[k].Lines, v.draws[k].Read = x.Lines, x.Read
			p.sets, list = append(p.sets, k), append(list, x.Version)
		}
		p.Of = sim.Prepare(s.Base, s.Links, d.CageWithin(), list)
		p.Of.Spare = s.Spare
	})
}

// Each does something for every number below n, on all cores, until it is stopped; start makes what a
// goroutine does it with. Errors are those of start, and that it was stopped.
func Each(n int, stopped func() error, start func() (func(k int), error)) error {
	var next atomic.Int64
	var wg await.Group
	for range min(n, runtime.GOMAXPROCS(0)) {
		do, err := start()
		if err != nil {
			wg.Wait()
			return err
		}
		wg.Go(func() {
			for k := int(next.Add(1)) - 1; k < n && stopped() == nil; k = int(next.Add(1)) - 1 {
				do(k)
			}
		})
	}
	wg.Wait()
	return stopped()
}

// each does something for every part, beside each other.
func (v *Versions) each(do func(d Drawer, part int)) error {
	if v.Alone { // all sets in the first part
		d, err := v.Drawer()
		if err != nil {
			return err
		}
		do(d, 0)
		return v.Stopped()
	}
	return Each(versionParts, v.Stopped, func() (func(i int), error) {
		d, err := v.Drawer()
		return func(i int) { do(d, i) }, err
	})
}

// Own returns the bike without doubt as a design.
func (v *Versions) Own() sim.Design { return sim.Design{Bike: v.Base, Links: v.Links} }

// Along returns the bike without doubt with its rings moved.
func (v *Versions) Along(shifts []float64) []sim.Design { return Along(v.Own(), shifts) }

// Along returns a design with its rings moved outboard by each of the shifts, mm, and each
// version's chain as it is.
func Along(d sim.Design, shifts []float64) []sim.Design {
	out := make([]sim.Design, len(shifts))
	for i, s := range shifts {
		b := *d.Bike
		b.Rings = append([]sim.Wheel(nil), b.Rings...)
		for j := range b.Rings {
			b.Rings[j].Line += s
		}
		out[i] = sim.Design{Bike: &b, Links: d.Links, Cut: d.Cut}
	}
	return out
}

// Judge judges every design by every set, beside each other by parts; visit is called with one
// part's sets in their order.
func (v *Versions) Judge(designs []sim.Design, sizes bool, visit func(part, design, set int, chances []sim.Chances, sizes []sim.Sizes, err error)) error {
	var failed [versionParts]error
	run := func(i int) {
		p := &v.Parts[i]
		p.Of.Sizes = sizes
		for n, d := range designs {
			if failed[i] = v.Stopped(); failed[i] != nil {
				return
			}
			if failed[i] = p.Of.Gears(d, func(k int, c []sim.Chances, s []sim.Sizes, err error) {
				if err == nil && v.Shift != nil {
					v.Shift(p.sets[k], c, len(d.Bike.Rings))
				}
				visit(v.partOf(p.sets[k]), n, p.sets[k], c, s, err)
			}); failed[i] != nil {
				return
			}
		}
	}
	if v.Alone {
		run(0)
	} else if len(designs) == 1 {
		for i := range v.Parts {
			run(i)
		}
	} else if err := Each(versionParts, v.Stopped, func() (func(i int), error) { return run, nil }); err != nil {
		return err
	}
	for _, err := range failed {
		if err != nil {
			return v.Explain(err)
		}
	}
	return nil
}

// partOf returns the part that a set is summed in, whatever part judges it.
func (v *Versions) partOf(set int) int {
	return min(((set+1)*versionParts-1)/len(v.draws), versionParts-1)
}
