package main

import (
	"fmt"
	"os"
	"slices"
	"strings"
)

// kind is how near a source was to what it tells, the nearest first.
type kind int

// The kinds of source. Observed: by the one who tells, on a bike of his own or in his shop; told:
// at second hand; advice: of what to do or avoid, without anything seen; practice: common
// practice, from memory, no published source.
const (
	observed kind = iota
	told
	advice
	practice
)

var kindNames = [...]string{"observed", "told", "advice", "practice"}

// practiceWeight is what a "no" of advice or practice counts beside one of a report, when free
// numbers are weighed (assumption). A "yes" of these counts nothing.
const practiceWeight = 0.25

// weight returns what an answer of this kind counts.
func (k kind) weight(yes bool) float64 {
	switch {
	case k <= told:
		return 1
	case yes:
		return 0
	}
	return practiceWeight
}

// readSources reads the list of sources: a line each, with name, kind and what it says between
// tabs, after a heading.
func readSources(name string) (map[string]kind, error) {
	data, err := os.ReadFile(name)
	if err != nil {
		return nil, err
	}
	out := map[string]kind{}
	for i, line := range strings.Split(strings.TrimRight(string(data), "\n"), "\n")[1:] {
		w := strings.Split(line, "\t")
		k := -1
		if len(w) == 3 {
			k = slices.Index(kindNames[:], w[1])
		}
		if k < 0 {
			return nil, fmt.Errorf("%s:%d: want a source, one of %s and what it says, between tabs", name, i+2, strings.Join(kindNames[:], ", "))
		}
		out[w[0]] = kind(k)
	}
	return out, nil
}

// kindOf returns the nearest kind among the sources of an answer, which stand with commas.
func kindOf(sources map[string]kind, list string) (kind, error) {
	nearest := practice
	for _, s := range strings.Split(list, ",") {
		k, ok := sources[s]
		if !ok {
			return 0, fmt.Errorf("source %q stands in no list", s)
		}
		nearest = min(nearest, k)
	}
	return nearest, nil
}
