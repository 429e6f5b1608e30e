package cases

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/indexing"
	"chainpath/sim/learn"
)

// late is the observation that a shift is late.
const late = "late"

// ofShifts reports whether an observation is of shifts, not of gears.
func (o *Observation) ofShifts() bool { return strings.Contains(o.Gears, ">") }

// SeenOfShifts are the observations and symptoms that tell of shifts: shifts and diagnose are
// narrowed by them, and no chance of a gear is.
func (c *Case) SeenOfShifts() (list []string) {
	for i := range c.Observations {
		if o := &c.Observations[i]; o.ofShifts() {
			list = append(list, o.String())
		}
	}
	for _, s := range c.Symptoms {
		what := decide.Complaint(s.What)
		if slices.Contains(decide.OfShifts, what) && what != decide.AfterCrash && what != decide.AfterWheel {
			list = append(list, s.What)
		}
	}
	return list
}

var shiftPattern = regexp.MustCompile(`^(?:(\d{1,3}|\*)/)?(\d{1,3}|\*)>(\d{1,3}|\*)$`)

// ShiftsNamed returns the rings and steps that a text such as 32/19>17, */11>12 or */*>*
// names. The error is of a shift that the cluster has not.
func (c *Case) ShiftsNamed(text string) (rings []int, steps []indexing.Shift, err error) {
	m := shiftPattern.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return nil, nil, fmt.Errorf("%q, want RING/COG>COG such as %d/%d>%d, with * for any", shorten(text), c.Front.Rings[0], c.Rear.Cogs[0], c.Rear.Cogs[min(1, len(c.Rear.Cogs)-1)])
	}
	fits := func(want string, teeth int) bool { return want == "" || want == "*" || want == strconv.Itoa(teeth) }
	for r, teeth := range c.Front.Rings {
		if fits(m[1], teeth) {
			rings = append(rings, r)
		}
	}
	if len(rings) == 0 {
		return nil, nil, fmt.Errorf("%q: no %s-tooth chainring", shorten(text), m[1])
	}
	for _, s := range indexing.Shifts(len(c.Rear.Cogs)) {
		if fits(m[2], c.Rear.Cogs[s.From()]) && fits(m[3], c.Rear.Cogs[s.To()]) {
			steps = append(steps, s)
		}
	}
	if len(steps) == 0 {
		for _, teeth := range m[2:] {
			if n, err := strconv.Atoi(teeth); err == nil && !slices.Contains(c.Rear.Cogs, n) {
				return nil, nil, fmt.Errorf("%q: no cog of %d, want one of %s", shorten(text), n, joined(c.Rear.Cogs))
			}
		}
		return nil, nil, fmt.Errorf("%q is not one step of the cassette, want two cogs beside each other", shorten(text))
	}
	return rings, steps, nil
}

func joined(n []int) string {
	var out []string
	for _, x := range n {
		out = append(out, strconv.Itoa(x))
	}
	return strings.Join(out, ", ")
}

// shiftSeen returns what observation i says of shifts. Errors are *Error.
func (c *Case) shiftSeen(i int) (seen []indexing.Sight, isLate bool, err error) {
	o, at := &c.Observations[i], fmt.Sprintf("observations[%d]", i)
	b, err := c.Bike()
	if err != nil {
		return nil, false, err
	}
	switch {
	case c.shiftable(b) != nil:
		return nil, false, c.fail(at+".gears", "%q is a shift, and there is nothing to shift: one cog or no derailleur", shorten(o.Gears))
	case o.What != late && o.What != fine:
		return nil, false, c.fail(at+".what", "%q of a shift, want late or fine", shorten(o.What))
	case o.Direction == sim.Backwards.String():
		return nil, false, c.fail(at+".direction", "a shift backwards, want riding")
	case o.Of > 0 && o.What == fine, o.Off > o.Of:
		return nil, false, c.fail(at+".off", "%d of %d tries, want it of late, and at most all of them", o.Off, o.Of)
	case o.Moved.Given:
		return nil, false, c.fail(at+".moved", "chainrings moved when a shift was seen, want it of gears alone")
	case o.Loudness != "":
		return nil, false, c.fail(at+".loudness", "loudness of a shift, want it of noise alone")
	}
	n := 0
	for _, text := range strings.Split(o.Gears, ",") {
		rings, steps, err := c.ShiftsNamed(text)
		if err != nil {
			return nil, false, c.fail(at+".gears", "%s", err)
		}
		for _, ring := range rings[:1] { // said of any ring it is one try, not one for each
			for _, s := range steps {
				t := indexing.Tries{Shift: s, Ring: ring, Late: o.Off, Of: o.Of, Sure: o.Sure.Or(learn.Surely)}
				if o.Of == 0 && o.What == late {
					t.Late = 1
				}
				seen = append(seen, t)
				n++
			}
		}
	}
	if o.Of > 0 && n != 1 {
		return nil, false, c.fail(at+".gears", "%q is %d shifts, want one where tries are counted", o.Gears, n)
	}
	return seen, o.What == late && (o.Of == 0 || o.Off > 0), nil
}

