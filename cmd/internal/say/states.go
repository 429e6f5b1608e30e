package say

import (
	"fmt"
	"strings"

	"chainpath/sim"
)

// Nothing is said where no fault is likely in any gear and none was seen.
const Nothing = "No fault is likely in any gear."

// told are the words for what a rider sees, by the symptom's name and the direction, with %s for the gears.
var told = map[string][2]string{
	"noise":          {"noise on %s", "noise on %s when you back-pedal"},
	"drop":           {"the chain drops when you ride on %s", "the chain drops off %s when you back-pedal"},
	"rubs_next_cog":  {"the chain rubs the next cog on %s", "the chain rubs the next cog on %s when you back-pedal"},
	"rubs_next_ring": {"the chain rubs the next chainring on %s", "the chain rubs the next chainring on %s when you back-pedal"},
	"tyre_mark":      {"the chain marks the tyre on %s", "the chain marks the tyre on %s when you back-pedal"},
	"stay_mark":      {"marks on the chainstay on %s", "marks on the chainstay on %s when you back-pedal"},
	"dropout_mark":   {"marks on the dropout on %s", "marks on the dropout on %s when you back-pedal"},
	"spoke_mark":     {"marks on spokes or rotor on %s", "marks on spokes or rotor on %s when you back-pedal"},
	"loose_top":      {"the top run hangs loose on %s", "the top run hangs loose on %s when you back-pedal"},
	"skips":          {"the chain skips on %s", "the chain skips on %s when you back-pedal"},
}

// toldOfShifts are the words for what a rider tells of shifts, and of what happened before.
var toldOfShifts = map[string]string{
	"slow_to_larger": "shifts to larger cogs are slow", "slow_to_smaller": "shifts to smaller cogs are slow", "skips_in_one": "the chain skips in one gear",
	"skips_in_some": "the chain skips in some gears", "noisy_in_one": "one gear is noisy", "after_crash": "it began after a crash", "after_wheel": "it began with a new wheel or cassette",
}

// Seen is what the rider told us.
type Seen struct {
	What      string // the symptom's name
	Direction sim.Direction
	Gears     []Gear
	// By is what explains it best, with its chance in the gear where that is greatest.
	By        sim.Concern
	Chance    float64
	Least     float64 // of its chances in those gears
	Explained bool
	Check     []string // what to look at where the chainline does not explain it
	OfShifts  bool     // indexing is behind it, and the chainline has no part in it
}

// Words is what was seen, without a capital.
func (s *Seen) Words(b *Bike) string {
	if words, ok := toldOfShifts[s.What]; ok {
		if n := len(b.Rings) * len(b.Cogs); len(s.Gears) < n {
			words += " (" + b.The(s.Gears) + ")"
		}
		return words
	}
	form, ok := told[s.What]
	if !ok {
		form = [2]string{strings.ReplaceAll(s.What, "_", " ") + " on %s", strings.ReplaceAll(s.What, "_", " ") + " on %s when you back-pedal"}
	}
	return b.in(form[s.Direction], s.Gears)
}

// Sentence answers one complaint by itself.
func (s *Seen) Sentence(b *Bike) string {
	return SeenWords(b, []Seen{*s})
}

// mostChecks is how many things to look at a sentence names.
const mostChecks = 3

// SeenWords says what the rider told us: what the chainline, or else the model, explains together, and the rest, one
// alone with what to check, else where that is said.
func SeenWords(b *Bike, list []Seen) string {
	var explained []string
	by := "The chainline"
	for i := range list {
		if s := &list[i]; s.Explained {
			if sim.Hazards[s.By].Cure == "" { // the chain's length, its tension
				by = "The model"
			}
			chance := Percents(s.Least, s.Chance)
			switch {
			case explained == nil && chance == Percent(s.Chance):
				chance = OfBikes(s.Chance)
			case explained == nil:
				chance += " of bikes like this"
			}
			if h := &sim.Hazards[s.By]; len(h.Symptoms) > 0 && h.Symptoms[0] != s.What { // it is heard of something else
				chance += ": " + h.Words
			}
			explained = append(explained, s.Words(b)+" ("+chance+")")
		}
	}
	var other, check []string
	for i := range list {
		if s := &list[i]; !s.Explained && !s.OfShifts {
			other, check = append(other, s.Words(b)), s.Check[:min(mostChecks, len(s.Check))]
		}
	}
	var out []string
	if explained != nil {
		words := "You told us: " + strings.Join(explained, ", and ") + ". " + by + " explains " + [...]string{"it", "both", "them all"}[min(len(explained), 3)-1]
		if other != nil {
			words += ", but not this: " + strings.Join(other, ", and ") + " (chainpath diagnose)"
		}
		out = append(out, words+".")
	}
	switch {
	case explained != nil || other == nil:
	case len(other) == 1:
		out = append(out, "You told us: "+other[0]+". The chainline does not explain it: check for "+Or(check)+".")
	default:
		none := [...]string{"neither", "none of these"}[min(len(other), 3)-2]
		out = append(out, "You told us: "+strings.Join(other, ", and ")+". The chainline explains "+none+": chainpath diagnose says what to check.")
	}
	var shifts []string
	for i := range list {
		if s := &list[i]; s.OfShifts {
			shifts = append(shifts, s.Words(b))
		}
	}
	if shifts != nil {
		out = append(out, "You told us: "+strings.Join(shifts, ", and ")+". The chainline does not cause it: chainpath shifts says what to do.")
	}
	return strings.Join(out, " ")
}

