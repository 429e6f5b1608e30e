package show

import (
	"fmt"
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Diagnosis is the JSON document of the diagnose command.
type Diagnosis struct {
	Case     string       `json:"case"`
	Together *TogetherDoc `json:"together"` // of several symptoms; null for one
	Findings []FindingDoc `json:"findings"`
	// Of what was told of shifts, all of it together: what to do, and what is behind it.
	Do       []DoDoc        `json:"do"`
	Shifting []ShiftSuspect `json:"shift_suspects"`
	OfShifts string         `json:"shift_words"` // the same in words; "" where nothing was told of shifts
	Check    *string        `json:"check_first"`
	Note     string         `json:"note"`
	Cautions []string       `json:"cautions"`
}

// FindingDoc is what the model says of one symptom.
type FindingDoc struct {
	Symptom      string       `json:"symptom"`
	Direction    string       `json:"direction"`
	Gears        []string     `json:"in_gears"`
	Suspects     []SuspectDoc `json:"suspects"`
	Outside      float64      `json:"not_in_the_model"`
	Explained    []CauseDoc   `json:"explained_by"`
	Contradicted []CauseDoc   `json:"contradicted"`
	Moves        []MoveDoc    `json:"would_explain"`
	Check        []string     `json:"check_also"`
	Measure      []string     `json:"measure_next"`
	Try          []TryDoc     `json:"try"`
	Words        string       `json:"words"` // the symptom, for people
	Lines        []string     `json:"lines"` // what is said of it, for people
	ofShifts     bool
}

// CauseDoc is a modelled cause.
type CauseDoc struct {
	Cause     string   `json:"cause"`
	Direction string   `json:"direction"`
	Explains  []string `json:"explains"`
	Missing   []string `json:"not_in"`
	Elsewhere []string `json:"also_in"`
	Gear      string   `json:"nearest_gear"`
	Margin    float64  `json:"nearest_margin"`
	Unit      string   `json:"nearest_margin_unit"`
}

// MoveDoc is an input that would explain a symptom.
type MoveDoc struct {
	Path   string  `json:"path"`
	By     float64 `json:"by"`
	Sigmas float64 `json:"in_standard_uncertainties"`
	Cause  string  `json:"cause"`
	Gear   string  `json:"gear"`
}

// causeWords name the kinds of margin as causes.
var causeWords = map[sim.Kind]string{
	sim.ToQuiet: "chain angle over the quiet limit", sim.ToClimb: "chain angle over the limit", sim.ToCog: "chain touches the next cog",
	sim.ToRing: "chain touches the next chainring", sim.ToTyre: "chain touches the tyre", sim.ToStay: "chainring or chain touches the chainstay",
	sim.ToSlack: "top run slack", sim.ToClose: "chain does not fit",
}

// otherChecks are what to look at beside the model, by symptom (common practice,
// no published source).
var otherChecks = map[string][]string{
	"noise":          {"a bent hanger", "a dry or dirty chain", "a stiff link", "worn teeth or chain", "a loose cog", "a loose pulley"},
	"drop":           {"worn teeth", "a stiff link", "the freehub's drag", "a bent hanger", "the cage's spring and clutch", "the derailleur's end stops"},
	"rubs_next_cog":  {"the indexing", "a bent hanger", "the spacers between the cogs", "the cassette's lock ring"},
	"rubs_next_ring": {"the chainring's bolts", "a bent chainring", "play in the bottom bracket"},
	"tyre_mark":      {"a wheel out of true or off centre", "a tyre that is not seated", "flex of the frame"},
	"stay_mark":      {"a bent chainring", "play in the bottom bracket", "flex of the frame", "the chain's length"},
	"dropout_mark":   {"the spacers behind the cassette", "the axle's seat in the dropouts", "play in the hub"},
	"spoke_mark":     {"a bent spoke", "the spacers behind the cassette", "the derailleur's inner limit screw"},
	"loose_top":      {"the freehub's drag", "a stiff link", "the cage's pivot and spring"},
	"skips":          {"a worn cog or chain", "a stiff link", "the freehub's pawls", "the indexing", "a bent hanger"},

	"slow_to_larger":  {"the cable's ends and housing", "the derailleur's inner limit screw"},
	"slow_to_smaller": {"dirt on the derailleur's pivots", "the derailleur's outer limit screw"},
	"skips_in_one":    {"a worn cog or chain", "a stiff link"},
	"skips_in_some":   {"worn cogs or chain", "a stiff link"},
	"noisy_in_one":    {"a bent tooth", "a stiff link"},
	"after_crash":     {"the derailleur's own pivots and cage", "the wheel's seat in the dropouts"},
	"after_wheel":     {"the spacers behind the cassette", "the cassette's lock ring", "the wheel's seat in the dropouts"},
}

// checksOf returns what to look at beside the model on a bike: without a derailleur there is
// no hanger, cage, pulley or indexing.
func checksOf(b *sim.Bike, symptom string) (list []string) {
	for _, x := range otherChecks[symptom] {
		derailleur := slices.ContainsFunc([]string{"hanger", "cage", "derailleur", "pulley", "indexing"}, func(w string) bool { return strings.Contains(x, w) })
		if b.Tensioner != nil || !derailleur {
			list = append(list, x)
		}
	}
	return list
}

// gearNames lists gears, shortened when they are all.
func gearNames(b *sim.Bike, gs [][2]int) []string {
	out := []string{}
	for _, g := range gs {
		out = append(out, fmt.Sprintf("%d/%d", b.Rings[g[0]].Teeth, b.Cogs[g[1]].Teeth))
	}
	return out
}

// margin turns a margin into output units: degrees, mm or N.
func margin(k sim.Kind, v float64) (float64, string) {
	if k.Unit() == "rad" {
		return deg(v), "deg"
	}
	return round(v), strings.ToLower(k.Unit())
}

// FromFindings returns the document of a diagnosis.
func FromFindings(c *cases.Case, b *sim.Bike, fs []decide.Finding) Diagnosis {
	d := Diagnosis{Case: c.Title, Note: say.Caveat, Do: []DoDoc{}, Shifting: []ShiftSuspect{}, Cautions: []string{
		say.LookFirst, say.NoRide, say.Fingers,
	}}
	names := namesOf(b)
	for _, f := range fs {
		what := string(f.Symptom.Complaint)
		o := FindingDoc{
			Symptom: what, Direction: f.Symptom.Direction.String(), Check: checksOf(b, what),
			Explained: []CauseDoc{}, Contradicted: []CauseDoc{}, Moves: []MoveDoc{}, Measure: []string{}, Suspects: []SuspectDoc{}, Try: []TryDoc{},
		}
		o.ofShifts = slices.Contains(decide.OfShifts, f.Symptom.Complaint)
		seen := say.Seen{What: o.Symptom, Direction: f.Symptom.Direction}
		var gs [][2]int
		for ring := range b.Rings {
			for cog := range b.Cogs {
				if g := [2]int{ring, cog}; f.Symptom.Gears[g] {
					gs = append(gs, g)
					seen.Gears = append(seen.Gears, say.Gear{Ring: ring, Cog: cog})
				}
			}
		}
		o.Gears, o.Words, o.Lines = gearNames(b, gs), say.Capital(seen.Words(names)), []string{}
		cause := func(c decide.Cause) CauseDoc {
			v, unit := margin(c.Risk.Kind, c.Nearest.Value)
			return CauseDoc{causeWords[c.Risk.Kind], c.Risk.Direction.String(), gearNames(b, c.Explains), gearNames(b, c.Missing), gearNames(b, c.Elsewhere), gearName(b, c.Nearest), v, unit}
		}
		for _, c := range f.Explained {
			o.Explained = append(o.Explained, cause(c))
		}
		for _, c := range f.Contradicted {
			o.Contradicted = append(o.Contradicted, cause(c))
		}
		for _, m := range f.Moves {
			o.Moves = append(o.Moves, MoveDoc{m.Input.Name, round(m.By), round(m.Sigmas), causeWords[m.Risk.Kind], gearNames(b, [][2]int{m.Gear})[0]})
		}
		for _, s := range f.Measure {
			if s.OnDoubt > 0.05 {
				o.Measure = append(o.Measure, s.Input.Name)
			}
		}
		if o.ofShifts {
			o.Lines = append(o.Lines, say.CheckAsWell(o.Check))
		}
		d.Findings = append(d.Findings, o)
	}
	return d
}
