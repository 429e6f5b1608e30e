package show

import (
	"cmp"
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
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

// seenOf answers what a case complains of, in its order, and then the faults that its observations
// tell of beside that; symptoms is how many are complaints. Errors are *cases.Error.
func seenOf(c *cases.Case, b *sim.Bike, chances []sim.Chances) (out []say.Seen, symptoms int, err error) {
	list, symptoms, err := c.Told(b)
	if err != nil {
		return nil, 0, err
	}
	for _, s := range list {
		x := say.Seen{What: string(s.Complaint), Direction: s.Direction, By: -1}
		for at := range s.Gears {
			x.Gears = append(x.Gears, say.Gear{Ring: at[0], Cog: at[1]})
		}
		slices.SortFunc(x.Gears, func(a, b say.Gear) int { return cmp.Or(cmp.Compare(a.Ring, b.Ring), cmp.Compare(a.Cog, b.Cog)) })
		for _, k := range decide.SuspectsOf(s) {
			for _, g := range x.Gears {
				if p := chances[g.Ring*len(b.Cogs)+g.Cog][k]; p > x.Chance {
					x.Chance, x.By = p, k
				}
			}
		}
		if x.By >= 0 {
			x.Least = x.Chance
			for _, g := range x.Gears {
				x.Least = min(x.Least, chances[g.Ring*len(b.Cogs)+g.Cog][x.By])
			}
		}
		x.Explained, x.Check = say.Explains(x.Chance), checksOf(b, x.What)
		x.OfShifts = slices.Contains(decide.OfShifts, s.Complaint)
		out = append(out, x)
	}
	return out, symptoms, nil
}

// complaintsOf returns the document of what was seen; never nil.
func complaintsOf(c *cases.Case, names *say.Bike, seen []say.Seen) []Complaint {
	out := []Complaint{}
	for i := range seen {
		s := &seen[i]
		x := Complaint{What: s.What, Direction: s.Direction.String(), Chance: share(s.Chance), Explained: s.Explained, Words: s.Sentence(names)}
		var gears []string
		for _, g := range s.Gears {
			gears = append(gears, names.Name(g))
		}
		if len(gears) < len(names.Rings)*len(names.Cogs) {
			x.Gears = strings.Join(gears, ", ")
		}
		if s.By >= 0 {
			code := s.By.String()
			x.Concern = &code
		}
		out = append(out, x)
	}
	return out
}
