package engage

import "math"

// Limits are a wheel's bend limits for one tension, by the response of arriving links.
type Limits struct {
	Quiet     float64 // from which on an inner link touches the tip, rad, in [0, MaxAngle]; that alone is not audible
	Climb     float64 // from which on the chain may come off, rad, in [0, MaxAngle]
	ClimbLink Link    // the link that comes last past its guided band, and so sets Climb
}

// limitRun is the length of run that limits are for, mm. From 330 to 650 mm they
// change by less than the response is sure of.
const limitRun = 430

// limitSteps is how many bends limits are looked for at, up to the last that the
// response knows; between two of them offsets are taken as linear.
const limitSteps = 30

// Limits returns a wheel's limits for a chain under a tension in N, > 0. Quiet is the least bend at
// which an inner link arrives beyond its clear band, y > (w - t)/2; Climb the least at which Beyond
// is positive for an inner link and for the outer one behind it. MaxAngle stands for none up to the
// response's last bend.
func (w Wheel) Limits(c Chain, tension float64) Limits {
	q := w.query(c, tension)
	kind := w.kind()
	arrivals := q.curve(kind)
	l := Limits{Quiet: MaxAngle, Climb: MaxAngle}
	last := responseRanges[kind.index()][0][1] * math.Pi / 180
	clear, before := math.Inf(-1), [2]float64{math.Inf(-1), math.Inf(-1)}
	for i := range limitSteps + 1 {
		bend := last * float64(i) / limitSteps
		a := arrivals.at(bend)
		var past [2]float64
		past[Inner], past[Outer] = w.Beyond(c, a)
		touch := a.Inner - w.Clear(c, Inner)
		step := last / limitSteps
		if l.Quiet == MaxAngle && touch > 0 {
			l.Quiet = crossing(bend, step, clear, touch)
		}
		if past[Inner] > 0 && past[Outer] > 0 {
			l.Climb = 0
			for k := range past {
				if before[k] > 0 { // it came past sooner
					continue
				}
				if at := crossing(bend, step, before[k], past[k]); at >= l.Climb {
					l.Climb, l.ClimbLink = at, Link(k)
				}
			}
			break
		}
		clear, before = touch, past
	}
	return l
}

// crossing returns where a margin that was before a step ago, and is now, passed zero.
func crossing(at, step, before, now float64) float64 {
	if math.IsInf(before, -1) {
		return at
	}
	return at - step*now/(now-before)
}

// kind returns which kind of wheel it is to a response.
func (w Wheel) kind() Kind {
	k := Kind{Idle, w.Teeth[Inner] != w.Teeth[Outer]}
	if w.Driven {
		k.Duty = Driven
	}
	return k
}

// query sets up what the response needs of an arrival on a wheel.
func (w Wheel) query(c Chain, tension float64) Query {
	return Query{
		Tension: tension, Stiffness: max(c.Stiffness, 1), Slack: c.Slack, Contact: c.Contact, Seat: c.Seat,
		Teeth:     math.Pi / math.Asin(c.Pitch/(2*w.PitchRadius)),
		PlayInner: (c.InnerWidth - w.Teeth[Inner].Full) / 2, PlayOuter: (c.OuterWidth - w.Teeth[Outer].Full) / 2,
		Overlap: w.TipRadius - w.PitchRadius + c.PlateHalfHeight, Deep: (w.Teeth[Inner].deep() + w.Teeth[Outer].deep()) / 2,
		Length: limitRun,
	}
}

// deep returns the depth below the tip at which a tooth is as thick as it gets, mm.
func (t Tooth) deep() float64 { return (t.Full - t.Tip) / (2 * math.Tan(t.Relief)) }

// Arrive returns where links arrive on the wheel by the response, mm, for a bend in
// rad, >= 0, on a run of a length in mm.
func (w Wheel) Arrive(c Chain, bend, tension, length float64) Offsets {
	q := w.query(c, tension)
	q.Bend, q.Length = bend, length
	return q.Arrive(w.kind())
}

// Clear returns the offset up to which an arriving link meets nothing: half its inside
// width less the tip's thickness, mm.
func (w Wheel) Clear(c Chain, l Link) float64 { return (c.Width(l) - w.Teeth[l].Tip) / 2 }

// Beyond returns how far an inner link and the outer one behind it arrive beyond their guided
// bands, mm; with both positive the chain drops.
//
//	beyond = y - (w - t)/2 - (b - a)
//
// y where the link lands, mm, by Arrive; w inside width of the link, t thickness of the tooth's
// tip, mm; b bevel of the plates' edge, over which a tip still guides a link back, mm; a the
// wheel's allowance, what shift ramps and cut teeth take off that, mm. Source: our own mechanics on
// assumptions.
func (w Wheel) Beyond(c Chain, a Offsets) (inner, outer float64) {
	band := c.Bevel - w.Allowance
	return a.Inner - w.Clear(c, Inner) - band, a.Outer - w.Clear(c, Outer) - band
}
