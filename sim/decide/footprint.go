package decide

import (
	"math"

	"chainpath/sim"
)

// footprint is how a cause shows beside what the bike does anyway: chances of complaints in a direction and a
// gear that it reaches. All of them are assumptions (common practice, no published source).
type footprint map[sign]float64

type sign struct {
	what Complaint
	way  sim.Direction
}

var (
	noFootprint footprint
	// A stiff link jumps where the chain bends too much for it: on the small cogs, up to one of them.
	stiffLink = footprint{
		{Skips, sim.Riding}: 0.75, {Skips, sim.Backwards}: 0.75, {Noise, sim.Riding}: 0.4,
		{Drop, sim.Backwards}: 0.2, {LooseTop, sim.Riding}: 0.2, {LooseTop, sim.Backwards}: 0.2,
	}
	// A chain beside the middle of its cog ticks at the neighbours.
	setWrong = footprint{
		{Noise, sim.Riding}: 0.3, {Skips, sim.Riding}: 0.15, {Skips, sim.Backwards}: 0.15,
		{RubsCog, sim.Riding}: 0.2, {RubsCog, sim.Backwards}: 0.2,
	}
	// What a cog does itself, and a worn one under a worn chain.
	badCog = footprint{
		{Noise, sim.Riding}: 0.6, {Skips, sim.Riding}: 0.6, {Skips, sim.Backwards}: 0.6, {Drop, sim.Riding}: 0.05,
	}
	wornCog = footprint{
		{Skips, sim.Riding}: 0.7, {Skips, sim.Backwards}: 0.7, {Noise, sim.Riding}: 0.2, {Drop, sim.Riding}: 0.03,
	}
)

// besides is how likely a fault shows as another symptom than its own (assumption).
const besides = 0.3

// odds are the chances of every symptom and of what was spared, by set and gear.
func (t *Evidence) odds(sets [][]sim.Chances) (by [][][]float64) {
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
func (t *Evidence) under(by [][][]float64, shows footprint) float64 {
	return t.likely(by, shows, 0, len(t.Teeth)-1)
}

// oneCog returns the log likelihood of one bad cog, any, and which is likeliest.
func (t *Evidence) oneCog(by [][][]float64) (log float64, at int) {
	log, most := math.Inf(-1), math.Inf(-1)
	for k := range t.Teeth {
		l := t.likely(by, badCog, k, k)
		if log = logSum(log, l); l > most {
			most, at = l, k
		}
	}
	return log - math.Log(float64(len(t.Teeth))), at
}

// stiff returns the log likelihood of a stiff link that shows on the small cogs, up to any.
func (t *Evidence) stiff(by [][][]float64) float64 {
	log := math.Inf(-1)
	for to := range t.Teeth {
		log = logSum(log, t.likely(by, stiffLink, 0, to))
	}
	return log - math.Log(float64(len(t.Teeth)))
}

// mostWorn is how many cogs beside each other wear alike at most.
const mostWorn = 4

// worn returns the log likelihood of some cogs beside each other that are worn.
func (t *Evidence) worn(by [][][]float64) float64 {
	log, n := math.Inf(-1), 0
	for from := range t.Teeth {
		for to := from; to < min(from+mostWorn, len(t.Teeth)); to++ {
			log = logSum(log, t.likely(by, wornCog, from, to))
			n++
		}
	}
	return log - math.Log(float64(n))
}

// likely returns the log of the mean over sets of the likelihood of all that was told, with a cause that shows so
// on some cogs.
func (t *Evidence) likely(by [][][]float64, shows footprint, from, to int) float64 {
	if len(by) == 0 {
		return 0
	}
	all := make([]float64, len(by[0])) // by set
	for i, bySet := range by {
		s, spared := t.told(i)
		foot := make([]float64, len(t.Teeth))
		for cog := from; cog <= to; cog++ {
			foot[cog] = shows[sign{s.Complaint, s.Direction}]
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
func (t *Evidence) told(i int) (s *Symptom, spared bool) {
	if i < len(t.Symptoms) {
		return &t.Symptoms[i], false
	}
	return &t.Spared[i-len(t.Symptoms)], true
}

// one returns the likelihood of one symptom, in its gears and no other, or of all gears in one at least; or of
// gears that were spared.
func (t *Evidence) one(s *Symptom, spared bool, gears, foot []float64) float64 {
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
func (t *Evidence) blind() (log float64) {
	n := t.Rings * len(t.Teeth)
	for i := range t.Symptoms {
		log += math.Log(blindPattern(t.Symptoms[i], n, len(t.Teeth)))
	}
	for i := range t.Spared { // as if for any rate
		log -= math.Log(float64(len(t.Spared[i].Gears) + 1))
	}
	return log
}
