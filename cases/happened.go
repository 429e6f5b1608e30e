package cases

import (
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Happened returns the faults that observations report and no symptom does, as symptoms: one for
// each fault and direction, with all gears in which it was seen. Errors are *Error.
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
		if o.ofShifts() {
			continue
		}
		s, err := c.observation(i)
		if err != nil {
			return nil, err
		}
		if !s.happened() {
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
