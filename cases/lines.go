package cases

import (
	"math"

	"chainpath/sim"
)

var faces = map[string]sim.Face{"": sim.Centre, "centre": sim.Centre, "outer": sim.OuterFace, "inner": sim.InnerFace}

// ownLines returns the lines of single wheels where a case gives those, by the path of the
// line that they stand for; nil where it does not.
func (c *Case) ownLines(path string) []Quantity {
	switch path {
	case "front.line":
		return c.Front.Lines
	case "rear.line":
		return c.Rear.Lines
	}
	return nil
}

// lineOf returns the line that wheels' own lines stand for: of rings the middle one, of two
// between them, of cogs the middle of the first and the last.
func lineOf(path string, own []Quantity) float64 {
	n := len(own)
	if path == "front.line" && n%2 == 1 {
		return own[n/2].Value
	}
	return (own[0].Value + own[n-1].Value) / 2
}

// asLine returns the front or rear line as one quantity: as given, or worked out from
// readings with the ± that surely holds it, from theirs (JCGM 100, 5.1.2). Errors are *Error.
func (c *Case) asLine(path string) (Quantity, error) {
	at := &c.Front.Line
	if path == "rear.line" {
		at = &c.Rear.Line
	}
	if at.Given {
		return *at, nil
	}
	value, err := c.Number(path)
	q, sum := Q(value), 0.0
	if err != nil {
		return q, err
	}
	add := func(share float64, readings ...Quantity) {
		for i := range readings {
			if in, ok, err := c.input(path, &readings[i]); ok && err == nil {
				sum += share * share * in.U * in.U
			}
		}
	}
	if m := c.Front.Measured; m != nil && path == "front.line" {
		add(0.5, m.Tube)
		switch n := len(m.Readings); {
		case n == 2:
			add(0.5, m.Readings...)
		case n > 0:
			add(1, m.Readings[n/2])
		default:
			add(1, m.Gap)
		}
	}
	if m := c.Rear.Measured; m != nil && path == "rear.line" {
		add(0.5, m.Dropouts, m.Stack, m.Protrusion)
		add(1, m.Gap)
	}
	q.Spread = math.Sqrt(3 * sum)
	return q, nil
}

// readingsOf returns the readings that move along when a measured line does, and how much
// each moves by a millimetre of the line: those that are taken at the rings or at the
// cluster. nil where the line is not measured.
func (c *Case) readingsOf(path string) (at []*Quantity, by float64) {
	if m := c.Front.Measured; m != nil && path == "front.line" {
		for i := range m.Readings {
			at = append(at, &m.Readings[i])
		}
		if len(at) == 0 {
			at = []*Quantity{&m.Gap}
		}
		return at, 1
	}
	if m := c.Rear.Measured; m != nil && path == "rear.line" {
		return []*Quantity{&m.Gap}, -1
	}
	return nil, 0
}

// moveLine moves a line by some millimetres and keeps how it is known: what was measured is
// moved in its readings, so that the same draws make the same bicycles but for the move.
func (c *Case) moveLine(path string, by float64) error {
	at, sign := c.readingsOf(path)
	for _, q := range at {
		*q = q.plus(sign * by)
	}
	if at != nil {
		c.told(path)
		return nil
	}
	line, err := c.asLine(path)
	if err == nil {
		c.setLine(path, line.plus(by))
	}
	return err
}

// setLine gives a line a new value, by whatever door: it takes the place of measurements,
// and keeps their ± where the value comes without one; wheels with lines of their own move
// along.
func (c *Case) setLine(path string, q Quantity) {
	c.told(path)
	if own := c.ownLines(path); len(own) > 0 {
		by := q.Value - lineOf(path, own)
		for i := range own {
			own[i] = own[i].plus(by)
		}
		if path == "rear.line" && c.Rear.Dropout.Given {
			c.Rear.Dropout = c.Rear.Dropout.plus(-by)
		}
		return
	}
	if old, err := c.asLine(path); err == nil && q.Spread == 0 && q.Instrument == "" && len(q.Readings) == 0 {
		q = old.plus(q.Value - old.Value)
	}
	if path == "front.line" {
		c.Front.Line, c.Front.Measured = q, nil
		return
	}
	if gap, ok := c.dropoutGap(); ok { // the dropout stays where it was measured
		if was, err := c.RearLine(); err == nil {
			c.Rear.Dropout = gap.plus(was - q.Value)
		}
	}
	c.Rear.Line, c.Rear.Measured = q, nil
}

// isLine reports whether a path is that of the front or rear line.
func isLine(path string) bool { return path == "front.line" || path == "rear.line" }

// FrontLine returns the front line in mm as given, measured, or from the rings' own lines.
func (c *Case) FrontLine() (float64, error) { return c.frontLine(c.numbers()) }

func (c *Case) frontLine(d *numbers) (float64, error) {
	f, m := c.Front, c.Front.Measured
	switch {
	case len(f.Lines) > 0 && !f.Line.Given && m == nil:
		return lineOf("front.line", f.Lines), nil
	case f.Line.Given && m != nil:
		return 0, c.fail("front.measured", "line and measured are both given, keep one")
	case f.Line.Given:
		return f.Line.Value, nil
	case m == nil:
		return 0, c.fail("front", "neither line nor measured, want one of the two, such as line: 51.5")
	}
	readings := []float64{m.Gap.Value}
	if len(m.Readings) > 0 {
		if m.Gap.Given {
			return 0, c.fail("front.measured.readings", "gap and readings are both given, keep one")
		}
		if len(m.Readings) != len(f.Rings) {
			return 0, c.fail("front.measured.readings", "%d given, want one for each of the chainrings (%d)", len(m.Readings), len(f.Rings))
		}
		readings = values(m.Readings)
	} else if !m.Gap.Given {
		return 0, c.fail("front.measured", "neither gap nor readings, want one of the two")
	}
	face := faces[m.Face]
	thick := c.sprocket(f.Tooth, &frontTeeth, 30, c.alternates(d), d).Thickness()
	return sim.FrontFromRings(m.Tube.Value, readings, face, thick), nil
}

// RearLine returns the rear line in mm as given, measured, or from the cogs' own lines.
func (c *Case) RearLine() (float64, error) {
	r, m := c.Rear, c.Rear.Measured
	switch {
	case len(r.Lines) > 0 && !r.Line.Given && m == nil:
		return lineOf("rear.line", r.Lines), nil
	case r.Line.Given && m != nil:
		return 0, c.fail("rear.measured", "line and measured are both given, keep one")
	case r.Line.Given:
		return r.Line.Value, nil
	case m == nil:
		return 0, c.fail("rear", "neither line nor measured, want one of the two, such as line: 46")
	}
	return sim.RearFromFaces(m.Dropouts.Value, m.Stack.Value, m.Protrusion.Value, m.Gap.Value), nil
}

func values(q []Quantity) []float64 {
	v := make([]float64, len(q))
	for i := range q {
		v[i] = q[i].Value
	}
	return v
}
