package cases

import (
	"fmt"
	"slices"
	"strings"

	"chainpath/sim"
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
			out = append(out, Contrary{seen[j].path, fmt.Sprintf("%q and %q contradict each other: %s is seen and not seen in %s. Both count. Look again",
				seen[i].Text, seen[j].Text, k.Words(), strings.Join(names, ", "))})
		}
	}
	return out, nil
}

// contradict returns the gears of which one entry says that a fault happens and the other that it
// does not; none where they agree.
func contradict(yes, no *Seen) (k sim.Concern, gears []int) {
	if !yes.happened() || !no.denies(yes.one) {
		return 0, nil
	}
	for _, g := range yes.Gears {
		if slices.Contains(no.Gears, g) {
			gears = append(gears, g)
		}
	}
	return yes.one, gears
}

// happened reports whether the fault happened in every one of the gears.
func (s *Seen) happened() bool { return s.none == nil && !s.isAny && (s.Of == 0 || s.Off > 0) }

// cleanTries is how many tries without a fault deny it: of a fault that happens in one of ten they
// have a chance below 5 %, 0.9^29. Fewer leave that open.
const cleanTries = 29

// denies reports whether the entry says that a fault does not happen in its gears.
func (s *Seen) denies(k sim.Concern) bool {
	return slices.Contains(s.none, k) || s.none == nil && s.one == k && s.Of >= cleanTries && s.Off == 0
}
