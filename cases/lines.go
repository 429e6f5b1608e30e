package cases

import "chainpath/sim"

var faces = map[string]sim.Face{"": sim.Centre, "centre": sim.Centre, "outer": sim.OuterFace, "inner": sim.InnerFace}

// FrontLine returns the front line in mm as given or measured.
func (c *Case) FrontLine() (float64, error) {
	f, m := c.Front, c.Front.Measured
	switch {
	case f.Line.Given && m != nil:
		return 0, c.fail("front.measured", "given beside line, want one of the two")
	case f.Line.Given:
		return f.Line.Value, nil
	case m == nil:
		return 0, c.fail("front", "neither line nor measured, want one of the two")
	}
	readings := []float64{m.Gap.Value}
	if len(m.Readings) > 0 {
		if m.Gap.Given {
			return 0, c.fail("front.measured.readings", "given beside gap, want one of the two")
		}
		if len(m.Readings) != len(f.Rings) {
			return 0, c.fail("front.measured.readings", "%d given, want one for each of the rings (%d)", len(m.Readings), len(f.Rings))
		}
		readings = values(m.Readings)
	} else if !m.Gap.Given {
		return 0, c.fail("front.measured", "neither gap nor readings, want one of the two")
	}
	face := faces[m.Face]
	thick := c.sprocket(f.Tooth, &frontTeeth, 30, c.alternates(), defaultsFor(c.Speeds)).Thickness()
	return sim.FrontFromRings(m.Tube.Value, readings, face, thick), nil
}

// RearLine returns the rear line in mm as given or measured.
func (c *Case) RearLine() (float64, error) {
	r, m := c.Rear, c.Rear.Measured
	switch {
	case r.Line.Given && m != nil:
		return 0, c.fail("rear.measured", "given beside line, want one of the two")
	case r.Line.Given:
		return r.Line.Value, nil
	case m == nil:
		return 0, c.fail("rear", "neither line nor measured, want one of the two")
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
