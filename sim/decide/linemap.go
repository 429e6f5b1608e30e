package decide

import "chainpath/sim"

// Cell is a gear at a place of the ring: what is worst there.
type Cell struct {
	Concern sim.Concern // of the largest chance times weight
	Chance  float64     // of it; 0 where the gear has no concern
	Trouble float64     // of the gear: chances by weights, all concerns
}

// LineMap is every gear at every place along the front line.
type LineMap struct {
	Along *Along
	Cells [][]Cell // by place, then gear
}

// Map folds the chances along the line into what is worst of each gear at each place.
// Chances are those that the places were made of.
func (a *Along) Map(chances [][]sim.Chances) *LineMap {
	m := &LineMap{Along: a, Cells: make([][]Cell, len(chances))}
	for i, gears := range chances {
		m.Cells[i] = make([]Cell, len(gears))
		for g := range gears {
			c := &m.Cells[i][g]
			most := 0.0
			for k, p := range gears[g] {
				w := a.Weights[k]
				if p < 0 || w == 0 {
					continue
				}
				c.Trouble += p * w
				if p*w > most {
					most, c.Concern, c.Chance = p*w, sim.Concern(k), p
				}
			}
		}
	}
	return m
}
