package cases

import (
	"slices"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// pairs are what symptoms and observations call the same, by the symptom's word: drop and off,
// tyre_mark and rubs_tyre. Either is understood in both.
var pairs = func() map[string]string {
	out := map[string]string{}
	for _, h := range sim.Hazards {
		if h.Seen != "" && len(h.Symptoms) > 0 && h.Symptoms[0] != h.Seen {
			out[h.Symptoms[0]] = h.Seen
		}
	}
	return out
}()

// SymptomNames are every word that a symptom may be called by.
func SymptomNames() (all []string) {
	for _, c := range decide.Complaints {
		all = append(all, string(c))
		if other := pairs[string(c)]; other != "" {
			all = append(all, other)
		}
	}
	return all
}

// ObservationNames are those of observations.
func ObservationNames() (all []string) {
	for _, w := range Observations() {
		all = append(all, w)
		for symptom, seen := range pairs {
			if seen == w {
				all = append(all, symptom)
			}
		}
	}
	return all
}

// asSymptom returns a symptom's own word for what observations call otherwise; any other word is
// as it was.
func asSymptom(word string) string {
	for symptom, seen := range pairs {
		if seen == word {
			return symptom
		}
	}
	return word
}

// asObservation is the other way about.
func asObservation(word string) string {
	if seen, ok := pairs[word]; ok {
		return seen
	}
	return word
}

// asIn returns a word as the list of a field's tag has it, and where else it belongs if that has
// no such word; "": nowhere.
func asIn(list, word string) (own, elsewhere string) {
	switch list {
	case "symptoms":
		if !slices.Contains(SymptomNames(), word) && slices.Contains(ObservationNames(), word) {
			return word, "observations"
		}
		return asSymptom(word), ""
	case "observations":
		if !slices.Contains(ObservationNames(), word) && slices.Contains(SymptomNames(), word) {
			return word, "symptoms"
		}
		return asObservation(word), ""
	}
	return word, ""
}
