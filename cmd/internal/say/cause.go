package say

import (
	"fmt"
	"strings"
)

// Suspect is a fault as the cause of what was seen.
type Suspect struct {
	Cause   string  // what is behind it, in words
	Share   float64 // of belief, 0 to 1
	Ratio   float64 // how much better it fits the gears than a random fault
	Most    float64 // its greatest chance in the gears where it was seen
	Chances []GearChance
	Unseen  []string // gears where it would be likely, and was not seen
}

// GearChance is a chance in a gear.
type GearChance struct {
	Gear   string
	Chance float64
}

// explains is the chance from which on a fault is taken to explain what was seen (tried on known
// bicycles: flat from 0.2 to 0.5).
const explains = FromEither

// Explains reports whether a fault of this chance is taken to explain what was seen.
func Explains(chance float64) bool { return chance >= explains }

// leads reports whether the suspect has more of the belief than all else together.
func (s *Suspect) leads() bool { return s.Share > 0.5 }

// Words says how likely the suspect is; first of its symptom; all adds the gears' chances.
func (s *Suspect) Words(first, all bool) string {
	head := "Possible"
	switch {
	case first && s.leads() && Explains(s.Most):
		head = "Most likely"
	case first && s.leads():
		head = "Likeliest of what is modelled"
	}
	text := fmt.Sprintf("%s (%s): %s.", head, Percent(s.Share), s.Cause)
	if first && s.leads() && !Explains(s.Most) {
		text += fmt.Sprintf(" But at most %s of bikes like this have it there.", Percent(s.Most))
	}
	if s.Ratio >= 1.5 {
		text += fmt.Sprintf(" It fits these gears %.0f times better than a random fault.", s.Ratio)
	} else if all && s.Ratio < 1/1.5 {
		text += " It does not fit these gears."
	}
	if !all {
		return text
	}
	var at []string
	for _, c := range s.Chances {
		at = append(at, c.Gear+" "+Percent(c.Chance))
	}
	text += " Chance " + strings.Join(at, ", ") + "."
	if len(s.Unseen) > 0 {
		text += " It would be likely in " + And(s.Unseen) + " as well."
	}
	return text
}

// What the % of causes are shares of, in short and in full.
const (
	ShareOf      = "%: of 100 bikes with that symptom (--all)."
	ShareOfWhole = "% of a cause: of 100 bikes with that symptom, if all causes named and what is not modelled were equally common before. It is no chance of the symptom."
)

// Outside says how likely it is something that is not modelled, and what to check.
func Outside(share float64, checks []string) string {
	return fmt.Sprintf("Not modelled (%s): check for %s.", Percent(share), Or(checks))
}

// CheckAsWell says what to check of shifts beside what indexing tells.
func CheckAsWell(checks []string) string { return "Check as well: " + strings.Join(checks, ", ") + "." }

// OneCause is what explains several of the symptoms told, numbered from 1, together.
type OneCause struct {
	Cause   string // as a noun; "" where nothing explains more than one
	Of, Not []int
	Share   float64 // of belief, if they have one cause
}

// AngleCause is the cause of every fault that goes by the chain angle.
const AngleCause = "too large a chain angle"

// Words says it.
func (o *OneCause) Words() string {
	if o.Cause == "" {
		return "No single cause explains two of these symptoms: look at each."
	}
	who := "symptoms " + numbers(o.Of)
	if len(o.Not) == 0 {
		who = "all of it"
		if len(o.Of) == 2 {
			who = "both symptoms"
		}
	}
	text := fmt.Sprintf("One cause explains %s: %s (%s, if they have one cause).", who, o.Cause, Percent(o.Share))
	if len(o.Not) > 0 {
		text += " It does not explain " + numbers(o.Not) + "."
	}
	return text
}

func numbers(list []int) string {
	var out []string
	for _, n := range list {
		out = append(out, fmt.Sprint(n))
	}
	return And(out)
}