// countedRange returns the adjuster's range as it was counted; nil where it was not.
func (c *Case) countedRange() (indexing.Sight, error) {
	if c.Tensioner == nil || c.Tensioner.Counted == nil {
		return nil, nil
	}
	x := c.Tensioner.Counted
	s := indexing.Counted{Clicks: x.Clicks.Value, Inboard: -1, Outer: -1}
	for _, end := range []struct {
		path, text string
		outward    bool
		to         *int
	}{{"first_inboard", x.Inboard, true, &s.Inboard}, {"first_outboard", x.Outer, false, &s.Outer}} {
		if end.text == "" {
			continue
		}
		at := "tensioner.adjuster_range." + end.path
		_, steps, err := c.ShiftsNamed(end.text)
		if err != nil {
			return nil, c.fail(at, "%s", err)
		}
		if len(steps) != 1 || steps[0].Outward != end.outward {
			way := map[bool]string{true: "to a smaller cog, such as 12>11: with the pulleys inboard those are late first", false: "to a larger cog, such as 11>12: with the pulleys outboard those are late first"}
			return nil, c.fail(at, "%q, want one shift %s", shorten(end.text), way[end.outward])
		}
		*end.to = steps[0].Pair
	}
	return s, nil
}

// ShiftingCounted is Shifting with the adjuster's range as it was counted. Errors are *Error.
func (c *Case) ShiftingCounted(x *Counted) (*Shifting, error) {
	n := c.clone()
	if n.Tensioner == nil {
		n.Tensioner = &Tensioner{}
	}
	n.Tensioner.Counted = x
	return n.Shifting()
}

// sights returns everything that was seen of shifts, what happened before, and whether some of
// it is trouble. Errors are *Error.
func (c *Case) sights(b *sim.Bike) (seen []indexing.Sight, was indexing.History, trouble bool, err error) {
	for i := range c.Observations {
		if !c.Observations[i].ofShifts() {
			continue
		}
		s, isLate, err := c.shiftSeen(i)
		if err != nil {
			return nil, was, false, err
		}
		seen, trouble = append(seen, s...), trouble || isLate
	}
	s, err := c.countedRange()
	if err != nil {
		return nil, was, false, err
	}
	if s != nil {
		seen = append(seen, s)
	}
	told := map[string]bool{}
	for _, s := range c.Symptoms {
		told[s.What] = true
	}
	for _, s := range c.Symptoms {
		x := c.toldOf(b, &s, told)
		if x != nil {
			seen, trouble = append(seen, x...), true
		}
		was.Crash = was.Crash || s.What == string(decide.AfterCrash)
		was.Swap = was.Swap || s.What == string(decide.AfterWheel)
	}
	return seen, was, trouble, nil
}

// toldOf turns a symptom of shifting into what bicycles are weighed by; nil for others.
func (c *Case) toldOf(b *sim.Bike, s *Symptom, told map[string]bool) (seen []indexing.Sight) {
	n := len(b.Cogs)
	at := func(k int) bool { return len(s.Cogs) == 0 || slices.Contains(s.Cogs, b.Cogs[k].Teeth) }
	x := indexing.Told{Each: len(s.Cogs) > 0}
	switch what := decide.Complaint(s.What); what {
	case decide.SlowToLarger, decide.SlowToSmaller:
		other := map[decide.Complaint]decide.Complaint{decide.SlowToLarger: decide.SlowToSmaller, decide.SlowToSmaller: decide.SlowToLarger}[what]
		for _, step := range indexing.Shifts(n) {
			if step.Outward == (what == decide.SlowToSmaller) {
				if at(step.To()) {
					x.Shifts = append(x.Shifts, step)
				}
			} else if !told[string(other)] {
				x.Others = append(x.Others, step)
			}
		}
	case decide.SkipsInOne, decide.SkipsInSome, decide.NoisyInOne:
		x.One = what != decide.SkipsInSome
		for k := range n - 1 {
			if at(k) {
				x.Cogs = append(x.Cogs, k)
			} else if what != decide.SkipsInSome {
				seen = append(seen, indexing.Skipping{Cog: k})
			}
		}
	default:
		return nil
	}
	return append(seen, x)
}
