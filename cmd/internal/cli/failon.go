package cli

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

// failOn is what --fail-on looks for: concerns, and the chance from which on they count.
type failOn struct {
	concerns []sim.Concern
	chance   float64
	what     string
	danger   bool // what may throw a rider, which on a cog that is pushed back is more
}

// failGroups are the names that stand for several concerns, which the table of hazards puts
// into them.
var failGroups = []struct{ name, what string }{
	{"climb", "may drop the chain"},
	{"clatter", "may be noisy or drop the chain"},
	{"danger", "may drop the chain, or touch tyre or spokes, when ridden"},
}

func failNames() (names []string) {
	for _, g := range failGroups {
		names = append(names, g.name)
	}
	return append(names, concernNames()...)
}

// parseFailOn reads NAME or NAME:CHANCE; nil for nothing.
func parseFailOn(s string) (*failOn, error) {
	if s == "" {
		return nil, nil
	}
	name, text, given := strings.Cut(s, ":")
	f := &failOn{chance: show.MayBe}
	if given {
		var err error
		if f.chance, err = strconv.ParseFloat(text, 64); err != nil || !(f.chance > 0 && f.chance < 1) {
			return nil, usagef("--fail-on %s: chance %q, want a number between 0 and 1", s, text)
		}
	}
	for _, g := range failGroups {
		if g.name == name {
			f.concerns = sim.Concerns(func(h *sim.Hazard) bool { return h.Fails(name) })
			f.what, f.danger = g.what, name == "danger"
			return f, nil
		}
	}
	k := slices.Index(concernNames(), name)
	if k < 0 {
		return nil, usagef("--fail-on %q, want one of %s, with :CHANCE or without", name, strings.Join(failNames(), ", "))
	}
	f.concerns, f.what = []sim.Concern{sim.Concern(k)}, "may have "+name
	return f, nil
}

// verdict returns what is looked for where it is found, or nil.
func (f *failOn) verdict(doc *show.Gears) error {
	if f == nil {
		return nil
	}
	concerns := f.concerns
	if f.danger && doc.Load.Drive != sim.Freewheel.String() { // the brake goes with the chain
		concerns = append(slices.Clone(concerns), sim.DropBackwards)
	}
	n := 0
	for i := range doc.Gears {
		if slices.ContainsFunc(concerns, func(k sim.Concern) bool { return doc.Gears[i].Chance.AtLeast(k, f.chance) }) {
			n++
		}
	}
	if n == 0 {
		return nil
	}
	return verdictFound{fmt.Sprintf("%d of %d gears %s", n, len(doc.Gears), f.what)}
}
