package show

import (
	"fmt"
	"strings"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Answer is what is to be expected of the bicycle, in a few sentences and one number.
type Answer struct {
	Words      string      `json:"words"`
	Conflicts  []Conflict  `json:"conflicts"`
	Complaints []Complaint `json:"complaints"`
	Trouble    float64     `json:"trouble"`
	Usual      *UsualRank  `json:"usual"`
}

// Conflict is where entries of a case cannot all be true.
type Conflict struct {
	Fields []string `json:"fields"`
	Words  string   `json:"words"`
	Taken  string   `json:"taken"`
}

// UsualRank places a bicycle among the known ones of its kind that run well.
type UsualRank struct {
	Of    int    `json:"of"`
	Less  int    `json:"with_less_trouble"`
	More  int    `json:"with_more_trouble"`
	Words string `json:"words"`
}

// answerOf says what is likely and what cannot be told, and how usual that is. Trouble is
// by the usual weights with all gears alike, as that of the known bicycles is.
//
// What cannot be true of the case stands first, then what the rider complains of, and only
// then what else there is.
func answerOf(c *cases.Case, b *sim.Bike, chances []sim.Chances) (*Answer, error) {
	t, err := troubleIn(c, b, chances, &decide.Usual)
	if err != nil {
		return nil, err
	}
	a := &Answer{Trouble: share(t.Sum), Conflicts: conflictsOf(c)}
	if a.Complaints, err = complaintsOf(c, b, chances); err != nil {
		return nil, err
	}
	var said []string
	for _, x := range a.Conflicts {
		said = append(said, capital(x.Words)+"; computed with "+x.Taken+".")
	}
	for _, x := range a.Complaints {
		said = append(said, x.Words)
	}
	likely, unclear := tell(b, chances, atLikely, 2), tell(b, chances, atUnclear, atLikely)
	switch {
	case likely == "" && unclear == "":
		if len(a.Complaints) == 0 {
			said = append(said, "Nothing is likely to go wrong in any gear.")
		}
	case likely == "" && len(a.Complaints) == 0:
		said = append(said, "Nothing is likely; cannot tell: "+unclear+".")
	case likely == "":
		said = append(said, "Cannot tell: "+unclear+".")
	case unclear == "":
		said = append(said, "Likely: "+likely+".")
	default:
		said = append(said, "Likely: "+likely+". Cannot tell: "+unclear+".")
	}
	a.Words = strings.Join(said, " ")
	if less, more := cases.Rank(a.Trouble, b.Tensioner != nil); less+more > 0 {
		a.Usual = &UsualRank{less + more, less, more, usualWords(less, more, b.Tensioner != nil)}
	}
	return a, nil
}

// conflictsOf returns what of a case cannot all be true.
func conflictsOf(c *cases.Case) []Conflict {
	out := []Conflict{}
	for _, x := range c.Conflicts() {
		out = append(out, Conflict{x.Paths, x.Words, x.Taken})
	}
	return out
}

// usualWords says plainly where a bicycle stands among the known good ones.
func usualWords(less, more int, tensioned bool) string {
	kind := "known good bicycles with a derailleur"
	if !tensioned {
		kind = "known good bicycles without a tensioner"
	}
	switch n := less + more; {
	case less == n:
		return fmt.Sprintf("More trouble than any of %d %s.", n, kind)
	case less > 0:
		return fmt.Sprintf("More trouble than %d of %d %s.", less, n, kind)
	default:
		return fmt.Sprintf("No more trouble than any of %d %s.", n, kind)
	}
}

// tell lists the concerns with a chance from lo to below hi, each with its gears.
func tell(b *sim.Bike, chances []sim.Chances, lo, hi float64) string {
	var out []string
	for _, k := range sim.ToldOrder() {
		var gears []string
		for i := range chances {
			if p := chances[i][k]; p >= lo && p < hi {
				ring, cog := i/len(b.Cogs), i%len(b.Cogs)
				gears = append(gears, fmt.Sprintf("%d/%d", b.Rings[ring].Teeth, b.Cogs[cog].Teeth))
			}
		}
		if len(gears) > 0 {
			out = append(out, k.Words()+" in "+strings.Join(gears, ", "))
		}
	}
	return strings.Join(out, "; ")
}
