package decide

import (
	"math"
	"slices"
	"sort"

	"chainpath/sim"
	"chainpath/sim/elementary"
)

// Suspect is a concern as the cause of a symptom: how much better it tells where the
// symptom is and where not than what knows nothing of the chain line.
type Suspect struct {
	Concern    sim.Concern
	Ratio      float64  // likelihood of the gears with and without the symptom, by that of blindPattern
	Share      float64  // of belief among the suspects and what is not in the model, all alike before
	Gears      [][2]int // with the symptom, and the mean chance there
	Chance     []float64
	Unseen     [][2]int // where it would be likely, but was not seen
	Unexpected [][2]int // where it was seen, but has a chance below a tenth
}

// SuspectsOf returns the concerns that can be behind a symptom; none: nothing in the model
// does that.
func SuspectsOf(s Symptom) []sim.Concern {
	return sim.Concerns(func(h *sim.Hazard) bool {
		return h.Ways[s.Direction] && slices.Contains(h.Symptoms, string(s.Complaint))
	})
}

// misseen is the share of gears in which a symptom is overlooked or imagined
// (assumption).
const misseen = 0.02

// Suspects holds a symptom, in its gears and in no other, against the chances of each
// drawn set; cogs is the number of cogs. Where the symptom names every gear it was seen
// in at least one. The likeliest come first. A ratio above 1 speaks for a concern;
// belief is never 0 or 1.
func Suspects(sets [][]sim.Chances, s Symptom, cogs int) (out []Suspect, outside float64) {
	if len(sets) == 0 {
		return nil, 1
	}
	n := len(sets[0])
	mean := make([]sim.Chances, n)
	for _, set := range sets {
		for g := range set {
			for k, p := range set[g] {
				mean[g][k] += p / float64(len(sets))
			}
		}
	}
	for _, k := range SuspectsOf(s) {
		like, exists := 0.0, false
		for _, set := range sets {
			like += pattern(set, s, cogs, k) / float64(len(sets))
		}
		x := Suspect{Concern: k, Ratio: like / blindPattern(s, n, cogs)}
		for g := range mean {
			at := [2]int{g / cogs, g % cogs}
			p := mean[g][k]
			if p < 0 {
				continue
			}
			exists = true
			switch seen := s.Gears[at]; {
			case seen:
				x.Gears, x.Chance = append(x.Gears, at), append(x.Chance, p)
				if p < 0.1 {
					x.Unexpected = append(x.Unexpected, at)
				}
			case p >= 0.65:
				x.Unseen = append(x.Unseen, at)
			}
		}
		if exists {
			out = append(out, x)
		}
	}
	sum := 1.0 // what is not in the model
	for i := range out {
		sum += out[i].Ratio
	}
	for i := range out {
		out[i].Share = max(0.01, min(out[i].Ratio/sum, 0.99))
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Ratio > out[j].Ratio })
	return out, max(0.01, min(1/sum, 0.99))
}

// pattern returns the likelihood of a symptom's gears under one set.
func pattern(set []sim.Chances, s Symptom, cogs int, k sim.Concern) float64 {
	all := 1.0 // of none of them, where the symptom is somewhere
	for g := range set {
		p := misseen + (1-2*misseen)*max(set[g][k], 0)
		if len(s.Gears) < len(set) && s.Gears[[2]int{g / cogs, g % cogs}] {
			all *= p
		} else {
			all *= 1 - p
		}
	}
	if len(s.Gears) >= len(set) {
		return 1 - all
	}
	return all
}

// blindPattern returns the likelihood of a symptom's gears for what knows nothing of the
// chain line, n gears: half of it for a rate that is the same in every gear and may be
// any, half for a fault that sets in somewhere along the cluster, to either side, on one
// ring or on all (as a bent hanger does; the halves are an assumption).
func blindPattern(s Symptom, n, cogs int) float64 {
	seen := len(s.Gears)
	if seen >= n {
		return 0.5
	}
	a, _ := math.Lgamma(float64(seen + 1))
	b, _ := math.Lgamma(float64(n - seen + 1))
	c, _ := math.Lgamma(float64(n + 2))
	along, many := 0.0, 0
	fault := func(in func(ring, cog int) bool) {
		p := 1.0
		for g := range n {
			at := [2]int{g / cogs, g % cogs}
			if in(at[0], at[1]) == s.Gears[at] {
				p *= 1 - misseen
			} else {
				p *= misseen
			}
		}
		along += p
		many++
	}
	for from := range cogs {
		for ring := -1; ring < n/cogs; ring++ {
			here := func(r int) bool { return ring < 0 || r == ring }
			fault(func(r, k int) bool { return here(r) && k >= from })
			fault(func(r, k int) bool { return here(r) && k <= from })
		}
	}
	return (elementary.Exp(a+b-c) + along/float64(many)) / 2
}
