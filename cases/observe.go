package cases

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"chainpath/sim"
	"chainpath/sim/learn"
)

// fine is the observation that nothing of the rest happens.
const fine = "fine"

// Observations returns the words that an observation may use: those of faults, the mildest first,
// then late, which is for shifts, and fine.
func Observations() []string { return append(sim.SeenWords(), late, fine) }

// observed returns what an observation is about in a direction: the concern that happened,
// or those that did not; nothing where there is no such thing. Fine is told of those that
// happen both ways by riding alone.
func observed(what string, d sim.Direction) (happened, not []sim.Concern) {
	happened = sim.Concerns(func(h *sim.Hazard) bool { return h.Ways[d] && h.Seen == what })
	not = sim.Concerns(func(h *sim.Hazard) bool {
		return h.Ways[d] && (h.Unseen == what || what == fine && h.Seen != "" && (d == sim.Riding || !h.Ways[sim.Riding]))
	})
	return happened, not
}

// directionOf returns the direction that a symptom or observation names, riding where none.
func directionOf(way string) sim.Direction {
	if way == sim.Backwards.String() {
		return sim.Backwards
	}
	return sim.Riding
}

// String returns an observation as --seen takes it.
func (o *Observation) String() string {
	way := o.Direction
	if way == "" {
		way = "riding"
	}
	s := fmt.Sprintf("%s %s: %s", o.Gears, way, o.What)
	if o.Of > 0 {
		s += fmt.Sprintf(" %d of %d", o.Off, o.Of)
	}
	if o.Loudness != "" {
		s += " " + o.Loudness
	}
	if o.Moved.Given {
		s += " moved " + strconv.FormatFloat(o.Moved.Value, 'g', -1, 64)
	}
	if o.Sure.Given {
		s += " sure " + strconv.FormatFloat(o.Sure.Value, 'g', -1, 64)
	}
	return s
}

var seenPattern = regexp.MustCompile(`^\s*(\S+)(?:\s+(\w+))?\s*:\s*(\w+)(?:\s+(\d{1,3})\s+of\s+(\d{1,3}))?(?:\s+(slight|loud))?(?:\s+moved\s+([-+]?[0-9.]+)(?:\s*mm)?)?(?:\s+sure\s+([0-9.]+))?\s*$`)

// ParseSeen reads an observation from one line, such as "32/51 backwards: off 3 of 10" or
// "*/14: noise loud sure 0.8". What it names is checked by AddSeen.
func ParseSeen(text string) (o Observation, err error) {
	m := seenPattern.FindStringSubmatch(text)
	if m == nil {
		return o, fmt.Errorf("%q, want GEARS [riding|backwards]: WHAT [N of M] [slight|loud] [moved MM] [sure S], such as '32/51 backwards: drop 3 of 10'; WHAT is one of %s", shorten(text), strings.Join(ObservationNames(), ", "))
	}
	o = Observation{Gears: m[1], Direction: m[2], What: asObservation(m[3]), Loudness: m[6]}
	o.Off, _ = strconv.Atoi(m[4])
	o.Of, _ = strconv.Atoi(m[5])
	if m[7] != "" {
		if o.Moved, err = ParseQuantity(m[7], "length"); err != nil {
			return o, err
		}
	}
	if m[8] != "" {
		if o.Sure, err = ParseQuantity(m[8], "number"); err != nil {
			return o, err
		}
	}
	return o, nil
}

// AddSeen appends an observation. Errors are *Error.
func (c *Case) AddSeen(o Observation) error {
	c.Observations = append(c.Observations, o)
	if err := c.counted(); err != nil {
		return err
	}
	if s := o.Sure; s.Given && !(s.Value >= 0.5 && s.Value <= 0.99) {
		return c.fail("observations", "sure %g is out of range, want 0.5 to 0.99", s.Value)
	}
	if m := o.Moved; m.Given && math.Abs(m.Value) > 30 {
		return c.fail("observations", "moved %g mm is out of range, want -30 to 30 mm", m.Value)
	}
	_, err := c.observation(len(c.Observations) - 1)
	return err
}

