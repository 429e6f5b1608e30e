package show

import (
	"fmt"
	"strings"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Answer is what is to be expected of the bicycle, in one sentence and one number.
type Answer struct {
	Words   string     `json:"words"`
	Trouble float64    `json:"trouble"`
	Usual   *UsualRank `json:"usual"`
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
func answerOf(b *sim.Bike, chances []sim.Chances) (*Answer, error) {
	t, err := decide.Expect(chances, nil, &decide.Usual)
	if err != nil {
		return nil, err
	}
	a := &Answer{Trouble: share(t.Sum)}
	likely, unclear := tell(b, chances, atLikely, 2), tell(b, chances, atUnclear, atLikely)
	switch {
	case likely == "" && unclear == "":
		a.Words = "Nothing is likely to go wrong in any gear."
	case likely == "":
		a.Words = "Nothing is likely; cannot tell: " + unclear + "."
	case unclear == "":
		a.Words = "Likely: " + likely + "."
	default:
		a.Words = "Likely: " + likely + ". Cannot tell: " + unclear + "."
	}
	if less, more := cases.Rank(a.Trouble, b.Tensioner != nil); less+more > 0 {
		a.Usual = &UsualRank{less + more, less, more, usualWords(less, more, b.Tensioner != nil)}
	}
	return a, nil
}

func usualWords(less, more int, tensioned bool) string {
	kind := "bicycles with a derailleur"
	if !tensioned {
		kind = "bicycles without a tensioner"
	}
	of := fmt.Sprintf("of %d known %s that run well %d have less trouble", less+more, kind, less)
	switch share := float64(less) / float64(less+more); {
	case share >= 0.95:
		return "Worse than usual: " + of + "."
	case share >= 0.75:
		return "More than most: " + of + "."
	}
	return "That is usual: " + of + "."
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
