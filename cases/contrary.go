package cases

import (
	"fmt"
	"slices"
	"strings"

	"chainpath/sim"
	"chainpath/sim/learn"
)

// Contrary names two entries, of which one says that a fault happens in some gears and the other
// that it does not.
type Contrary struct {
	Path  string // of the later entry
	Words string
}

// Contrary lists what contradicts itself of what was seen, each pair of entries once. Both are
// counted all the same. Errors are *Error.
func (c *Case) Contrary() (out []Contrary, err error) {
	seen, err := c.Seen()
	if err != nil {
		return nil, err
	}
	for j := range seen {
		for i := range j {
			k, gears := contradict(&seen[i], &seen[j])
			if gears == nil {
				k, gears = contradict(&seen[j], &seen[i])
			}
			if gears == nil {
				continue
			}
			var names []string
			for _, g := range gears {
				names = append(names, fmt.Sprintf("%d/%d", c.Front.Rings[g/len(c.Rear.Cogs)], c.Rear.Cogs[g%len(c.Rear.Cogs)]))
			}
			out = append(out, Contrary{seen[j].Path, fmt.Sprintf("%q and %q contradict each other: %s is seen and not seen in %s. Both count. Look again",
				seen[i].Text, seen[j].Text, k.Words(), strings.Join(names, ", "))})
		}
	}
	return out, nil
}

// contradict returns the gears of which one entry says that a fault happens and the other that it
// does not; none where they agree.
func contradict(yes, no *learn.Seen) (k sim.Concern, gears []int) {
	if !yes.Happened() || !no.Denies(yes.One) || yes.Moved != no.Moved {
		return 0, nil
	}
	for _, g := range yes.Gears {
		if slices.Contains(no.Gears, g) {
			gears = append(gears, g)
		}
	}
	return yes.One, gears
}
