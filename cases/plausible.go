package cases

import (
	"fmt"
	"math"
	"reflect"
	"slices"

	"chainpath/sim"
)

// Warning is something in a case that is possible and not likely meant.
type Warning struct {
	Path  string
	Line  int // in the file; 0: not given there
	Words string
}

// usualRanges are what readings usually are, mm (common practice, no published source,
// from memory): a value outside is looked at for the slip that would bring it in.
var usualRanges = []struct {
	path   string
	lo, hi float64
}{
	{"frame.stay", 300, 720},
	{"front.line", 36, 66},
	{"front.measured.tube_width", 25, 95},
	{"front.measured.gap", -8, 50},
	{"front.ring_pitch", 5, 12},
	{"rear.measured.dropouts", 108, 200},
	{"rear.measured.gap", 1, 12},
	{"rear.dropout_gap", 1, 12},
	{"tensioner.cage", 45, 125},
	{"tensioner.gaps[0]", 3, 40},
	{"tensioner.gaps[1]", 2, 30},
	{"chainstay.gap", 0.5, 25},
	{"chain.width", 4.6, 11},
	{"front.tooth.thickness", 1.4, 3.2},
	{"rear.tooth.thickness", 1.2, 3.2},
	{"tyre.width", 18, 128},
}

// slips are ways to write a wrong number, by what the number would have to be
// multiplied with.
var slips = []struct {
	factor float64
	words  string
}{
	{0.1, "a decimal point left out"},
	{10, "a decimal point too early, or cm"},
	{inch, "inches: write the unit"},
	{1 / inch, "turned into mm twice"},
}

// Warnings lists what in a case is not likely meant, in the order of its lines. It is
// about the case alone and refuses nothing.
func (c *Case) Warnings() ([]Warning, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, err
	}
	w := &warner{c: c, b: b}
	w.ranges()
	w.cogs()
	w.sag()
	w.stack()
	w.hub()
	w.stay()
	w.wheel()
	if err := w.seen(); err != nil {
		return nil, err
	}
	if err := w.links(); err != nil {
		return nil, err
	}
	slices.SortStableFunc(w.out, func(a, b Warning) int { return a.Line - b.Line })
	return w.out, nil
}

// seen looks for what was seen that contradicts itself.
func (w *warner) seen() error {
	list, err := w.c.Contrary()
	for _, x := range list {
		w.warn(x.Path, "%s", x.Words)
	}
	return err
}

type warner struct {
	c   *Case
	b   *sim.Bike
	out []Warning
}

func (w *warner) warn(path, format string, a ...any) {
	e := w.c.fail(path, format, a...).(*Error)
	w.out = append(w.out, Warning{path, e.Line, e.Problem})
}

// ranges looks at every length given: unusual ones, and ± in inches.
func (w *warner) ranges() {
	walk(reflect.ValueOf(w.c).Elem(), "", func(path string, q *Quantity) {
		if q.InchSpread {
			w.warn(path, "± is in inches, as the value is: ± %.2f mm", q.Spread)
		}
		for _, u := range usualRanges {
			if u.path != path || !q.Given || w.c.inferred[path] || q.Value >= u.lo && q.Value <= u.hi {
				continue
			}
			text := fmt.Sprintf("%g mm is unusual, most are %g to %g mm", q.Value, u.lo, u.hi)
			for _, s := range slips {
				if v := q.Value * s.factor; v >= u.lo && v <= u.hi {
					text += fmt.Sprintf("; %.4g mm, %s?", v, s.words)
					break
				}
			}
			w.warn(path, "%s", text)
		}
	})
}

// CommonSag is how far the bottom run of a chain without a tensioner hangs down at most in common
// practice, mm (no published source, from memory).
const CommonSag = 20.0

// sag warns of a slack chain whatever the chainlines are.
func (w *warner) sag() {
	q := &w.c.Load.Sag
	if w.c.Tensioner != nil || !q.Given || q.Value <= CommonSag {
		return
	}
	brakes := ""
	if w.c.Rear.Drive == "fixed" || w.c.Rear.Drive == "coaster" {
		brakes = ", and then the cog brakes nothing"
	}
	w.warn("load.sag", "the chain hangs down %g mm, more than the usual %g mm: it can drop whatever the chainlines are%s; tighten it first", q.Value, CommonSag, brakes)
}

// cogs compares the number of cogs with the speeds.
func (w *warner) cogs() {
	n, speeds := len(w.c.Rear.Cogs), w.c.Speeds
	switch {
	case n > speeds:
		w.warn("rear.cogs", "%d cogs and %d speeds: the chain is then taken as wider than this cassette's", n, speeds)
	case n > 1 && n < speeds:
		w.warn("rear.cogs", "%d cogs and %d speeds: a cog left out?", n, speeds)
	}
}

