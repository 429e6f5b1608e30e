package sim

import "slices"

// dimensions appends where a bike's dimensions stand: every number that a design may have
// otherwise and still be judged by versions of this bike, in one order. Chain, teeth and front
// cage are not among them.
func (b *Bike) dimensions(to []*float64) []*float64 {
	for i := range b.Rings {
		to = append(to, &b.Rings[i].Line)
	}
	for i := range b.Cogs {
		to = append(to, &b.Cogs[i].Line)
	}
	f, l := &b.Frame, &b.Load
	to = append(to, &f.Stay, &f.Drop, &f.Farthest.Stay, &f.Farthest.Drop, &b.Bolts.Radius, &b.Bolts.Depth, &b.Slot.Forward, &b.Slot.Back,
		&l.Torque, &l.Tension, &l.FreehubDrag, &l.SlackSide, &l.BackTorque, &l.Sag, &l.Bumps, &b.CogRoom, &b.NoiseFrom, &b.RingPins)
	if t := b.Tensioner; t != nil {
		to = append(to, &t.Cage, &t.Direction, &t.Gap[0], &t.Gap[1], &t.IndexError, &t.Folded, &t.Stretched, &t.PivotOffset, &t.PivotAngle,
			&t.Spring, &t.SpringRate, &t.Width, &t.Float, &t.Hanger.Lean, &t.Hanger.Toe)
	}
	if d := b.Idler; d != nil {
		to = append(to, &d.Line, &d.X, &d.Z)
	}
	if t := b.Tyre; t != nil {
		to = append(to, &t.BeadSeat, &t.Section, &t.Width, &t.Dish, &t.Mud)
	}
	if s := b.Stay; s != nil {
		to = append(to, &s.Face, &s.Radius, &s.Angle, &s.Flex, &s.Diameter)
	}
	if s := b.Spokes; s != nil {
		to = append(to, &s.Flange, &s.FlangeLine, &s.Rim, &s.RimLine)
	}
	if r := b.Rotor; r != nil {
		to = append(to, &r.Line, &r.Radius)
	}
	if d := b.Dropout; d != nil {
		to = append(to, &d.Face)
	}
	return to
}

// copied returns a bike that shares no dimension with another.
func (b *Bike) copied() *Bike {
	c := *b
	c.Rings, c.Cogs = slices.Clone(b.Rings), slices.Clone(b.Cogs)
	c.Tensioner, c.Idler, c.Tyre, c.Stay = cloned(b.Tensioner), cloned(b.Idler), cloned(b.Tyre), cloned(b.Stay)
	c.Spokes, c.Rotor, c.Dropout = cloned(b.Spokes), cloned(b.Rotor), cloned(b.Dropout)
	return &c
}

func cloned[T any](x *T) *T {
	if x == nil {
		return nil
	}
	y := *x
	return &y
}

// Takes reports whether a design differs from the prepared bike in dimensions alone.
func (p *Prepared) Takes(b *Bike) bool { return p.base.Alike(b) }

// Alike reports whether a bike differs from another in dimensions alone: lines, stay, places,
// rooms, pulls and loads, and not in chain, teeth or what parts it has.
func (a *Bike) Alike(b *Bike) bool {
	c, d := a.Chain, b.Chain
	c.Links, d.Links = 0, 0
	if c != d || a.Drive != b.Drive || a.PinsAt != b.PinsAt || !alike(a.Rings, b.Rings) || !alike(a.Cogs, b.Cogs) {
		return false
	}
	if !both(a.Tensioner, b.Tensioner) || !both(a.Idler, b.Idler) || !both(a.Tyre, b.Tyre) || !both(a.Stay, b.Stay) ||
		!both(a.Spokes, b.Spokes) || !both(a.Rotor, b.Rotor) || !both(a.Dropout, b.Dropout) || !both(a.FrontCage, b.FrontCage) {
		return false
	}
	if t := a.Tensioner; t != nil && (t.Guide != b.Tensioner.Guide || t.Tension != b.Tensioner.Tension) {
		return false
	}
	if d := a.Idler; d != nil && (d.Sprocket != b.Idler.Sprocket || d.Held != b.Idler.Held) {
		return false
	}
	if f := a.FrontCage; f != nil && (f.Inside != b.FrontCage.Inside || f.From != b.FrontCage.From || f.To != b.FrontCage.To || !slices.Equal(f.Places, b.FrontCage.Places)) {
		return false
	}
	return true
}

// sideAlike reports whether an alike bike has the same side view.
func (a *Bike) sideAlike(b *Bike) bool {
	if a.Frame != b.Frame || a.Slot != b.Slot {
		return false
	}
	if t, u := a.Tensioner, b.Tensioner; t != nil && (t.Cage != u.Cage || t.Direction != u.Direction || t.Gap != u.Gap || t.Folded != u.Folded ||
		t.Stretched != u.Stretched || t.PivotOffset != u.PivotOffset || t.PivotAngle != u.PivotAngle) {
		return false
	}
	return a.Idler == nil || a.Idler.X == b.Idler.X && a.Idler.Z == b.Idler.Z
}

func both[T any](a, b *T) bool { return (a == nil) == (b == nil) }

func alike(a, b []Wheel) bool {
	return slices.EqualFunc(a, b, func(x, y Wheel) bool { return x.Sprocket == y.Sprocket })
}

// shifts is by how much a design's dimensions differ from the prepared bike's.
type shifts struct {
	rings, cogs []float64 // lines
	was, is     []*float64
	across      bool // nothing is moved but along the axle: the side view is the same
	bike        Bike // a version's with the design's tyre
	tyre        Tyre
	loop        Loop
}

func (s *shifts) between(from, to *Bike) {
	s.was, s.is = from.dimensions(s.was[:0]), to.dimensions(s.is[:0])
	s.across = from.sideAlike(to)
	s.rings, s.cogs = s.rings[:0], s.cogs[:0]
	for i := range from.Rings {
		s.rings = append(s.rings, to.Rings[i].Line-from.Rings[i].Line)
	}
	for i := range from.Cogs {
		s.cogs = append(s.cogs, to.Cogs[i].Line-from.Cogs[i].Line)
	}
}

// anew is a version's bike as the design has it, for gears that are laid anew.
type anew struct {
	of   *prepared
	bike *Bike
	at   []*float64

	takesUp bool // whether its cage was made one that takes up the chain
}

// carried returns a version's bike as the design has it.
func (p *Prepared) carried(v *prepared) *Bike {
	a := &p.anew
	if a.of != v {
		a.of, a.bike, a.takesUp = v, v.Bike.copied(), false
		a.at = a.bike.dimensions(a.at[:0])
		for i, d := range a.at {
			*d += *p.shift.is[i] - *p.shift.was[i]
		}
	}
	return a.bike
}

// again lays a gear of a version anew.
func (p *Prepared) again(x *facts, v *prepared, ring, cog, links int) error {
	b := p.carried(v)
	if a := &p.anew; !a.takesUp {
		longer, err := p.takingUp(b, links)
		if err != nil {
			return err
		}
		a.bike, a.takesUp = longer, true
		b = longer
	}
	p.o.ringStay = b.RingStayGap()
	return p.o.measure(x, b, ring, cog, links, &near{})
}
