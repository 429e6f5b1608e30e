package cases

import (
	"fmt"
	"math"
	"slices"

	"chainpath/sim"
)

// versionParts is how many parts the drawn bikes of a case are dealt into, to be judged beside
// each other. Sums are made in the order of the parts, so that they are the same on any number
// of cores.
const versionParts = 4

// Versions are the bikes that a case's sets draw, prepared so that designs of it are judged
// fast. They are for one goroutine, but use all cores themselves.
type Versions struct {
	c     *Case
	base  *sim.Bike
	links int
	sets  []start
	parts [versionParts]versionPart
	lines [][2]float64 // of every set, means of rings and cogs as drawn, mm
	read  [][]float64  // of every set, the readings as drawn
	errs  []error      // of every set, why it cannot be
	alone bool         // one core is used
}

type versionPart struct {
	sets []int
	of   *sim.Prepared
}

// Prepare draws the case's bikes. Errors are as of Chances.
func (c *Case) Prepare() (*Versions, error) { return c.prepare(false) }

func (c *Case) prepare(alone bool) (*Versions, error) {
	sets, err := c.starts()
	if err != nil {
		return nil, err
	}
	v := &Versions{c: c, sets: sets, lines: make([][2]float64, len(sets)), read: make([][]float64, len(sets)), errs: make([]error, len(sets)), alone: alone}
	if v.base, v.links, err = c.chained(); err != nil {
		return nil, err
	}
	return v, v.each(func(d *Drawn, i int) {
		p := &v.parts[i]
		var list []sim.Version
		from, to := i*len(sets)/versionParts, (i+1)*len(sets)/versionParts
		if alone {
			from, to = 0, len(sets)
		}
		for k := from; k < to && c.Stopped() == nil; k++ {
			x, err := d.version(sets[k])
			if v.errs[k] = err; err != nil {
				continue
			}
			v.lines[k], v.read[k] = [2]float64{meanLine(x.Bike.Rings), meanLine(x.Bike.Cogs)}, slices.Clone(d.x)
			p.sets, list = append(p.sets, k), append(list, x)
		}
		p.of = sim.Prepare(v.base, v.links, d.within("tensioner.cage"), list)
		if v.c.derived.cage > 0 {
			p.of.Spare = cageSpare
		}
	})
}

// each does something for every part, beside each other.
func (v *Versions) each(do func(d *Drawn, part int)) error {
	if v.alone { // all sets in the first part
		d, err := v.c.Draws()
		if err != nil {
			return err
		}
		do(d, 0)
		return v.c.Stopped()
	}
	return v.c.eachOf(versionParts, func(d *Drawn) func(i int) { return func(i int) { do(d, i) } })
}

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

// along returns the designs with the rings moved outboard by each of the shifts, mm, and each
// drawn bike's chain as it is.
func (v *Versions) along(shifts []float64) []sim.Design {
	out := make([]sim.Design, len(shifts))
	for i, s := range shifts {
		b := *v.base
		b.Rings = append([]sim.Wheel(nil), v.base.Rings...)
		for j := range b.Rings {
			b.Rings[j].Line += s
		}
		out[i] = sim.Design{Bike: &b, Links: v.links}
	}
	return out
}

// judge judges every design by every set, beside each other by parts; visit is called with one
// part's sets in their order.
func (v *Versions) judge(designs []sim.Design, sizes bool, visit func(part, design, set int, chances []sim.Chances, sizes []sim.Sizes, err error)) error {
	var failed [versionParts]error
	run := func(i int) {
		p := &v.parts[i]
		p.of.Sizes = sizes
		for n, d := range designs {
			if failed[i] = v.c.Stopped(); failed[i] != nil {
				return
			}
			if failed[i] = p.of.Gears(d, func(k int, c []sim.Chances, s []sim.Sizes, err error) {
				if err == nil {
					v.sets[p.sets[k]].shift(c, len(d.Bike.Rings))
				}
				visit(v.partOf(p.sets[k]), n, p.sets[k], c, s, err)
			}); failed[i] != nil {
				return
			}
		}
	}
	if v.alone {
		run(0)
	} else if len(designs) == 1 {
		for i := range v.parts {
			run(i)
		}
	} else if err := v.each(func(_ *Drawn, i int) { run(i) }); err != nil {
		return err
	}
	for _, err := range failed {
		if err != nil {
			return v.c.Explain(err)
		}
	}
	return nil
}

// partOf returns the part that a set is summed in, whatever part judges it.
func (v *Versions) partOf(set int) int {
	return min(((set+1)*versionParts-1)/len(v.errs), versionParts-1)
}

// partSum is what one part gives of a design.
type partSum struct {
	chances []sim.Chances
	made    int
	failed  error
}

// Means returns the mean chances of designs over the sets, by gear. A draw may take a
// dimension past what can be; where half of them do, that is an error.
func (v *Versions) Means(designs []sim.Design) ([][]sim.Chances, error) {
	sums := make([][versionParts]partSum, len(designs))
	n := len(v.base.Rings) * len(v.base.Cogs)
	all := make([]sim.Chances, n*versionParts*len(designs))
	for i := range sums {
		for j := range sums[i] {
			sums[i][j].chances, all = all[:n], all[n:]
		}
	}
	err := v.judge(designs, false, func(part, design, _ int, chances []sim.Chances, _ []sim.Sizes, err error) {
		s := &sums[design][part]
		if err != nil {
			s.failed = err
			return
		}
		s.add(chances)
	})
	if err != nil {
		return nil, err
	}
	out := make([][]sim.Chances, len(designs))
	for i := range sums {
		if out[i], err = v.mean(sums[i][:]); err != nil {
			return nil, err
		}
		if err := v.onlyMounted(out[i], &designs[i]); err != nil {
			return nil, err
		}
	}
	return out, nil
}

