package say

import (
	"fmt"
	"strings"

	"chainpath/sim"
)

// Small are the words that the page puts beside numbers which it works out itself, while a hand
// moves the chainring, and in the keys of its figures.
type Small struct {
	Levels  []SmallLevel      `json:"levels"` // by rising chance
	Ways    map[string]string `json:"ways"`   // of directions, by their names in output
	Letters string            `json:"letters"`
	Today   string            `json:"today"`
	Best    string            `json:"best"`
	NoRoom  string            `json:"no_room"`
	Fine    string            `json:"fine"` // that nothing was seen
}

// SmallLevel is a level of chance, from which on, and its words.
type SmallLevel struct {
	From  float64 `json:"from"`
	Words string  `json:"words"`
}

// NoFault is said where no fault has a chance that is spoken of.
const NoFault = "no fault expected"

// Way names a direction.
func Way(d sim.Direction) string { return [...]string{"riding", "back-pedalling"}[d] }

// SmallWords returns them.
func SmallWords() *Small {
	s := &Small{Ways: map[string]string{}, Today: "today", Best: "lowest fault score", NoRoom: "no room", Fine: SeenAs("fine")}
	for _, l := range [...]struct {
		from  float64
		words string
	}{{0, NoFault}, {FromUnlikely, Unlikely.Word()}, {FromEither, Either.Word()}, {FromProbable, Probable.Word()}} {
		s.Levels = append(s.Levels, SmallLevel{l.from, l.words})
	}
	for d := sim.Riding; d <= sim.Backwards; d++ {
		s.Ways[d.String()] = Way(d)
	}
	s.Letters = fmt.Sprintf("The worst fault in each gear: %s. Below %.0f %% no fault is shown.", strings.Join(letters(), ", "), 100*FromUnlikely)
	return s
}

// letters are the letters of compact tables with what they stand for, in the order of the faults.
func letters() (out []string) {
	at := map[string]int{}
	for i := range sim.Hazards {
		h := &sim.Hazards[i]
		if k, known := at[h.Letter]; known {
			out[k] += " or " + h.Words
			continue
		}
		at[h.Letter] = len(out)
		out = append(out, h.Letter+" "+h.Words)
	}
	return out
}

// SeenAs says what an observation says, by its word in bike files: quiet speaks of noise alone.
func SeenAs(what string) string {
	switch what {
	case "":
		return ""
	case "fine":
		return "no fault"
	}
	for i := range sim.Hazards {
		switch h := &sim.Hazards[i]; what {
		case h.Unseen:
			return "no " + h.Words
		case h.Seen:
			if what == sim.Hazards[sim.DropBackwards].Seen {
				return "drops"
			}
			return h.Words
		}
	}
	return strings.ReplaceAll(what, "_", " ")
}

// Also says what else is likely in a direction, which no chain angle shows; "" for nothing.
func Also(d sim.Direction, note string) string {
	if note == "" {
		return ""
	}
	return fmt.Sprintf("%s also: %s.", Capital(Way(d)), note)
}
