package decide

import (
	"slices"

	"chainpath/sim"
)

// OneCause is a cause that several symptoms can have in common: one fault of the model, or the
// chain angle, by which several go.
type OneCause struct {
	Concerns []sim.Concern // the faults it makes; all that go by the chain angle, or one
	Of       []int         // numbers of the symptoms that it explains
	Ratio    float64       // likelihood of their gears under it, by that of blindPattern
	Share    float64       // of belief among the causes of these symptoms and one that is not in the model, all alike before
}

// roots are the causes: what goes by the chain angle together, every other fault by itself.
func roots() [][]sim.Concern {
	byBend := sim.Concerns(func(h *sim.Hazard) bool { return h.ByBend })
	out := [][]sim.Concern{byBend}
	for k := range sim.NumConcerns {
		if !slices.Contains(byBend, sim.Concern(k)) {
			out = append(out, []sim.Concern{sim.Concern(k)})
		}
	}
	return out
}

// Together finds the cause that explains most of the symptoms, where it explains two and more:
// in each its likelihood is above that of what knows nothing of the chain line, and its mean
// chance in one of the gears at least. Sets are as for Suspects. Under each version all symptoms
// come of the same numbers, so that their likelihoods multiply there.
func Together(sets [][]sim.Chances, symptoms []Symptom, cogs int, least float64) (best OneCause, ok bool) {
	if len(sets) == 0 {
		return best, false
	}
	for _, root := range roots() {
		x := OneCause{Concerns: root}
		for i, s := range symptoms {
			if explained(sets, s, cogs, root, least) {
				x.Of = append(x.Of, i)
			}
		}
		if len(x.Of) < 2 {
			continue
		}
		x.Ratio = jointly(sets, symptoms, x.Of, cogs, root)
		if len(x.Of) > len(best.Of) || len(x.Of) == len(best.Of) && x.Ratio > best.Ratio {
			best = x
		}
	}
	if len(best.Of) == 0 {
		return best, false
	}
	sum := 1.0 // what is not in the model
	for _, root := range roots() {
		sum += jointly(sets, symptoms, best.Of, cogs, root)
	}
	best.Share = max(0.01, min(best.Ratio/sum, 0.99))
	return best, true
}

// explained reports whether a cause explains one symptom.
func explained(sets [][]sim.Chances, s Symptom, cogs int, root []sim.Concern, least float64) bool {
	list, _ := Suspects(sets, s, cogs)
	return slices.ContainsFunc(list, func(x Suspect) bool {
		return slices.Contains(root, x.Concern) && x.Ratio > 1 && len(x.Chance) > 0 && slices.Max(x.Chance) >= least
	})
}

// jointly returns the likelihood of several symptoms under one cause, by that of blindPattern; 0
// where one of them cannot come of it.
func jointly(sets [][]sim.Chances, symptoms []Symptom, of []int, cogs int, root []sim.Concern) (ratio float64) {
	for _, set := range sets {
		like := 1.0
		for _, i := range of {
			s, most := symptoms[i], 0.0
			for _, k := range SuspectsOf(s) {
				if slices.Contains(root, k) {
					most = max(most, pattern(set, s, cogs, k)/blindPattern(s, len(set), cogs))
				}
			}
			like *= most
		}
		ratio += like / float64(len(sets))
	}
	return ratio
}
