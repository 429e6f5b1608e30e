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
	// What may be behind all that was told, as one cause, the likeliest first, and the same in words.
	Causes   []CauseDoc   `json:"causes"`
	Look     string       `json:"look_first"`
	Findings []FindingDoc `json:"findings"`
	// Of what was told of shifts, all of it together: what to do, and what is behind it.
	Do       []DoDoc        `json:"do"`
	Shifting []ShiftSuspect `json:"shift_suspects"`
	OfShifts string         `json:"shift_words"` // the same in words; "" where nothing was told of shifts
	Check    *string        `json:"check_first"`
	Note     string         `json:"note"`
	Cautions []string       `json:"cautions"`
}

// CauseDoc is a cause of all that was told.
type CauseDoc struct {
	Cause string  `json:"cause"`
	Share float64 `json:"share"`
	Cog   *int    `json:"cog_teeth"` // of one bad cog
	Words string  `json:"words"`
	Check string  `json:"check"`
}

// AddCauses adds what may be behind all that was told; in words where that is more than one symptom, and not
// of shifts alone, of which more is said. Observed: gears were seen besides.
func (d *Diagnosis) AddCauses(b *sim.Bike, list []decide.Ranked, observed bool) {
	var said []say.ToLook
	d.Causes, said = causesOf(b, list)
	ofGears := 0
	for i := range d.Findings {
		if !d.Findings[i].ofShifts {
			ofGears++
		}
	}
	if ofGears > 1 || ofGears == 1 && (observed || len(d.Findings) > 1) {
		d.Look = say.LookFor(said)
	}
}

// causesOf returns causes as they are written and said.
func causesOf(b *sim.Bike, list []decide.Ranked) (docs []CauseDoc, said []say.ToLook) {
	docs = []CauseDoc{}
	for _, r := range list {
		t := say.ToLook{Cause: r.Cause, Share: share(r.Share)}
		x := CauseDoc{Cause: r.Cause.Code(), Share: t.Share}
		if r.At >= 0 {
			teeth := b.Cogs[r.At].Teeth
			x.Cog, t.Cog = &teeth, fmt.Sprint(teeth)
		}
		x.Words, x.Check = t.Words(), t.Check()
		docs, said = append(docs, x), append(said, t)
	}
	return docs, said
}

// FindingDoc is what the model says of one symptom.
type FindingDoc struct {
	Symptom   string       `json:"symptom"`
	Direction string       `json:"direction"`
	Gears     []string     `json:"in_gears"`
	Suspects  []SuspectDoc `json:"suspects"`
	Outside   float64      `json:"not_in_the_model"`
	Check     []string     `json:"check_also"`
	Measure   []string     `json:"measure_next"`
	Try       []TryDoc     `json:"try"`
	Words     string       `json:"words"` // the symptom, for people
	Lines     []string     `json:"lines"` // what is said of it, for people
	ofShifts  bool
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

// FromSymptoms returns the document of a diagnosis, with what is told and what to look at beside the model.
func FromSymptoms(c *cases.Case, b *sim.Bike, symptoms []decide.Symptom) Diagnosis {
	d := Diagnosis{Case: c.Title, Note: say.Caveat, Causes: []CauseDoc{}, Do: []DoDoc{}, Shifting: []ShiftSuspect{}, Cautions: []string{
		say.LookFirst, say.NoRide, say.Fingers,
	}}
	names := namesOf(b)
	for _, x := range symptoms {
		what := string(x.Complaint)
		o := FindingDoc{
			Symptom: what, Direction: x.Direction.String(), Check: checksOf(b, what),
			Measure: []string{}, Suspects: []SuspectDoc{}, Try: []TryDoc{},
		}
		o.ofShifts = slices.Contains(decide.OfShifts, x.Complaint)
		seen := say.Seen{What: o.Symptom, Direction: x.Direction}
		var gs [][2]int
		for ring := range b.Rings {
			for cog := range b.Cogs {
				if g := [2]int{ring, cog}; x.Gears[g] {
					gs = append(gs, g)
					seen.Gears = append(seen.Gears, say.Gear{Ring: ring, Cog: cog})
				}
			}
		}
		o.Gears, o.Words, o.Lines = gearNames(b, gs), say.Capital(seen.Words(names)), []string{}
		if o.ofShifts {
			o.Lines = append(o.Lines, say.CheckAsWell(o.Check))
		}
		d.Findings = append(d.Findings, o)
	}
	return d
}
