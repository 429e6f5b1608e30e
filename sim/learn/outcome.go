package learn

import (
	"chainpath/sim"
	"chainpath/sim/judge"
)

// outcome is what was seen of one concern in one gear: yes or no, or in tries whether ever.
type outcome struct {
	gear    int
	concern sim.Concern
	tries   int // 0: a word
	yes     bool
	number  float64
}

// outcomes returns what an observation says of single gears; nothing where it is of any of
// several, or of a change that was tried.
func (s *Seen) outcomes() (out []outcome) {
	if s.Any || s.Moved != 0 {
		return nil
	}
	for _, g := range s.Gears {
		for _, k := range s.None {
			out = append(out, outcome{gear: g, concern: k})
		}
		if s.None == nil {
			out = append(out, outcome{gear: g, concern: s.One, tries: s.Of, yes: s.Of == 0 || s.Off > 0})
		}
	}
	return out
}

// chance returns the chance of yes by what every set gives; nil of one that cannot be.
func (o *outcome) chance(all [][]sim.Chances) float64 {
	s := SpreadOf(o.concern)
	c := s.Counter(false)
	for _, gears := range all {
		if gears != nil && gears[o.gear].Is(o.concern) {
			c.Add(0, s.Level(Unsure(o.concern, gears[o.gear][o.concern])))
		}
	}
	if r := c.Rates(); o.tries > 0 {
		return judge.OffTheEnds(1 - r.Count(0, o.tries))
	} else {
		return judge.OffTheEnds(r.Fault())
	}
}