func (s *partSum) add(chances []sim.Chances) {
	s.made++
	for g := range chances {
		for k, p := range chances[g] {
			s.chances[g][k] += p
		}
	}
}

// mean puts the parts of a design together, into the first.
func (v *Versions) mean(parts []partSum) ([]sim.Chances, error) {
	out, made := parts[0].chances, parts[0].made
	failed := parts[0].failed
	for i := 1; i < len(parts); i++ {
		made += parts[i].made
		if parts[i].failed != nil {
			failed = parts[i].failed
		}
		for g := range out {
			for k := range out[g] {
				out[g][k] += parts[i].chances[g][k]
			}
		}
	}
	if err := v.enough(made, failed); err != nil {
		return nil, err
	}
	for g := range out {
		for k, sum := range out[g] {
			out[g][k] = settled(sim.Concern(k), sum/float64(made))
		}
	}
	return out, nil
}

// enough says why too few of the sets can be.
func (v *Versions) enough(made int, failed error) error {
	if made > 0 && made >= len(v.errs)/2 {
		return nil
	}
	for _, err := range v.errs {
		if failed == nil {
			failed = err
		}
	}
	return v.c.Explain(fmt.Errorf("%d of %d draws cannot be: %w", len(v.errs)-made, len(v.errs), failed))
}

// onlyMounted leaves a gear that the design's chain is too short for no chance but that.
func (v *Versions) onlyMounted(gears []sim.Chances, d *sim.Design) error {
	mounts, err := mounted(v.c, d.Bike, d.Links)
	if err != nil {
		return err
	}
	for g := range gears {
		for k := range gears[g] {
			if !mounts[g] && sim.Concern(k) != sim.DoesNotClose {
				gears[g][k] = -1
			}
		}
	}
	return nil
}

// foresee returns chances and sizes of the case as it is.
func (v *Versions) foresee() ([]Foreseen, error) {
	designs := []sim.Design{{Bike: v.base, Links: v.links}}
	n := len(v.base.Rings) * len(v.base.Cogs)
	parts := make([]partSum, versionParts)
	for i := range parts {
		parts[i].chances = make([]sim.Chances, n)
	}
	sizes := make([][sim.NumConcerns][]float64, n)
	all := make([]float64, n*sim.NumConcerns*len(v.errs))
	for g := range sizes {
		for k := range sizes[g] {
			sizes[g][k], all = all[:0:len(v.errs)], all[len(v.errs):]
		}
	}
	err := v.judge(designs, true, func(part, _, _ int, chances []sim.Chances, s []sim.Sizes, err error) {
		if err != nil {
			parts[part].failed = err
			return
		}
		parts[part].add(chances)
		for g := range s {
			for k, x := range s[g] {
				sizes[g][k] = append(sizes[g][k], x)
			}
		}
	})
	if err != nil {
		return nil, err
	}
	mean, err := v.mean(parts)
	if err != nil {
		return nil, err
	}
	if err := v.onlyMounted(mean, &designs[0]); err != nil {
		return nil, err
	}
	out := make([]Foreseen, n)
	for g := range out {
		out[g].Chances = mean[g]
		for k := range sizes[g] {
			out[g].Sizes[k] = points(sizes[g][k])
		}
	}
	return out, nil
}

// bySet returns what every set gives of every design.
func (v *Versions) bySet(designs []sim.Design) ([]drawn, error) {
	out := make([]drawn, len(v.errs))
	for k := range out {
		out[k] = drawn{chances: make([][]sim.Chances, len(designs)), lines: v.lines[k], read: v.read[k], err: v.errs[k]}
	}
	err := v.judge(designs, false, func(_, design, set int, chances []sim.Chances, _ []sim.Sizes, err error) {
		if err != nil {
			out[set].err = err
			return
		}
		out[set].chances[design] = append([]sim.Chances(nil), chances...)
	})
	if err != nil {
		return nil, err
	}
	made := 0
	var failed error
	for k := range out {
		if d := &out[k]; d.err == nil {
			made++
		} else {
			d.chances, failed = nil, d.err
		}
	}
	return out, v.enough(made, failed)
}

// meanOf returns the mean chances of a design over what every set gave.
func (v *Versions) meanOf(draws []drawn, design int, d *sim.Design) ([]sim.Chances, error) {
	parts := make([]partSum, versionParts)
	for i := range parts {
		p := &parts[i]
		p.chances = make([]sim.Chances, len(v.base.Rings)*len(v.base.Cogs))
	}
	for k := range draws {
		if x := &draws[k]; x.err != nil {
			parts[v.partOf(k)].failed = x.err
		} else {
			parts[v.partOf(k)].add(x.chances[design])
		}
	}
	out, err := v.mean(parts)
	if err != nil {
		return nil, err
	}
	return out, v.onlyMounted(out, d)
}
