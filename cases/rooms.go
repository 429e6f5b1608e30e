package cases

import "chainpath/sim"

// dropoutGap returns the reading from the dropout to the smallest cog's outer face; ok is false
// where nobody took it.
func (c *Case) dropoutGap() (gap Quantity, ok bool) {
	if m := c.Rear.Measured; m != nil && m.Gap.Given && !c.inferred["rear.measured.gap"] {
		return m.Gap, true
	}
	return c.Rear.Dropout, c.Rear.Dropout.Given
}

// dropout stands where it was measured from the smallest cog, less what a change has moved
// that by since.
func (c *Case) dropout(b *sim.Bike) {
	if gap, ok := c.dropoutGap(); ok {
		b.Dropout = &sim.Dropout{Face: b.CogFace() + gap.Value - c.cogMoved}
	}
}

func (c *Case) rotor(b *sim.Bike) {
	if r := c.Rotor; r != nil {
		b.Rotor = &sim.Rotor{Line: r.Line.Value, Radius: r.Radius.Value}
	}
}

// held is what of the frame stands where it was measured when a change moves ring and cogs;
// nil: it goes by the reading, which the change sets itself, or is not known.
type held struct {
	stay    *sim.Stay
	dropout *sim.Dropout
}

func heldBy(b *sim.Bike) held { return held{b.Stay, b.Dropout} }

// release lets go of what a change of a field measures anew.
func (h *held) release(path string) {
	switch {
	case has(path, "chainstay"):
		h.stay = nil
	case has(path, "rear.measured", "rear.dropout_gap"):
		h.dropout = nil
	}
}

// hold puts what is held into the bike of a changed case, and into the case what the gaps are
// now, so that they are drawn about those.
func (h *held) hold(c *Case, b *sim.Bike) {
	if h.stay != nil && b.Stay != nil {
		s := c.Chainstay
		s.Gap = s.Gap.plus(b.RingFace() - h.stay.Face - s.Gap.Value)
		if !s.Radius.Given {
			s.Radius = Q(h.stay.Radius)
		}
		*b.Stay = *h.stay
	}
	if h.dropout == nil {
		c.cogMoved = 0
	} else if gap, ok := c.dropoutGap(); ok {
		c.cogMoved = b.CogFace() + gap.Value - h.dropout.Face
		*b.Dropout = *h.dropout
	}
}

// follow moves stay and dropout with the faces that they were measured from, which stood at
// ring and cog, mm: what is drawn of wheels and lines is no doubt of the gap.
func follow(b *sim.Bike, ring, cog float64) {
	if b.Stay != nil {
		b.Stay.Face += b.RingFace() - ring
	}
	if b.Dropout != nil {
		b.Dropout.Face += b.CogFace() - cog
	}
}

// lacks names what the case would have to tell for there to be a chance of a concern; "" where
// it does, or it takes nothing that can be left out.
func (c *Case) lacks(k sim.Concern) string {
	_, read := c.dropoutGap()
	switch {
	case k == sim.RubsTyreAt && c.Tyre == nil:
		return "tyre"
	case k == sim.MeetsStay && c.Chainstay == nil:
		return "chainstay"
	case k == sim.MeetsDropout && !read:
		return "gap to the dropout"
	case k == sim.MeetsWheel && c.Spokes == nil && c.Rotor == nil:
		return "spokes and no brake_rotor"
	}
	return ""
}

// RoomsUnknown lists the rooms that nobody measured, so that no chance tells of them.
func RoomsUnknown(b *sim.Bike) []string {
	out := []string{}
	for _, r := range [...]struct {
		name  string
		known bool
	}{{"chainstay", b.Stay != nil}, {"dropout", b.Dropout != nil}, {"wheel", b.Spokes != nil || b.Rotor != nil}, {"tyre", b.Tyre != nil}} {
		if !r.known {
			out = append(out, r.name)
		}
	}
	return out
}
