package decide

import (
	"math"

	"chainpath/sim"
)

// footprint is the chance that a cause shows as a complaint in a direction and a gear, beside what the bike
// does anyway. All of them are assumptions (common practice, no published source).
type footprint func(c Complaint, way sim.Direction, teeth int) float64

func plain(Complaint, sim.Direction, int) float64 { return 0 }

// stiffLink jumps where the chain bends too much for it: on the small cogs, up to one of them.
func stiffLink(c Complaint, way sim.Direction, _ int) float64 {
	switch {
	case c == Skips:
		return 0.75
	case c == Noise && way == sim.Riding:
		return 0.4
	case c == Drop && way == sim.Backwards, c == LooseTop:
		return 0.2
	}
	return 0
}

// setWrong is a chain beside the middle of its cog: it ticks at the neighbours.
func setWrong(c Complaint, way sim.Direction, _ int) float64 {
	switch {
	case c == Noise && way == sim.Riding:
		return 0.3
	case c == RubsCog:
		return 0.2
	case c == Skips:
		return 0.15
	}
	return 0
}

// badCog is what the cog itself does.
func badCog(c Complaint, way sim.Direction, _ int) float64 {
	switch {
	case c == Noise && way == sim.Riding, c == Skips:
		return 0.6
	case c == Drop && way == sim.Riding:
		return 0.05
	}
	return 0
}

// wornCog is what a worn cog does under a worn chain.
func wornCog(c Complaint, way sim.Direction, _ int) float64 {
	switch {
	case c == Skips:
		return 0.7
	case c == Noise && way == sim.Riding:
		return 0.2
	case c == Drop && way == sim.Riding:
		return 0.03
	}
	return 0
}

// besides is how likely a fault shows as another symptom than its own (assumption).
const besides = 0.3

// odds are the chances of every symptom and of what was spared, by set and gear.
func (t *Told) odds(sets [][]sim.Chances) (by [][][]float64) {
	for _, s := range append(append([]Symptom{}, t.Symptoms...), t.Spared...) {
		var bySet [][]float64
		for _, set := range sets {
			gears := make([]float64, len(set))
			for g := range set {
				none := 1.0
				for _, k := range SuspectsOf(s) {
					p := max(set[g][k], 0)
					if sim.Hazards[k].Symptoms[0] != string(s.Complaint) {
						p *= besides
					}
					none *= 1 - p
				}
				gears[g] = 1 - none
			}
			bySet = append(bySet, gears)
		}
		by = append(by, bySet)
	}
	return by
}

// under returns the log likelihood of all that was told, over the sets, with a cause that shows so.
func (t *Told) under(by [][][]float64, shows footprint) float64 {
	return t.likely(by, func(s *Symptom, cog int) float64 { return shows(s.Complaint, s.Direction, t.Teeth[cog]) })
}

// oneCog returns the log likelihood of one bad cog, any, and which is likeliest.
func (t *Told) oneCog(by [][][]float64) (log float64, at int) {
	log, most := math.Inf(-1), math.Inf(-1)
	for k := range t.Teeth {
		l := t.likely(by, t.of(badCog, k, k))
		if log = logSum(log, l); l > most {
			most, at = l, k
		}
	}
	return log - math.Log(float64(len(t.Teeth))), at
}

// stiff returns the log likelihood of a stiff link that shows on the small cogs, up to any.
func (t *Told) stiff(by [][][]float64) float64 {
	log := math.Inf(-1)
	for to := range t.Teeth {
		log = logSum(log, t.likely(by, t.of(stiffLink, 0, to)))
	}
	return log - math.Log(float64(len(t.Teeth)))
}

// mostWorn is how many cogs beside each other wear alike at most.
const mostWorn = 4

// worn returns the log likelihood of some cogs beside each other that are worn.
func (t *Told) worn(by [][][]float64) float64 {
	log, n := math.Inf(-1), 0
	for from := range t.Teeth {
		for to := from; to < min(from+mostWorn, len(t.Teeth)); to++ {
			log = logSum(log, t.likely(by, t.of(wornCog, from, to)))
			n++
		}
	}
	return log - math.Log(float64(n))
}

// of is a footprint on some cogs alone.
func (t *Told) of(shows footprint, from, to int) func(s *Symptom, cog int) float64 {
	return func(s *Symptom, cog int) float64 {
		if cog < from || cog > to {
			return 0
		}
		return shows(s.Complaint, s.Direction, t.Teeth[cog])
	}
}

// likely returns the log of the mean over sets of the likelihood of all that was told.
func (t *Told) likely(by [][][]float64, shows func(s *Symptom, cog int) float64) float64 {
	if len(by) == 0 {
		return 0
	}
	all := make([]float64, len(by[0])) // by set
	for i, bySet := range by {
		s, spared := t.told(i)
		foot := make([]float64, len(t.Teeth))
		for cog := range foot {
			foot[cog] = shows(s, cog)
		}
		for k, gears := range bySet {
			all[k] += math.Log(t.one(s, spared, gears, foot))
		}
	}
	sum := math.Inf(-1)
	for _, l := range all {
		sum = logSum(sum, l)
	}
	return sum - math.Log(float64(len(all)))
}

// told returns symptom i, or after the last what was spared.
func (t *Told) told(i int) (s *Symptom, spared bool) {
	if i < len(t.Symptoms) {
		return &t.Symptoms[i], false
	}
	return &t.Spared[i-len(t.Symptoms)], true
}

// one returns the likelihood of one symptom, in its gears and no other, or of all gears in one at least; or of
// gears that were spared.
func (t *Told) one(s *Symptom, spared bool, gears, foot []float64) float64 {
	cogs, any, product := len(t.Teeth), len(s.Gears) >= len(gears), 1.0
	for g, p := range gears {
		p = 1 - (1-p)*(1-foot[g%cogs])
		p = misseen + (1-2*misseen)*p
		seen := s.Gears[[2]int{g / cogs, g % cogs}]
		switch {
		case spared && !seen:
		case !spared && !any && seen:
			product *= p
		default:
			product *= 1 - p
		}
	}
	if any && !spared {
		return max(1-product, 1e-12)
	}
	return max(product, 1e-300)
}

// blind returns the log likelihood of all that was told for what knows nothing of the bike.
func (t *Told) blind() (log float64) {
	n := t.Rings * len(t.Teeth)
	for i := range t.Symptoms {
		log += math.Log(blindPattern(t.Symptoms[i], n, len(t.Teeth)))
	}
	for i := range t.Spared { // as if for any rate
		log -= math.Log(float64(len(t.Spared[i].Gears) + 1))
	}
	return log
}
