package show

import (
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
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

// answerOf says what is likely and what could go either way, and where the bike stands.
// Trouble is by the usual weights and the shares of time of Case.Shares, as that of the known
// bicycles is.
//
// What cannot be true of the case stands first, then what the rider told, and only then
// what else there is, without what the rider told of already.
func answerOf(c *cases.Case, b *sim.Bike, chances []sim.Chances) (*Answer, error) {
	t, err := troubleIn(c, b, chances, &decide.Usual)
	if err != nil {
		return nil, err
	}
	a := &Answer{Trouble: share(t.Sum), Conflicts: conflictsOf(c)}
	seen, symptoms, err := seenOf(c, b, chances)
	if err != nil {
		return nil, err
	}
	names := namesOf(b)
	a.Complaints = complaintsOf(c, names, seen[:symptoms])
	var said []string
	for _, x := range a.Conflicts {
		said = append(said, say.Conflict(x.Words, x.Taken))
	}
	if len(seen) > 0 {
		said = append(said, say.SeenWords(names, seen))
	}
	said = append(said, faultWords(names, chances, seen)...)
	spared, err := c.Spared()
	if err != nil {
		return nil, err
	}
	for _, x := range spared {
		var gears []say.Gear
		for _, g := range x.Gears {
			gears = append(gears, say.Gear{Ring: g / len(b.Cogs), Cog: g % len(b.Cogs)})
		}
		said = append(said, say.Spared(names, x.What, x.Direction, gears))
	}
	a.Words = strings.Join(said, " ")
	if less, more := cases.Rank(a.Trouble, b.Tensioner != nil); less+more > 0 {
		a.Usual = &UsualRank{less + more, less, more, say.Standing(a.Trouble, less, more, b.Tensioner != nil)}
	}
	return a, nil
}

// namesOf returns what names a bike's gears.
func namesOf(b *sim.Bike) *say.Bike {
	n := &say.Bike{}
	for i := range b.Rings {
		n.Rings = append(n.Rings, b.Rings[i].Teeth)
	}
	for i := range b.Cogs {
		n.Cogs = append(n.Cogs, b.Cogs[i].Teeth)
	}
	return n
}

// toldOf reports of a fault in a gear whether it was seen, and is explained.
func toldOf(seen []say.Seen) func(sim.Concern, say.Gear) bool {
	return func(k sim.Concern, g say.Gear) bool {
		return slices.ContainsFunc(seen, func(s say.Seen) bool {
			return s.Explained && s.By == k && slices.Contains(s.Gears, g)
		})
	}
}

// faultWords are the sentences for what is likely and what could go either way, without what
// explains something that was seen, which is told already.
func faultWords(names *say.Bike, chances []sim.Chances, seen []say.Seen) (out []string) {
	told := toldOf(seen)
	first := !slices.ContainsFunc(seen, func(s say.Seen) bool { return s.Explained })
	for _, f := range say.Faults(names, chances, say.Probable, told) {
		out = append(out, f.Will(names, first))
		first = false
	}
	for _, f := range say.Faults(names, chances, say.Either, told) {
		out = append(out, f.Either(names, first))
		first = false
	}
	if out == nil && len(seen) == 0 {
		out = append(out, say.Nothing)
	}
	return out
}

// Headline is the answer's first sentence.
func (a *Answer) Headline() string {
	head, _, cut := strings.Cut(strings.TrimPrefix(a.Words, say.Learned("")), ". ")
	if cut {
		head += "."
	}
	return head
}

// conflictsOf returns what of a case cannot all be true.
func conflictsOf(c *cases.Case) []Conflict {
	out := []Conflict{}
	for _, x := range c.Conflicts() {
		out = append(out, Conflict{x.Paths, x.Words, x.Taken})
	}
	return out
}
