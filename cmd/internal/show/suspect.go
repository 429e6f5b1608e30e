package show

import (
	"slices"
	"strconv"

	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// SuspectDoc is a concern as the cause of a symptom.
type SuspectDoc struct {
	Concern    string       `json:"concern"`
	Ratio      float64      `json:"likelihood_ratio"`
	Share      float64      `json:"share"`
	Chances    []GearChance `json:"chance_in_gears"`
	Unexpected []string     `json:"not_expected_in"`
	Unseen     []string     `json:"expected_in_as_well"`
	words      string
}

// GearChance is a chance in a gear with the symptom, the one that every other command tells.
type GearChance struct {
	Gear   string  `json:"gear"`
	Chance float64 `json:"chance"`
}

// TryDoc is what a shift of the rings would do.
type TryDoc struct {
	Concern string  `json:"concern"`
	Shift   float64 `json:"front_line_by_mm"`
	Before  float64 `json:"chance_before"`
	After   float64 `json:"chance_after"`
	Cured   bool    `json:"cured"`
	Wall    string  `json:"wall"`
	Words   string  `json:"words"` // for people
	words   string
	several bool // the chances are means of several gears
}

// AddSuspects adds the causes of a symptom by likelihood, and what moving the ring would
// do for those that tell the gears better than what knows nothing.
func (f *FindingDoc) AddSuspects(b *sim.Bike, list []decide.Suspect, outside float64, along *decide.Along, chances [][]sim.Chances) {
	f.Outside = share(outside)
	for _, s := range list {
		d := SuspectDoc{s.Concern.String(), digits3(s.Ratio), share(s.Share), []GearChance{}, gearNames(b, s.Unexpected), gearNames(b, s.Unseen), sim.Hazards[s.Concern].Cause}
		var gears []int
		for i, g := range s.Gears {
			d.Chances = append(d.Chances, GearChance{gearNames(b, s.Gears[i:])[0], share(judge.Settled(s.Concern, s.Chance[i]))})
			gears = append(gears, g[0]*len(b.Cogs)+g[1])
		}
		f.Suspects = append(f.Suspects, d)
		if s.Ratio < 1 || sim.Hazards[s.Concern].Cure == "" { // no front line cures those
			continue
		}
		t := along.Try(chances, gears, s.Concern)
		x := TryDoc{Concern: s.Concern.String(), Shift: round(t.Shift), Before: share(t.Before), After: share(t.After), Cured: t.Cured, Wall: t.Wall, words: sim.Hazards[s.Concern].Cure, several: len(gears) > 1}
		x.Words = x.said().Words()
		f.Try = append(f.Try, x)
	}
	f.Lines = f.lines(true)
}

// digits3 rounds to three digits, as the decimal number that is printed.
func digits3(x float64) float64 {
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'e', 2, 64), 64)
	return x
}

// TogetherDoc is the cause that explains most of several symptoms.
type TogetherDoc struct {
	Concerns []string `json:"concerns"` // the faults that it makes; empty: nothing explains two
	Findings []int    `json:"findings"` // that it explains, by their number from 0
	Share    *float64 `json:"share"`    // of belief, if they have one cause; null without one
	Words    string   `json:"words"`
}

// AddTogether says what explains several symptoms, of which there are so many that the chainline
// can have to do with.
func (d *Diagnosis) AddTogether(of []int, x decide.OneCause, ok bool) {
	if len(of) < 2 {
		return
	}
	t := &TogetherDoc{Concerns: []string{}, Findings: []int{}}
	said := say.OneCause{}
	if ok {
		s := share(x.Share)
		t.Share, said.Share, said.Cause = &s, s, say.AngleCause
		for _, k := range x.Concerns {
			t.Concerns = append(t.Concerns, k.String())
		}
		if len(x.Concerns) == 1 {
			said.Cause = sim.Hazards[x.Concerns[0]].Cause
		}
		for _, i := range x.Of {
			t.Findings = append(t.Findings, of[i])
			said.Of = append(said.Of, of[i]+1)
		}
		for _, i := range of {
			if !slices.Contains(t.Findings, i) {
				said.Not = append(said.Not, i+1)
			}
		}
	}
	t.Words = said.Words()
	d.Together = t
}

// mostChecks is how many things to look at the default answer names.
const mostChecks = 3

// mostSuspects is how many causes of a symptom the default answer names.
const mostSuspects = 1

// suspectWords says which causes are likely and what to check; all: every cause.
func (f *FindingDoc) suspectWords(all bool) (out []string) {
	for i := range f.Suspects {
		s := &f.Suspects[i]
		if i >= mostSuspects && !all || i == 0 && s.Share < f.Outside && !all {
			break
		}
		x := say.Suspect{Cause: s.words, Share: s.Share, Ratio: s.Ratio, Unseen: s.Unseen}
		for _, c := range s.Chances {
			x.Most = max(x.Most, c.Chance)
			x.Chances = append(x.Chances, say.GearChance{Gear: c.Gear, Chance: c.Chance})
		}
		out = append(out, x.Words(i == 0, all))
	}
	checks := f.Check
	if !all {
		checks = checks[:min(mostChecks, len(checks))]
	}
	return append(out, say.Outside(f.Outside, checks))
}

// item prints a paragraph indented under a symptom.
func (p *printer) item(text string) {
	p.printf("   %s\n", Indent(text, "   ", Columns))
}

// said is what moving the chainring would do, as it is said.
func (t *TryDoc) said() *say.Try {
	return &say.Try{Against: t.words, By: t.Shift, Before: t.Before, After: t.After, Cured: t.Cured, Several: t.several, Wall: t.Wall}
}
