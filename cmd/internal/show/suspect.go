package show

import (
	"fmt"
	"math"
	"strings"

	"chainpath/cmd/internal/say"
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
			d.Chances = append(d.Chances, GearChance{gearNames(b, s.Gears[i:])[0], share(s.Chance[i])})
			gears = append(gears, g[0]*len(b.Cogs)+g[1])
		}
		f.Suspects = append(f.Suspects, d)
		if s.Ratio < 1 || sim.Hazards[s.Concern].Cure == "" { // no front line cures those
			continue
		}
		t := along.Try(chances, gears, s.Concern)
		f.Try = append(f.Try, TryDoc{s.Concern.String(), round(t.Shift), share(t.Before), share(t.After), t.Cured, t.Wall, sim.Hazards[s.Concern].Cure, len(gears) > 1})
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

// mostChecks is how many things to look at the default answer names.
const mostChecks = 3

// mostSuspects is how many causes of a symptom the default answer names.
const mostSuspects = 1

func (f *FindingDoc) suspectLines(p *printer, all bool) {
	for i, s := range f.Suspects {
		if i >= mostSuspects && !all || i == 0 && s.Share < f.Outside && !all {
			break
		}
		head := "Possible"
		most := 0.0
		for _, c := range s.Chances {
			most = max(most, c.Chance)
		}
		switch {
		case i == 0 && s.Share > 0.5 && most >= explains:
			head = "Most likely"
		case i == 0 && s.Share > 0.5:
			head = "Likeliest that the model knows"
		}
		text := fmt.Sprintf("%s (%s): %s.", head, say.Percent(s.Share), s.words)
		if i == 0 && s.Share > 0.5 && most < explains {
			text += fmt.Sprintf(" But at most %s of bikes like this have it there.", say.Percent(most))
		}
		if s.Ratio >= 1.5 {
			text += fmt.Sprintf(" It fits these gears %.0f times better than a random fault.", s.Ratio)
		} else if all && s.Ratio < 1/1.5 {
			text += " It does not fit these gears."
		}
		if all {
			var at []string
			for _, c := range s.Chances {
				at = append(at, c.Gear+" "+say.Percent(c.Chance))
			}
			text += " Chance " + strings.Join(at, ", ") + "."
			if len(s.Unseen) > 0 {
				text += " It would be likely in " + strings.Join(s.Unseen, ", ") + " as well."
			}
		}
		p.item(text)
	}
	checks := f.Check
	if !all {
		checks = checks[:min(mostChecks, len(checks))]
	}
	p.item(fmt.Sprintf("Not modelled (%s): check for %s.", say.Percent(f.Outside), say.Or(checks)))
}

// item prints a paragraph indented under a symptom.
func (p *printer) item(text string) {
	p.printf("   %s\n", Indent(text, "   ", Columns-3))
}

// tryWords says what moving the chainring would do.
func (t *TryDoc) tryWords() string {
	side := "outboard"
	if t.Shift < 0 {
		side = "inboard"
	}
	move := fmt.Sprintf("%.1f mm %s", math.Abs(t.Shift), side)
	wall := ""
	if t.Wall != "" {
		wall = ", where the chainring reaches the " + wallName(t.Wall) + ","
	}
	switch {
	case t.Before < say.FromUnlikely:
		return fmt.Sprintf("%s has a chance of %s there today: no chainring position to look for.", say.Capital(t.words), say.Percent(t.Before))
	case t.Cured:
		return fmt.Sprintf("Try this first, since you can undo it: the chainring %s%s takes the chance of %s from %s to %s.", move, strings.TrimSuffix(wall, ",")+commaIf(wall), t.words, say.Percent(t.Before), say.Percent(t.After))
	case t.Before-t.After < leastChange:
		return fmt.Sprintf("No chainring position within reach helps against %s. Look at the rear, the chainstay and the parts.", t.words)
	}
	how := "does not cure"
	if t.After <= t.Before/2 {
		how = "helps, but does not cure"
	}
	mean := ""
	if t.several {
		mean = ", mean of these gears"
	}
	return fmt.Sprintf("Moving the chainring %s %s: %s%s the chance is %s (%s today%s).", how, t.words, move, wall, say.Percent(t.After), say.Percent(t.Before), mean)
}

func commaIf(text string) string {
	if text == "" {
		return ""
	}
	return ","
}