// stackOff is how far clusters differ from cogs at the usual pitch, mm (assumption).
const stackOff = 2.5

// stack compares a measured stack with what cogs at their pitch take up.
func (w *warner) stack() {
	m, n := w.c.Rear.Measured, len(w.b.Cogs)
	if m == nil {
		return
	}
	want := w.b.Cogs[0].Line - w.b.Cogs[n-1].Line + w.b.Cogs[n-1].Thickness()
	if got := m.Stack.Value - m.Protrusion.Value; math.Abs(got-want) > stackOff {
		hint := "another number of speeds, or read from another face?"
		if got > want && !m.Protrusion.Given {
			hint = "rivets or carrier measured along? then give protrusion"
		}
		w.warn("rear.measured.stack", "%.1f mm, and %d cogs take up about %.1f mm: %s", got, n, want, hint)
	}
}

// Between dropout and smallest cog, mm: 2.5 to 5 is usual, and some more either way.
const leastGap, mostGap = 1.5, 8.0

// hub compares the rear line with what hubs of the usual axle spacings give, and tells a
// name from a reading.
func (w *warner) hub() {
	n := len(w.b.Cogs)
	if n < 2 {
		return // a cog alone stands where one puts it
	}
	half := (w.b.Cogs[0].Line - w.b.Cogs[n-1].Line + w.b.Cogs[n-1].Thickness()) / 2
	line, lo, hi := w.b.RearLine(), math.Inf(1), math.Inf(-1)
	some := false
	for _, a := range axleWidths {
		if a.name > 160 && (w.b.Tyre == nil || w.b.Tyre.Width < 80) {
			continue // hubs of wide tyres
		}
		from, to := a.from/2-mostGap-half, a.to/2-leastGap-half
		lo, hi = min(lo, from), max(hi, to)
		some = some || line >= from && line <= to
	}
	if !some {
		path := "rear.line"
		if w.c.Rear.Measured != nil {
			path = "rear.measured"
		} else if len(w.c.Rear.Lines) > 0 {
			path = "rear.cog_lines"
		}
		w.warn(path, "rear chainline %.1f mm: no usual hub with this cassette has it, they give %.0f to %.0f mm", line, lo, hi)
	}
	m := w.c.Rear.Measured
	if m == nil || m.Dropouts.Axle != 0 || m.Dropouts.Instrument != "" || m.Dropouts.Spread != 0 || len(m.Dropouts.Readings) > 0 {
		return
	}
	for _, a := range axleWidths {
		if m.Dropouts.Value == a.name && a.to-a.from > 2 {
			w.warn("rear.measured.dropouts", "%g mm is also the name of an axle spacing, whose dropouts may be %g to %g mm apart: if it was not measured, write %g (axle spacing)", a.name, a.from, a.to, a.name)
		}
	}
}

// stay looks whether rings stand in the chainstay.
func (w *warner) stay() {
	if s := w.c.Chainstay; s != nil && s.Gap.Value <= 0 {
		w.warn("chainstay.gap", "%g mm: the largest chainring would touch the chainstay; from the chainring's inner face outwards to the stay is positive", s.Gap.Value)
	}
}

// leastBehind is what a wheel leaves of the chainstay in front of it, mm: about half of a
// bottom bracket's shell or seat tube (assumption).
const leastBehind = 15.0

// wheel looks whether the tyre reaches the frame before it.
func (w *warner) wheel() {
	t := w.b.Tyre
	if t == nil {
		return
	}
	x, _ := w.b.Frame.Axle()
	if room := -x - t.OutsideDiameter()/2; room < leastBehind {
		path := "tyre"
		if w.c.Tyre.Size != "" {
			path = "tyre.size"
		}
		w.warn(path, "a wheel of %.0f mm leaves %.0f mm before it on a stay of %.0f mm: it would touch the frame", t.OutsideDiameter(), room, w.b.Frame.Stay)
	}
}

// fewLinks is how far a chain's length usually is from the chosen one, links.
const fewLinks = 4

// links compares the chain's length with the one that the tool would choose.
func (w *warner) links() error {
	given := w.b.Chain.Links
	if given == 0 {
		return nil
	}
	free := *w.b
	free.Chain.Links = 0
	chosen, err := free.ChooseLinks()
	if err != nil {
		return w.c.Explain(err)
	}
	if d := given - chosen; d > fewLinks || d < -fewLinks {
		words := "longer"
		if d < 0 {
			d, words = -d, "shorter"
		}
		w.warn("chain.links", "%d links: %d %s than the %d that largest chainring and cog ask for on this stay", given, d, words, chosen)
	}
	return nil
}
