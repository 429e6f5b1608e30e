package cases

import (
	"fmt"
	"math"
	"slices"

	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// From where a reading is wrong by itself (common practice, no published source).
const (
	wrongHanger = 0.5  // °, either way
	wrongPulley = 0.3  // mm off the best
	wrongGap    = 0.15 // mm off the median gap
	wrongSlack  = 1.2  // ° of a joint: a worn chain
	wrongDrag   = 0.2  // N·m of the freehub
)

// Reading is a number of the case that is wrong by itself.
type Reading struct {
	Path   string
	Value  float64 // in the field's unit
	Unit   string
	Limit  float64
	Change string // that puts it right, by its name
	Bears  bool   // it can be behind what was complained of
}

// bearsOn says which complaints a wrong reading can be behind, beside all those of shifts where it is of
// the rear derailleur.
var bearsOn = map[string][]decide.Complaint{
	"tensioner.hanger":      {decide.Noise, decide.Skips},
	"tensioner.index_error": {decide.Noise, decide.Skips, decide.RubsCog},
	"tensioner.set_at":      {decide.Noise, decide.Skips, decide.RubsCog},
	"rear.cog_lines":        {decide.Noise, decide.Skips, decide.RubsCog},
	"rear.spacers":          {decide.Noise, decide.Skips, decide.RubsCog},
	"chain.slack":           {decide.Noise, decide.Skips, decide.Drop},
	"load.freehub_drag":     {decide.LooseTop, decide.Drop, decide.Noise},
	"chain.links":           {decide.Noise, decide.Drop, decide.Skips, decide.LooseTop},
}

// mostShort is how many links a chain is taken to be too short by at most, and mostLonger how many the
// longest usual new chain has more.
const (
	mostShort  = 60
	mostLonger = 10
)

// ofShiftsToo are those that spoil shifts.
var ofShiftsToo = []string{"tensioner.hanger", "tensioner.index_error", "tensioner.set_at", "rear.cog_lines", "rear.spacers", "chain.slack"}

// wrong lists what reads wrong, first what bears on a complaint.
func (w *adviser) wrong(told []Complained) (out []Reading) {
	c := w.c
	add := func(path string, value float64, unit string, limit float64, change string) {
		if !(math.Abs(value) > limit) {
			return
		}
		r := Reading{Path: path, Value: value, Unit: unit, Limit: limit, Change: change, Bears: path == "chain.links"} // that comes first, whatever is complained of
		for _, t := range told {
			r.Bears = r.Bears || t.Shifts && slices.Contains(ofShiftsToo, path) || slices.Contains(bearsOn[path], t.Symptom.Complaint)
		}
		out = append(out, r)
	}
	if t := c.Tensioner; t != nil {
		if h := t.Hanger; h != nil {
			worst := h.Lean.Value
			if math.Abs(h.Toe.Value) > math.Abs(worst) {
				worst = h.Toe.Value
			}
			add("tensioner.hanger", worst, "°", wrongHanger, straightHanger)
		}
		add("tensioner.index_error", t.IndexError.Value, "mm", wrongPulley, setCable)
		if t.SetAt.Given {
			add("tensioner.set_at", w.b.RearLine()-t.SetAt.Value, "mm", wrongPulley, setCableHere)
		}
	}
	for i, gaps := range [...][]float64{c.cogGaps(), values(c.Rear.Spacers)} {
		if path := [...]string{"rear.cog_lines", "rear.spacers"}[i]; len(gaps) > 1 {
			middle, worst := medianOf(gaps), 0.0
			for _, g := range gaps {
				if math.Abs(g-middle) > math.Abs(worst) {
					worst = g - middle
				}
			}
			add(path, worst, "mm", wrongGap, evenCassette)
		}
	}
	if c.Chain.Slack.Given {
		add("chain.slack", c.Chain.Slack.Value, "°", wrongSlack, newChain)
	}
	if c.Load.FreehubDrag.Given {
		add("load.freehub_drag", c.Load.FreehubDrag.Value, "N·m", wrongDrag, serviceFreehub)
	}
	if short := w.tooShort(); short > 0 {
		add("chain.links", float64(short), "links", 0, fmt.Sprintf(longerChain, short))
	}
	slices.SortStableFunc(out, func(a, b Reading) int { return before(a.Bears, b.Bears) })
	return out
}

// tooShort returns by how many links, an even number, the chain is too short for the largest chainring
// and cog; 0 where it fits, or where not even mostShort links more would do.
func (w *adviser) tooShort() int {
	n := w.c.Chain.Links
	if n == 0 || w.c.Tensioner == nil {
		return 0
	}
	for more := 0; more <= mostShort; more += 2 {
		mounts, err := judge.Mounted(w.b, n+more)
		if err == nil && mounts[len(mounts)-1] {
			return more
		}
	}
	return 0
}
