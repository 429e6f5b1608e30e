package show

import (
	"fmt"
	"math"
	"strings"

	"chainpath/sim"
	"chainpath/sim/decide"
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

// GearChance is a chance in a gear with the symptom.
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
	words   string
}

// AddSuspects adds the causes of a symptom by likelihood, and what moving the ring would
// do for those that tell the gears better than what knows nothing.
func (f *FindingDoc) AddSuspects(b *sim.Bike, list []decide.Suspect, outside float64, along *decide.Along, chances [][]sim.Chances) {
	f.Outside = share(outside)
	for _, s := range list {
		d := SuspectDoc{s.Concern.String(), digits3(s.Ratio), share(s.Share), []GearChance{}, gearNames(b, s.Unexpected), gearNames(b, s.Unseen), sim.Hazards[s.Concern].Cause}
		var gears []int
		for i, g := range s.Gears {
			d.Chances = append(d.Chances, GearChance{gearNames(b, s.Gears[i:])[0], share(s.Chance[i])})
			gears = append(gears, g[0]*len(b.Cogs)+g[1])
		}
		f.Suspects = append(f.Suspects, d)
		if s.Ratio < 1 || sim.Hazards[s.Concern].Cure == "" { // no front line cures those
			continue
		}
		t := along.Try(chances, gears, s.Concern)
		f.Try = append(f.Try, TryDoc{s.Concern.String(), round(t.Shift), share(t.Before), share(t.After), t.Cured, t.Wall, sim.Hazards[s.Concern].Cure})
	}
}

// digits3 rounds to three digits.
func digits3(x float64) float64 {
	if x == 0 {
		return 0
	}
	unit := math.Pow(10, math.Floor(math.Log10(math.Abs(x)))-2)
	return math.Round(x/unit) * unit
}

// speaks says what a likelihood ratio tells (the steps are ours).
func speaks(ratio float64) string {
	switch {
	case ratio >= 10:
		return "speaks for it"
	case ratio >= 3:
		return "speaks a little for it"
	case ratio > 1.0/3:
		return "tells little"
	}
	return "speaks against it"
}

func (f *FindingDoc) suspectLines(p *printer) {
	for _, s := range f.Suspects {
		var at []string
		for _, c := range s.Chances {
			at = append(at, c.Gear+" "+ChanceText(c.Chance))
		}
		text := fmt.Sprintf("%s (%.2g to 1); chance %s", speaks(s.Ratio), s.Ratio, strings.Join(at, ", "))
		if len(s.Unseen) > 0 {
			text += "; would be likely in " + strings.Join(s.Unseen, ", ") + " as well"
		}
		p.printf("   %2.0f %% %s\n", 100*s.Share, s.words)
		for _, line := range strings.Split(Wrap(text, 70), "\n") {
			p.printf("        %s\n", line)
		}
	}
	p.printf("   %2.0f %% something that the model does not know\n", 100*f.Outside)
}

// item prints a paragraph indented under a symptom.
func (p *printer) item(text string) {
	for i, line := range strings.Split(Wrap(text, 74), "\n") {
		if i > 0 {
			line = "  " + line
		}
		p.printf("   %s\n", line)
	}
}

// tryWords says what moving the ring would do.
func (t *TryDoc) tryWords() string {
	side := "outboard"
	if t.Shift < 0 {
		side = "inboard"
	}
	move := fmt.Sprintf("the ring %.1f mm %s", math.Abs(t.Shift), side)
	s := ""
	switch {
	case t.Before < atUnlikely:
		return fmt.Sprintf("%s has a chance of %s there as it is: no front line to look for", t.words, ChanceText(t.Before))
	case t.Cured:
		s = fmt.Sprintf("to try first, because it can be undone: %s takes the chance of %s from %s to %s", move, t.words, ChanceText(t.Before), ChanceText(t.After))
	case t.Before-t.After < leastChange:
		s = fmt.Sprintf("no front line within reach helps against %s: look at the rear, the stay, the parts", t.words)
	default:
		s = fmt.Sprintf("the ring alone does not cure %s: %s takes its chance from %s to %s", t.words, move, ChanceText(t.Before), ChanceText(t.After))
	}
	if t.Wall != "" {
		s += ", and there it meets the " + wallName(t.Wall)
	}
	return s
}