// Seen returns what was seen: the observations, and those symptoms that have a chance.
// Errors are *Error.
func (c *Case) Seen() (out []learn.Seen, err error) {
	for i := range c.Observations {
		if c.Observations[i].ofShifts() { // those tell of indexing alone: see sights
			continue
		}
		s, err := c.observation(i)
		if err != nil {
			return nil, err
		}
		out = append(out, s)
	}
	b, err := c.Bike()
	if err != nil {
		return nil, err
	}
	symptoms, err := c.SymptomList(b)
	if err != nil {
		return nil, err
	}
	for i, s := range c.Symptoms {
		way := directionOf(s.Direction)
		own := sim.Concerns(func(h *sim.Hazard) bool {
			return h.Ways[way] && h.Seen != "" && len(h.Symptoms) > 0 && h.Symptoms[0] == s.What
		})
		if own == nil || c.lacks(own[0]) != "" { // of a room that is not known there is no chance
			continue
		}
		one := learn.Seen{Text: fmt.Sprintf("symptom %d, %s: %s", i+1, way, s.What), Sure: learn.Surely, One: own[0], Path: fmt.Sprintf("symptoms[%d]", i)}
		for g := range len(b.Rings) * len(b.Cogs) {
			if symptoms[i].Gears[[2]int{g / len(b.Cogs), g % len(b.Cogs)}] {
				one.Gears = append(one.Gears, g)
			}
		}
		one.Any = len(s.Rings) == 0 && len(s.Cogs) == 0
		one.Gears = slices.DeleteFunc(one.Gears, func(g int) bool { // without a neighbour there is nothing to rub
			return one.One == sim.RubsNextRing && g/len(b.Cogs)+1 == len(b.Rings) || one.One == sim.RubsNextCog && g%len(b.Cogs)+1 == len(b.Cogs)
		})
		if len(one.Gears) == 0 {
			continue
		}
		out = append(out, one)
	}
	return out, nil
}

// observation returns observation i. Errors are *Error.
func (c *Case) observation(i int) (s learn.Seen, err error) {
	o := &c.Observations[i]
	if o.ofShifts() {
		_, _, err := c.shiftSeen(i)
		return s, err
	}
	at := fmt.Sprintf("observations[%d]", i)
	way := o.Direction
	if way == "" {
		way = "riding"
	}
	happened, not := observed(o.What, directionOf(way))
	_, elsewhere := asIn("observations", o.What)
	switch {
	case elsewhere != "":
		return s, c.fail(at+".what", "%q is told under %s in the bike file", o.What, elsewhere)
	case !slices.Contains(Observations(), o.What):
		return s, c.fail(at+".what", "%s", noChoice(o.What, ObservationNames()))
	case way != "riding" && way != "backwards":
		return s, c.fail(at+".direction", "%q, want riding or backwards", shorten(way))
	case o.What == late:
		return s, c.fail(at+".gears", "%q is a gear, want a shift where it is late, such as 32/19>17", shorten(o.Gears))
	case happened == nil && not == nil:
		return s, c.fail(at+".direction", "%s backwards, want riding: the model knows noise riding alone", o.What)
	case o.Off > o.Of && o.Of > 0 || o.Off > 0 && o.Of == 0:
		return s, c.fail(at+".off", "%d of %d tries, want at most all of them", o.Off, o.Of)
	case o.Of > 0 && o.What != "off":
		return s, c.fail(at+".of", "tries of %s, want them of off alone", o.What)
	case o.Loudness != "" && o.What != "noise":
		return s, c.fail(at+".loudness", "loudness of %s, want it of noise alone", o.What)
	case len(happened) > 0 && c.lacks(happened[0]) != "":
		return s, c.fail(at+".what", "%s, but the case has no %s", o.What, c.lacks(happened[0]))
	}
	s = learn.Seen{Text: o.String(), Sure: o.Sure.Or(learn.Surely), Typed: o.Sure.Given, Off: o.Off, Of: o.Of, One: append(happened, not...)[0], None: not, Path: at, Moved: o.Moved.Value}
	var patterns []GearPattern
	for _, text := range strings.Split(o.Gears, ",") {
		g, err := c.ParseGear(strings.TrimSpace(text))
		if err != nil {
			return s, c.fail(at+".gears", "%s", err)
		}
		patterns = append(patterns, g)
	}
	for r, ring := range c.Front.Rings {
		for k, cog := range c.Rear.Cogs {
			for _, g := range patterns {
				if g.Match(ring, cog) {
					s.Gears = append(s.Gears, r*len(c.Rear.Cogs)+k)
					break
				}
			}
			last := s.One == sim.RubsNextCog && k+1 == len(c.Rear.Cogs) || s.One == sim.RubsNextRing && r+1 == len(c.Front.Rings)
			if n := len(s.Gears); s.None == nil && last && n > 0 && s.Gears[n-1] == r*len(c.Rear.Cogs)+k {
				return s, c.fail(at+".gears", "%d/%d has no next larger one to rub", ring, cog)
			}
		}
	}
	if s.Of > 0 && len(s.Gears) != 1 {
		return s, c.fail(at+".gears", "%q is %d gears, want one where tries are counted", o.Gears, len(s.Gears))
	}
	return s, nil
}
