package show

import (
	"fmt"
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Complaint is what the rider told, and whether the chain line explains it.
type Complaint struct {
	What      string  `json:"what"`
	Direction string  `json:"direction"`
	Gears     string  `json:"gears"`
	Concern   *string `json:"concern"` // that explains it best; null: nothing in the model does
	Chance    float64 `json:"chance"`  // of that, in the gear where it is greatest
	Explained bool    `json:"explained"`
	Words     string  `json:"words"`
}

// explains is the chance from which on a concern is taken to explain a complaint (tried on
// known bicycles: flat from 0.2 to 0.5).
const explains = atUnclear

// complaintOf are the words for what is told of a gear, by the symptom's name.
var complaintOf = map[string]string{
	"noise": "noise", "drop": "the chain comes off", "rubs_next_cog": "the chain rubs the next cog", "rubs_next_ring": "the chain rubs the next ring",
	"tyre_mark": "the chain marks the tyre", "stay_mark": "marks on the chainstay", "dropout_mark": "marks on the dropout", "spoke_mark": "marks on spokes or rotor",
	"loose_top": "the top run hangs loose", "skips": "the chain skips",
	"slow_to_larger": "shifts to larger cogs are slow", "slow_to_smaller": "shifts to smaller cogs are slow", "skips_in_one": "the chain skips in one gear",
	"skips_in_some": "the chain skips in some gears", "noisy_in_one": "one gear is noisy", "after_crash": "it began after a crash", "after_wheel": "it began with a new wheel or cassette",
}

// complaintsOf answers what a case complains of, in its order. Errors are *cases.Error.
func complaintsOf(c *cases.Case, b *sim.Bike, chances []sim.Chances) ([]Complaint, error) {
	out := []Complaint{}
	list, err := c.SymptomList(b)
	if err != nil {
		return nil, err
	}
	for i, s := range list {
		said := &c.Symptoms[i]
		x := Complaint{What: said.What, Direction: s.Direction.String(), Gears: gearsTold(b, s.Gears)}
		worst := [2]int{}
		for _, k := range decide.SuspectsOf(s) {
			for at := range s.Gears {
				p := chances[at[0]*len(b.Cogs)+at[1]][k]
				if p > x.Chance || p == x.Chance && x.Concern != nil && before(at, worst) {
					code := k.String()
					x.Chance, x.Concern, worst = p, &code, at
				}
			}
		}
		x.Explained = x.Chance >= explains
		if slices.Contains(decide.OfShifts, s.Complaint) {
			x.Words = fmt.Sprintf("You told us: %s%s. That is a matter of indexing: see how it shifts.", complaintOf[said.What], x.Gears)
			x.Gears = strings.TrimPrefix(x.Gears, " in ")
			out = append(out, x)
			continue
		}
		told := fmt.Sprintf("You told us: %s%s%s.", complaintOf[said.What], map[bool]string{true: " when pedalled backwards"}[s.Direction == sim.Backwards], x.Gears)
		if x.Explained {
			x.Words = fmt.Sprintf("%s The chain line explains it: %s has a chance of %s in %d/%d.", told, concernNamed(*x.Concern).Words(), percent(x.Chance), b.Rings[worst[0]].Teeth, b.Cogs[worst[1]].Teeth)
		} else {
			x.Words = fmt.Sprintf("%s The chain line does not explain it%s: look for %s.", told, atMost(x), orList(checksOf(b, said.What)))
		}
		x.Gears, x.Chance = strings.TrimPrefix(x.Gears, " in "), share(x.Chance)
		out = append(out, x)
	}
	return out, nil
}

func before(a, b [2]int) bool { return a[0] < b[0] || a[0] == b[0] && a[1] < b[1] }

// atMost says how likely what explains a complaint best is; nothing where nothing in the
// model could.
func atMost(x Complaint) string {
	if x.Concern == nil {
		return ""
	}
	return fmt.Sprintf(" (%s: at most %s)", concernNamed(*x.Concern).Words(), percent(x.Chance))
}

// percent prints a chance as people read it, never as 0 or 100.
func percent(p float64) string {
	switch {
	case p < 0.01:
		return "1 %"
	case p > 0.99:
		return "99 %"
	}
	return fmt.Sprintf("%.0f %%", 100*p)
}

// concernNamed returns the concern of a code.
func concernNamed(code string) sim.Concern {
	for k := range sim.Hazards {
		if sim.Hazards[k].Code == code {
			return sim.Concern(k)
		}
	}
	panic("show: no concern " + code)
}

// gearsTold names the gears of a complaint with a word before them; nothing where they are
// all.
func gearsTold(b *sim.Bike, gears map[[2]int]bool) string {
	if len(gears) == len(b.Rings)*len(b.Cogs) {
		return ""
	}
	var list [][2]int
	for at := range gears {
		list = append(list, at)
	}
	slices.SortFunc(list, func(a, b [2]int) int {
		if before(a, b) {
			return -1
		}
		return 1
	})
	return " in " + strings.Join(gearNames(b, list), ", ")
}

// capital returns a text with its first letter as a capital.
func capital(text string) string {
	if text == "" {
		return ""
	}
	return strings.ToUpper(text[:1]) + text[1:]
}

// orList joins things to look at: a, b or c.
func orList(list []string) string { return listWith(list, "or") }

func listWith(list []string, word string) string {
	if n := len(list); n > 1 {
		return strings.Join(list[:n-1], ", ") + " " + word + " " + list[n-1]
	}
	return strings.Join(list, "")
}
