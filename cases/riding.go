package cases

import (
	"fmt"
	"slices"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Shares returns the riding profile as shares of time, one a gear in the order of
// sim.Result, decide.UsualShares where the case has none. Errors are *Error.
func (c *Case) Shares(b *sim.Bike) ([]float64, error) {
	r := c.Riding
	if r == nil {
		return decide.UsualShares(countsOf(b.Rings), countsOf(b.Cogs)), nil
	}
	var ratios []float64
	for _, ring := range b.Rings {
		for _, cog := range b.Cogs {
			ratios = append(ratios, float64(ring.Teeth)/float64(cog.Teeth))
		}
	}
	if len(r.Shares) == 0 {
		if !r.Ratio.Given || !r.Spread.Given {
			return nil, c.fail("riding", "neither shares nor ratio with spread, want one of the two")
		}
		w, err := decide.RatioWeights(ratios, r.Ratio.Value, r.Spread.Value)
		if err != nil {
			return nil, c.fail("riding", "%s", err)
		}
		return w, nil
	}
	if r.Ratio.Given || r.Spread.Given {
		return nil, c.fail("riding.shares", "shares are given beside ratio or spread, keep one of the two")
	}
	w := make([]float64, len(ratios))
	for i, s := range r.Shares {
		ring := slices.IndexFunc(b.Rings, func(x sim.Wheel) bool { return x.Teeth == s.Ring })
		cog := slices.IndexFunc(b.Cogs, func(x sim.Wheel) bool { return x.Teeth == s.Cog })
		if ring < 0 || cog < 0 {
			return nil, c.fail(fmt.Sprintf("riding.shares[%d]", i), "this bike has no gear %d/%d", s.Ring, s.Cog)
		}
		w[ring*len(b.Cogs)+cog] += s.Share.Value
	}
	if err := decide.Normalise(w); err != nil {
		return nil, c.fail("riding.shares", "they sum to 0, want more")
	}
	return w, nil
}

// SymptomList returns the case's symptoms for decide.Diagnose. Errors are *Error.
func (c *Case) SymptomList(b *sim.Bike) (out []decide.Symptom, err error) {
	for i, s := range c.Symptoms {
		d := decide.Symptom{Complaint: decide.Complaint(s.What), Direction: directionOf(s.Direction), Gears: map[[2]int]bool{}}
		rings, err := c.indices(fmt.Sprintf("symptoms[%d].rings", i), "chainring", s.Rings, b.Rings)
		if err != nil {
			return nil, err
		}
		cogs, err := c.indices(fmt.Sprintf("symptoms[%d].cogs", i), "cog", s.Cogs, b.Cogs)
		if err != nil {
			return nil, err
		}
		for _, r := range rings {
			for _, k := range cogs {
				d.Gears[[2]int{r, k}] = true
			}
		}
		out = append(out, d)
	}
	return out, nil
}

// indices finds wheels by their teeth; none named are all.
func (c *Case) indices(path, name string, teeth []int, wheels []sim.Wheel) (out []int, err error) {
	if len(teeth) == 0 {
		for i := range wheels {
			out = append(out, i)
		}
		return out, nil
	}
	for j, n := range teeth {
		i := slices.IndexFunc(wheels, func(x sim.Wheel) bool { return x.Teeth == n })
		if i < 0 {
			var have []int
			for _, w := range wheels {
				have = append(have, w.Teeth)
			}
			return nil, c.fail(fmt.Sprintf("%s[%d]", path, j), "no %s of %d teeth, want of %v", name, n, have)
		}
		out = append(out, i)
	}
	return out, nil
}

// countsOf returns the teeth of wheels.
func countsOf(wheels []sim.Wheel) (teeth []int) {
	for i := range wheels {
		teeth = append(teeth, wheels[i].Teeth)
	}
	return teeth
}

// RideAs gives a case without a riding profile that of another, so that both are weighed alike, and reports whether
// it did: one by ratio and spread fits every bike, one by single gears none but that with those gears.
func (c *Case) RideAs(other *Case) bool {
	if c.Riding != nil || other.Riding == nil || len(other.Riding.Shares) > 0 {
		return false
	}
	c.Riding = other.Riding
	return true
}
