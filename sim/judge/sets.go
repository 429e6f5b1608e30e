package judge

import "chainpath/sim"

// Draw is what one set gives: chances by design and gear, or why it cannot be.
type Draw struct {
	Chances [][]sim.Chances
	Lines   [2]float64 // as of Version, before what a design changes
	Read    []float64
	Err     error
}

// BySet returns what every set gives of every design.
func (v *Versions) BySet(designs []sim.Design) ([]Draw, error) {
	out := make([]Draw, len(v.draws))
	for k := range out {
		out[k] = v.draws[k]
		out[k].Chances = make([][]sim.Chances, len(designs))
	}
	err := v.Judge(designs, false, func(_, design, set int, chances []sim.Chances, _ []sim.Sizes, err error) {
		if err != nil {
			out[set].Err = err
			return
		}
		out[set].Chances[design] = append([]sim.Chances(nil), chances...)
	})
	if err != nil {
		return nil, err
	}
	made := 0
	var failed error
	for k := range out {
		if d := &out[k]; d.Err == nil {
			made++
		} else {
			d.Chances, failed = nil, d.Err
		}
	}
	return out, v.enough(made, failed)
}

// MeanOf returns the mean chances of a design over what every set gave.
func (v *Versions) MeanOf(draws []Draw, design int, d *sim.Design) ([]sim.Chances, error) {
	parts := make([]partSum, versionParts)
	for i := range parts {
		p := &parts[i]
		p.chances = make([]sim.Chances, len(v.Base.Rings)*len(v.Base.Cogs))
	}
	for k := range draws {
		if x := &draws[k]; x.Err != nil {
			parts[v.partOf(k)].failed = x.Err
		} else {
			parts[v.partOf(k)].add(x.Chances[design])
		}
	}
	out, err := v.mean(parts)
	if err != nil {
		return nil, err
	}
	return out, v.onlyMounted(out, d)
}
