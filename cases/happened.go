package cases

import (
	"slices"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Happened returns the faults that observations of the bike as it is report and no symptom does, as
// symptoms: one for each fault and direction, with all gears in which it was seen. Errors are *Error.
func (c *Case) Happened(b *sim.Bike) (out []decide.Symptom, err error) {
	type kind struct {
		what decide.Complaint
		way  sim.Direction
	}
	told := map[kind]map[[2]int]bool{}
	symptoms, err := c.SymptomList(b)
	if err != nil {
		return nil, err
	}
	for _, s := range symptoms {
		k := kind{s.Complaint, s.Direction}
		if told[k] == nil {
			told[k] = map[[2]int]bool{}
		}
		for g := range s.Gears {
			told[k][g] = true
		}
	}
	at := map[kind]int{}
	for i := range c.Observations {
		o := &c.Observations[i]
		if o.ofShifts() || o.Moved.Value != 0 {
			continue
		}
		s, err := c.observation(i)
		if err != nil {
			return nil, err
		}
		if !s.Happened() {
			continue
		}
		k := kind{decide.Complaint(asSymptom(o.What)), directionOf(o.Direction)}
		for _, g := range s.Gears {
			gear := [2]int{g / len(b.Cogs), g % len(b.Cogs)}
			if told[k][gear] {
				continue
			}
			n, known := at[k]
			if !known {
				n = len(out)
				at[k] = n
				out = append(out, decide.Symptom{Complaint: k.what, Direction: k.way, Gears: map[[2]int]bool{}})
			}
			out[n].Gears[gear] = true
		}
	}
	return out, nil
}

// Told returns everything that was seen to go wrong: first the symptoms, of which it returns the
// number, then what Happened returns. Errors are *Error.
func (c *Case) Told(b *sim.Bike) (all []decide.Symptom, symptoms int, err error) {
	list, err := c.SymptomList(b)
	if err != nil {
		return nil, 0, err
	}
	more, err := c.Happened(b)
	return append(list, more...), len(list), err
}

// Spared is what was seen not to go wrong, by the word of observations: fine, quiet and others.
type Spared struct {
	What      string
	Direction sim.Direction
	Gears     []int // ring times the number of cogs and cog, rising
}

// Spared returns what observations of the bike as it is say did not happen: one for each word and direction, with all
// gears. Errors are *Error.
func (c *Case) Spared() (out []Spared, err error) {
	for i := range c.Observations {
		o := &c.Observations[i]
		if o.ofShifts() || o.Moved.Value != 0 {
			continue
		}
		s, err := c.observation(i)
		if err != nil {
			return nil, err
		}
		if s.None == nil {
			continue
		}
		way := directionOf(o.Direction)
		at := slices.IndexFunc(out, func(x Spared) bool { return x.What == o.What && x.Direction == way })
		if at < 0 {
			at = len(out)
			out = append(out, Spared{What: o.What, Direction: way})
		}
		for _, g := range s.Gears {
			if !slices.Contains(out[at].Gears, g) {
				out[at].Gears = append(out[at].Gears, g)
			}
		}
		slices.Sort(out[at].Gears)
	}
	return out, nil
}

// NotLearned reports whether something was seen that no chance was fitted to yet.
func (c *Case) NotLearned() bool {
	return c.Learned == nil && slices.ContainsFunc(c.Observations, func(o Observation) bool { return !o.ofShifts() })
}
