package judge

import (
	"fmt"

	"chainpath/sim"
)

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
	n := len(v.Base.Rings) * len(v.Base.Cogs)
	all := make([]sim.Chances, n*versionParts*len(designs))
	for i := range sums {
		for j := range sums[i] {
			sums[i][j].chances, all = all[:n], all[n:]
		}
	}
	err := v.Judge(designs, false, func(part, design, _ int, chances []sim.Chances, _ []sim.Sizes, err error) {
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

// MeansByBend returns those chances alone that go by the bend of a run, sooner; the others are -1.
func (v *Versions) MeansByBend(designs []sim.Design) ([][]sim.Chances, error) {
	defer v.byBend(false)
	v.byBend(true)
	return v.Means(designs)
}

func (v *Versions) byBend(alone bool) {
	for i := range v.Parts {
		if p := v.Parts[i].Of; p != nil {
			p.ByBend = alone
		}
	}
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
			out[g][k] = Settled(sim.Concern(k), sum/float64(made))
		}
	}
	return out, nil
}

// enough says why too few of the sets can be.
func (v *Versions) enough(made int, failed error) error {
	if made > 0 && made >= len(v.draws)/2 {
		return nil
	}
	for k := range v.draws {
		if failed == nil {
			failed = v.draws[k].Err
		}
	}
	return v.Explain(fmt.Errorf("%d of %d draws cannot be: %w", len(v.draws)-made, len(v.draws), failed))
}

// onlyMounted leaves a gear that the design's chain is too short for no chance but that.
func (v *Versions) onlyMounted(gears []sim.Chances, d *sim.Design) error {
	mounts, err := Mounted(d.Bike, d.Links)
	if err != nil {
		return v.Explain(err)
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

// Size is a concern's size in one gear over the versions: its 5, 50 and 95 % points.
type Size [3]float64

// Foreseen is what the versions foretell of one gear.
type Foreseen struct {
	Chances sim.Chances
	Sizes   [sim.NumConcerns]Size // of what Chances has
}

// Foresee returns chances and sizes of a design.
func (v *Versions) Foresee(d sim.Design) ([]Foreseen, error) {
	designs := []sim.Design{d}
	n := len(v.Base.Rings) * len(v.Base.Cogs)
	parts := make([]partSum, versionParts)
	for i := range parts {
		parts[i].chances = make([]sim.Chances, n)
	}
	sizes := make([][sim.NumConcerns][]float64, n)
	all := make([]float64, n*sim.NumConcerns*len(v.draws))
	for g := range sizes {
		for k := range sizes[g] {
			sizes[g][k], all = all[:0:len(v.draws)], all[len(v.draws):]
		}
	}
	err := v.Judge(designs, true, func(part, _, _ int, chances []sim.Chances, s []sim.Sizes, err error) {
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
			out[g].Sizes[k] = PointsOf(sizes[g][k])
		}
	}
	return out, nil
}

// Mounted reports of every gear whether a chain of so many links goes round it.
func Mounted(b *sim.Bike, links int) ([]bool, error) {
	out := make([]bool, len(b.Rings)*len(b.Cogs))
	var l sim.Loop
	for g := range out {
		fit, err := b.Close(&l, g/len(b.Cogs), g%len(b.Cogs), links)
		if err != nil {
			return nil, err
		}
		out[g] = fit.Mounts()
	}
	return out, nil
}
