package cases

import (
	"errors"
	"fmt"
	"math"
	"strings"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// check finds what does not go together in a case that was read: every mistake that
// can be told apart. What is known already is not told again, and keeps what rests on
// the whole bike from being looked at.
func (c *Case) check(known []*Error) error {
	d, found := c.numbers(), []*Error(nil)
	keep := func(err error) { found = append(found, apart(known, err)...) }
	b := &sim.Bike{Chain: c.chain(d)}
	_, err := c.frame(d)
	keep(err)
	for _, part := range []func(*sim.Bike, *numbers) error{c.front, c.rear, c.tensioner, c.tyre} {
		keep(part(b, d))
	}
	keep(c.loadGiven())
	keep(c.checkSpreads())
	if len(known) == 0 && len(found) == 0 {
		keep(c.checkWhole())
	}
	return together(found)
}

// checkWhole finds what does not go together in a bike whose parts are good.
func (c *Case) checkWhole() error {
	b, err := c.Bike()
	if err != nil {
		return err
	}
	if err := c.Explain(b.Validate()); err != nil {
		return err
	}
	_, e1 := c.Shares(b)
	_, e2 := c.SymptomList(b)
	_, e3 := c.countedRange()
	all := []error{e1, e2, e3}
	for i := range c.Observations {
		_, err := c.observation(i)
		all = append(all, err)
	}
	return together(flat(errors.Join(all...)))
}

// fail returns an error at a field, or at the nearest group around it that the
// file gives.
func (c *Case) fail(path, format string, a ...any) error {
	e := &Error{File: c.file, Path: path, Problem: fmt.Sprintf(format, a...)}
	for p := path; p != ""; p = p[:max(0, strings.LastIndexAny(p, ".["))] {
		if at, ok := c.at[p]; ok {
			e.Line, e.Col = at.line, at.col
			break
		}
	}
	return e
}

// Explain turns an error about the bike that was built from the case into one
// that names the case's file and field; others it returns as they are.
func (c *Case) Explain(err error) error {
	var be *sim.BikeError
	if !errors.As(err, &be) {
		if errors.Is(err, sim.ErrOverlap) {
			return &Error{File: c.file, Problem: strings.TrimPrefix(err.Error(), "sim: ")}
		}
		return err
	}
	path, ok := map[string]string{
		"rings": "front.rings", "cogs": "rear.cogs", "slot": "frame.slot",
		"tensioner.guide": "tensioner.guide_teeth", "tensioner.tension": "tensioner.tension_teeth",
	}[be.Part]
	if !ok {
		path = be.Part
	}
	if path, hint := c.chainBlamed(be); hint != "" {
		return c.fail(path, "%s: %s", be.Problem, hint)
	}
	return c.fail(path, "%s", be.Problem)
}

// chainBlamed returns the width of the chain that is the likelier mistake where teeth do not fit between
// plates, or plates within the rivets, and what to do about it; "" for none that was given.
func (c *Case) chainBlamed(e *sim.BikeError) (path, hint string) {
	switch {
	case c.Chain.Width.Given && (e.Plates || e.Part == "chain.width"):
		return "chain.width", "check it: it is over the rivets, and the width inside is chain.inner_width"
	case c.Chain.InnerWidth.Given && e.Plates:
		return "chain.inner_width", "check it: it is between the inner plates"
	}
	return "", ""
}

// Bike returns the model of a case: defaults filled in, lines worked out from
// their measurements, everything in mm, N, N·mm and radians. Errors are *Error.
func (c *Case) Bike() (*sim.Bike, error) { return c.build(c.numbers()) }

// build returns the model with those numbers where the case is silent.
func (c *Case) build(d *numbers) (*sim.Bike, error) {
	b := &sim.Bike{Chain: c.chain(d), Load: c.load(d), CogRoom: standing("neighbour's room"), RingPins: standing("shift pins")}
	var err error
	if b.Frame, err = c.frame(d); err != nil {
		return nil, err
	}
	if s := c.Frame.Slot; s != nil {
		b.Slot = sim.Slot{Forward: s.Forward.Or(d.of("frame.slot.forward")), Back: s.Back.Or(d.of("frame.slot.back"))}
	}
	if err := c.front(b, d); err != nil {
		return nil, err
	}
	if err := c.rear(b, d); err != nil {
		return nil, err
	}
	if c.loose {
		b.Slot = c.room
		ring, cog := b.Rings[len(b.Rings)-1], b.Cogs[len(b.Cogs)-1]
		touch := ring.TipRadius(b.Chain.Pitch) + cog.TipRadius(b.Chain.Pitch)
		b.Slot.Forward = max(0, min(b.Slot.Forward, b.Frame.Stay-touch-1, b.Frame.Stay-math.Abs(b.Frame.Drop)-1))
	}
	if err := c.tensioner(b, d); err != nil {
		return nil, err
	}
	c.idler(b, d)
	if err := c.tyre(b, d); err != nil {
		return nil, err
	}
	if err := c.spokes(b); err != nil {
		return nil, err
	}
	c.rotor(b)
	c.stay(b, d)
	c.dropout(b)
	b.NoiseFrom = sim.Radians(c.noiseFrom(b))
	return b, c.loadGiven()
}

// noiseFrom returns the bend from which the default set calls a ride noisy, °.
func (c *Case) noiseFrom(b *sim.Bike) float64 {
	switch {
	case b.Tensioner == nil:
		return standing("noise from, no tensioner")
	case b.Rings[0].WideNarrow():
		return standing("noise from, wide and narrow")
	}
	return standing("noise from, plain")
}

func (c *Case) chain(d *numbers) sim.Chain {
	x := c.Chain
	inner, width, proud := x.InnerWidth.Or(d.of("chain.inner_width")), x.Width.Or(d.of("chain.width")), x.Proud.Or(d.of("chain.rivet_proud"))
	outer := x.OuterWidth.Or(outerWidth(inner, width, proud) + d.plates)
	return sim.Chain{
		Chain: engage.Chain{
			Pitch:           d.of("chain.pitch"),
			InnerWidth:      inner,
			OuterWidth:      outer,
			PlateHalfHeight: x.Height.Or(d.of("chain.plate_height")) / 2,
			Bevel:           x.Bevel.Or(d.of("chain.bevel")),
			Slack:           sim.Radians(x.Slack.Or(d.of("chain.slack"))),
			Stiffness:       1000 * x.Stiffness.Or(d.of("chain.stiffness")),
			Contact:         outer - platePlay,
			Seat:            standing("seat friction"),
		},
		Width:    width,
		Proud:    proud,
		Pin:      x.Pin.Or(d.of("chain.pin")),
		Links:    x.Links,
		HalfLink: x.HalfLink,
		Margin:   x.Margin.Or(d.of("chain.margin")),
		Weight:   x.Mass.Or(d.of("chain.link_mass")) / 1000 * sim.Gravity / d.of("chain.pitch"),
	}
}

// teethOf names the defaults of a group of wheels.
type teethOf struct{ height, tip, full, relief, wideTip, wide string }

func teethIn(group string) teethOf {
	return teethOf{group + ".tip_height", group + ".tip_thickness", group + ".thickness", group + ".relief", group + ".wide_tip_thickness", group + ".wide_thickness"}
}

var frontTeeth, rearTeeth, pulleyTeeth, idlerTeeth = teethIn("front.tooth"), teethIn("rear.tooth"), teethIn("tensioner.tooth"), teethIn("idler.tooth")

// sprocket returns a wheel with the teeth of a group of fields; of names its
// defaults.
func (c *Case) sprocket(t Tooth, of *teethOf, teeth int, wideNarrow bool, d *numbers) sim.Sprocket {
	s := sim.Sprocket{Teeth: teeth, TipHeight: d.of(of.height), Tooth: d.tooth(t.Tip, t.Thickness, of.tip, of.full)}
	s.Tooth.Relief = sim.Radians(d.of(of.relief))
	if t.Profile == "iso606" {
		s = sim.ISO606{Pitch: d.of("chain.pitch"), Roller: 7.75, Inside: c.Chain.InnerWidth.Or(d.defaults.of("chain.inner_width"))}.Sprocket(teeth)
	}
	s.TipHeight = t.Height.Or(s.TipHeight)
	s.Tooth.Tip, s.Tooth.Full = t.Tip.Or(s.Tooth.Tip), t.Thickness.Or(s.Tooth.Full)
	if t.Relief.Given {
		s.Tooth.Relief = sim.Radians(t.Relief.Value)
	}
	if wideNarrow {
		s.Wide = d.tooth(t.WideTip, t.Wide, of.wideTip, of.wide)
		s.Wide.Relief = s.Tooth.Relief
	}
	return s
}

// wheels returns wheels of one group at their lines; but for the teeth's number,
// and with ISO 606 their height, they are alike.
func (c *Case) wheels(t Tooth, of *teethOf, teeth []int, lines []float64, wideNarrow bool, d *numbers) []sim.Wheel {
	out := make([]sim.Wheel, len(teeth))
	for i, n := range teeth {
		if i == 0 || t.Profile == "iso606" {
			out[i].Sprocket = c.sprocket(t, of, n, wideNarrow, d)
		} else {
			out[i].Sprocket = out[0].Sprocket
			out[i].Teeth = n
		}
		out[i].Line = lines[i]
	}
	return out
}

func (c *Case) front(b *sim.Bike, d *numbers) error {
	f := c.Front
	if len(f.Rings) == 0 {
		return c.fail("front.rings", "no chainrings, want 1 to 3")
	}
	var lines []float64
	if len(f.Lines) > 0 {
		if f.Line.Given || f.Measured != nil || f.Pitch.Given {
			return c.fail("front.ring_lines", "given beside line, measured or ring_pitch, want it alone")
		}
		if len(f.Lines) != len(f.Rings) {
			return c.fail("front.ring_lines", "%d given, want one for each of the chainrings (%d)", len(f.Lines), len(f.Rings))
		}
		lines = values(f.Lines)
	} else {
		line, err := c.frontLine(d)
		if err != nil {
			return err
		}
		lines = sim.RingLines(line, f.Pitch.Or(d.of("front.ring_pitch")), len(f.Rings))
	}
	b.Rings = c.wheels(f.Tooth, &frontTeeth, f.Rings, lines, c.alternates(d), d)
	move(b.Rings, d.off[0])
	if p := f.Pins; p != nil {
		if len(f.Rings) < 2 {
			return c.fail("front.pins", "with one chainring, which has no larger one beside it")
		}
		b.RingPins, b.PinsAt = c.pins()
		for _, w := range b.Rings[1:] {
			if b.PinsAt > w.TipRadius(b.Chain.Pitch) {
				return c.fail("front.pins.radius", "%g mm, beyond the tips of the %d-tooth chainring, want at most %.1f mm", p.Radius.Value, w.Teeth, w.TipRadius(b.Chain.Pitch))
			}
		}
	}
	if err := c.frontCage(b, d); err != nil {
		return err
	}
	if f.Bolts != nil {
		b.Bolts = sim.Bolts{Radius: f.Bolts.Radius.Value, Depth: f.Bolts.Depth.Value}
	}
	return nil
}

// pins returns how far the shift pins that a case tells of stand proud of a ring's inner side, and
// how far from its centre, mm: 0 of those on the outer side.
func (c *Case) pins() (proud, radius float64) {
	if p := c.Front.Pins; p.Side != "outer" {
		return p.Proud.Value, p.Radius.Value
	}
	return 0, 0
}

// frontCage puts a front derailleur's cage or a chain guide about the top run.
func (c *Case) frontCage(b *sim.Bike, d *numbers) error {
	f := &c.Front
	switch {
	case f.Cage != nil && f.Guide != nil:
		return c.fail("front.guide", "beside a front cage, want one of them")
	case f.Cage != nil:
		from := f.Cage.Start.Or(d.of("front.cage.start"))
		b.FrontCage = &sim.FrontCage{Inside: f.Cage.Inside.Value, Places: values(f.Cage.Places), From: from, To: from + f.Cage.Length.Or(d.of("front.cage.length"))}
		for i := 1; i < len(f.Cage.Places); i++ {
			if f.Cage.Places[i].Value <= f.Cage.Places[i-1].Value {
				return c.fail("front.cage.positions", "%g after %g mm, want each further outboard", f.Cage.Places[i].Value, f.Cage.Places[i-1].Value)
			}
		}
	case f.Guide != nil:
		if len(f.Rings) > 1 {
			return c.fail("front.guide", "with %d chainrings, want one; a front derailleur's is front.cage", len(f.Rings))
		}
		from := f.Guide.Start.Or(d.of("front.guide.start"))
		b.FrontCage = &sim.FrontCage{Inside: f.Guide.Inside.Value, Places: []float64{f.Guide.Line.Or(b.Rings[0].Line)}, From: from, To: from + f.Guide.Length.Or(d.of("front.guide.length"))}
	}
	return nil
}

func (c *Case) rear(b *sim.Bike, d *numbers) error {
	r := c.Rear
	if len(r.Cogs) == 0 {
		return c.fail("rear.cogs", "no cogs, want at least 1")
	}
	if r.Measured != nil && r.Dropout.Given {
		return c.fail("rear.dropout_gap", "given beside measured, want measured.gap instead")
	}
	var lines []float64
	if len(r.Lines) > 0 {
		if r.Line.Given || r.Measured != nil || r.Pitch.Given {
			return c.fail("rear.cog_lines", "given beside line, measured or cog_pitch, want it alone")
		}
		if len(r.Lines) != len(r.Cogs) {
			return c.fail("rear.cog_lines", "%d given, want one for each of the cogs (%d)", len(r.Lines), len(r.Cogs))
		}
		lines = values(r.Lines)
	} else {
		line, err := c.RearLine()
		if err != nil {
			return err
		}
		lines = sim.CogLines(line, r.Pitch.Or(d.of("rear.cog_pitch")), len(r.Cogs))
	}
	if len(r.Spacers) > 0 {
		if len(r.Lines) > 0 {
			return c.fail("rear.spacers", "given beside cog_lines, want one of them")
		}
		if len(r.Spacers) != len(r.Cogs)-1 {
			return c.fail("rear.spacers", "%d given, want one for each gap of the cogs (%d)", len(r.Spacers), len(r.Cogs)-1)
		}
		sum := 0.0
		for _, x := range r.Spacers {
			sum += x.Value
		}
		at := sum / 2 // the cluster's middle stays on the rear line
		lines[0] += at
		for i, x := range r.Spacers {
			at -= x.Value
			lines[i+1] += at
		}
	}
	b.Cogs = c.wheels(r.Tooth, &rearTeeth, r.Cogs, lines, false, d)
	move(b.Cogs, d.off[1])
	if err := c.drive(b); err != nil {
		return err
	}
	if len(r.Gates) > 0 && len(r.Gates) != len(r.Cogs) {
		return c.fail("rear.gates", "%d given, want one for each of the cogs (%d)", len(r.Gates), len(r.Cogs))
	} else if len(r.Gates) == 0 && r.Depth.Given {
		return c.fail("rear.gate_depth", "given without gates")
	}
	if len(b.Cogs) > 1 { // a cog alone has no shift gates
		for i := range b.Cogs {
			b.Cogs[i].Allowance = standing("cog allowance")
		}
	}
	return nil
}

func (c *Case) tensioner(b *sim.Bike, d *numbers) error {
	t := c.Tensioner
	if t == nil {
		return nil
	}
	pair := func(q []Quantity, name, first, second string) (v [2]float64, err error) {
		switch len(q) {
		case 0:
			return [2]float64{d.of(first), d.of(second)}, nil
		case 2:
			return [2]float64{q[0].Value, q[1].Value}, nil
		}
		return v, c.fail(name, "%d given, want two", len(q))
	}
	gaps, err := pair(t.Gaps, "tensioner.gaps", "tensioner.gaps[0]", "tensioner.gaps[1]")
	if err != nil {
		return err
	}
	stops, err := pair(t.Stops, "tensioner.stops", "tensioner.stops[0]", "tensioner.stops[1]")
	if err != nil {
		return err
	}
	teeth := func(n int, path string) int {
		if n > 0 {
			return n
		}
		return int(d.of(path))
	}
	b.Tensioner = &sim.Tensioner{
		Guide:       c.sprocket(t.Tooth, &pulleyTeeth, teeth(t.Guide, "tensioner.guide_teeth"), false, d),
		Tension:     c.sprocket(t.Tooth, &pulleyTeeth, teeth(t.Tension, "tensioner.tension_teeth"), false, d),
		Cage:        t.Cage.Or(c.mustDefault("tensioner.cage")),
		Direction:   sim.Radians(t.Direction.Or(d.of("tensioner.direction"))),
		Gap:         gaps,
		IndexError:  t.IndexError.Or(d.of("tensioner.index_error")),
		Folded:      sim.Radians(stops[0]),
		Stretched:   sim.Radians(stops[1]),
		PivotOffset: t.PivotDistance.Or(d.of("tensioner.pivot_distance")),
		PivotAngle:  sim.Radians(t.PivotAngle.Or(d.of("tensioner.pivot_angle"))),
		Spring:      1000 * t.Spring.Or(d.of("tensioner.spring")),
		SpringRate:  1000 * t.SpringRate.Or(d.of("tensioner.spring_rate")),
		Width:       t.Width.Or(d.of("tensioner.width")),
		Float:       t.Float.Or(d.of("tensioner.float")),
	}
	if h := t.Hanger; h != nil {
		b.Tensioner.Hanger = sim.Hanger{Lean: sim.Radians(h.Lean.Or(d.of("tensioner.hanger.lean"))), Toe: sim.Radians(h.Toe.Or(d.of("tensioner.hanger.toe")))}
	}
	if t.SetAt.Given && len(b.Cogs) > 0 {
		b.Tensioner.IndexError += t.SetAt.Value - b.RearLine()
		if off := b.Tensioner.IndexError; !(math.Abs(off) <= mostOff) {
			return c.fail("tensioner.set_at", "%g mm puts the pulleys %.3g mm off their best with a rear chainline of %.5g mm, want at most %g mm", t.SetAt.Value, off, b.RearLine(), mostOff)
		}
	}
	b.Tensioner.Stops, err = c.stops(d)
	return err
}

func (c *Case) idler(b *sim.Bike, d *numbers) {
	x := c.Idler
	if x == nil {
		return
	}
	n := x.Teeth
	if n == 0 {
		n = int(d.of("idler.teeth"))
	}
	b.Idler = &sim.Idler{Wheel: sim.Wheel{Sprocket: c.sprocket(x.Tooth, &idlerTeeth, n, false, d), Line: x.Line.Value}, X: -x.Behind.Value, Z: x.Above.Value, Held: x.Held}
}

func (c *Case) tyre(b *sim.Bike, d *numbers) error {
	t := c.Tyre
	if t == nil {
		return nil
	}
	bead, section := t.Bead.Value, t.Section.Value
	switch {
	case t.Size != "" && (t.Bead.Given || t.Section.Given):
		return c.fail("tyre.size", "size is given beside bead_seat or section, keep one of the two")
	case t.Size != "":
		var err error
		if section, bead, err = tyreSize(t.Size); err != nil {
			return c.fail("tyre.size", "%s", err)
		}
	case !t.Bead.Given || !t.Section.Given:
		return c.fail("tyre", "neither size nor bead_seat and section, want one of the two")
	}
	b.Tyre = &sim.Tyre{BeadSeat: bead, Section: section, Width: t.Width.Or(section), Dish: t.Dish.Or(d.of("tyre.dish")), Mud: t.Mud.Or(d.of("tyre.mud"))}
	return nil
}

// spokes needs the tyre, which gives the rim's size where the case does not.
func (c *Case) spokes(b *sim.Bike) error {
	s := c.Spokes
	if s == nil {
		return nil
	}
	rim := s.Rim.Value
	switch {
	case s.Rim.Given:
	case b.Tyre != nil:
		rim = b.Tyre.BeadSeat / 2
	default:
		return c.fail("spokes.rim_radius", "missing, and no tyre tells the rim's size, want one of the two")
	}
	b.Spokes = &sim.Spokes{Flange: s.Flange.Value, FlangeLine: s.FlangeLine.Value, Rim: rim, RimLine: s.RimLine.Value}
	return nil
}

func (c *Case) stay(b *sim.Bike, d *numbers) {
	s := c.Chainstay
	if s == nil {
		return
	}
	// Where the gap was read does not go by how high teeth are drawn.
	ring := c.sprocket(c.Front.Tooth, &frontTeeth, b.Rings[len(b.Rings)-1].Teeth, false, &numbers{defaults: d.defaults})
	b.Stay = &sim.Stay{
		Face:     b.RingFace() - s.Gap.Value,
		Radius:   s.Radius.Or(ring.TipRadius(b.Chain.Pitch)),
		Angle:    sim.Radians(s.Angle.Or(d.of("chainstay.angle"))),
		Flex:     s.Flex.Or(d.of("chainstay.flex")),
		Diameter: s.Diameter.Value,
	}
}
