package cases

import (
	"slices"
	"strings"
)

// ofChain reports whether a field of a case is another chain's where it is changed: all of the
// chain but its length.
func ofChain(path string) bool {
	return path == "speeds" || strings.HasPrefix(path, "chain.") && !slices.Contains([]string{"chain.links", "chain.half_link", "chain.margin"}, path)
}

// renewChain gives a learned set another chain: its numbers are a shipped set's, its readings are
// drawn anew, and what was learned of how the bicycle is off the model goes with the old one.
func (s *start) renewChain(shipped []float64) {
	s.set = slices.Clone(s.set)
	for i := range freeNumbers {
		if ofChain(freeNumbers[i].Name) {
			s.set[i] = shipped[i]
		}
	}
	form := *s.own.form
	form.faults, form.readings = nil, slices.Clone(form.readings)
	for i, name := range form.readings {
		if ofChain(name) {
			form.readings[i] = ""
		}
	}
	s.own = &learnedOf{form: &form, readings: s.own.readings}
}