// Conflict says which entries of a bike file cannot all be true, and what was taken.
func Conflict(words, taken string) string {
	return Capital(words) + ". Computed with " + taken + "."
}

// Standing says a bike's fault score, what that is, and where the bike is among known ones of its
// kind that run well, of which less have less of it and more have more.
func Standing(score float64, less, more int, derailleur bool) string {
	n, kind := less+more, "bikes that run well"
	if !derailleur {
		kind = "bikes without a derailleur that run well"
	}
	s := fmt.Sprintf("Fault score %.2f (all faults in one, 0 best): ", score)
	switch {
	case less == 0:
		return s + fmt.Sprintf("none of %d %s scores better.", n, kind)
	case less == n:
		return s + fmt.Sprintf("all %d %s score better.", n, kind)
	case less == 1:
		return s + fmt.Sprintf("1 of %d %s scores better.", n, kind)
	}
	return s + fmt.Sprintf("%d of %d %s score better.", less, n, kind)
}

// Lines says where the chainring is, or several in the middle, beside the cassette, or the one cog;
// chainlines in mm.
func Lines(front, rear float64, rings, cogs int) string {
	return fmt.Sprintf("%s (front chainline %.1f, rear %.1f mm)", offset(front-rear, rings, cogs), front, rear)
}

// Offset says the same in one line.
func Offset(front, rear float64, rings, cogs int) string {
	return fmt.Sprintf("%s (%.1f and %.1f mm)", offset(front-rear, rings, cogs), front, rear)
}

func offset(d float64, rings, cogs int) string {
	what := "the chainring is "
	if rings > 1 {
		what = "the chainrings are "
	}
	of := "cassette"
	if cogs == 1 {
		of = "cog"
	}
	where := "in line with the " + of
	switch {
	case d > 0.05:
		where = fmt.Sprintf("%.1f mm outboard of the %s", d, of)
	case d < -0.05:
		where = fmt.Sprintf("%.1f mm inboard of the %s", -d, of)
	}
	return what + where
}

// rooms name what a room is beside, by its code.
var rooms = map[string]string{"chainstay": "chainstay", "dropout": "dropout", "wheel": "spokes", "tyre": "tyre"}

// NotMeasured says which rooms nobody measured; "" where there is none.
func NotMeasured(unknown []string) string {
	if len(unknown) == 0 {
		return ""
	}
	return "Clearance not worked out: no gap to " + Or(roomNames(unknown)) + " given."
}

// NotGiven says it before what is to be typed next, as long as fits into so many columns.
func NotGiven(unknown []string, next string, columns int) string {
	names := roomNames(unknown)
	for _, text := range [...]string{"Clearance not worked out: no gap to " + Or(names) + ".", "No gap given to " + strings.Join(names, ", ") + "."} {
		if len([]rune(text+" "+next)) <= columns {
			return text
		}
	}
	return fmt.Sprintf("No room given: %d (--all).", len(names))
}

func roomNames(unknown []string) (list []string) {
	for _, r := range unknown {
		list = append(list, rooms[r])
	}
	return list
}

// mostSpared is how many gears a sentence names that have no fault.
const mostSpared = 5

// Spared says what you saw not to go wrong, by the word of observations.
func Spared(b *Bike, what string, d sim.Direction, gears []Gear) string {
	words := fmt.Sprintf("%s in %d gears", SeenAs(what), len(gears))
	if len(gears) <= mostSpared || len(gears) == len(b.Rings)*len(b.Cogs) {
		words = b.in(SeenAs(what)+" on %s", gears)
	}
	words = strings.Replace(words, " in every gear", " in any gear", 1)
	if d == sim.Backwards {
		words += " when you back-pedal"
	}
	return "You saw " + words + "."
}

// NotLearned says that chances are not fitted to what was seen.
const NotLearned = "What you saw is not learned yet: chainpath learn."

// Learned puts before an answer that it is fitted to what was seen of this bike.
func Learned(answer string) string { return "Fitted to your bike. " + answer }

// Lower returns a text with its first letter small, but for names of gears and "You".
func Lower(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToLower(text[:1]) + text[1:]
}

// FaultScore explains the number where it is first said.
const FaultScore = "Fault score: all faults in one number, 0 best."

// Weights says what the fault score is made of, by the weights in words.
func Weights(list string) string {
	return "The fault score adds the shares of riding time in gears with each fault, over what every bike carries, by weights: " + list + "."
}

// BetterOn explains a column.
const BetterOn = "Better on: of 100 bikes like this, on how many a change helps."

// ShareOfTime explains a table of faults.
const ShareOfTime = "Under each fault: % of riding time in gears with it. " + FaultScore
