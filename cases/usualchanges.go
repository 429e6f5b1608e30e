package cases

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// UsualChanges returns what a workshop usually changes on such a bicycle, as a catalogue: one at a
// time, by the steps in which parts are sold. Prices, minutes and steps are common practice, from
// memory, no published source; one of money is about a euro. What this bicycle cannot have is left
// out. A change of the shop's list, which may be nil, takes the place of the one of the same name, and
// its others stand beside them. Errors are as of Bike, or of the list.
func (c *Case) UsualChanges(shop *Catalogue) (*Catalogue, error) {
	if _, err := c.Bike(); err != nil {
		return nil, err
	}
	var list []string
	for _, u := range c.usual() {
		list = append(list, u.text())
	}
	cat, err := ParseCatalogue("usual changes", []byte("chainpath_parts: 1\ntitle: what is usually changed\nchanges:\n"+strings.Join(list, "")))
	if err != nil {
		return nil, err
	}
	cat.Changes = slices.DeleteFunc(cat.Changes, func(x Change) bool { // what leaves a field's range is not sold
		one := *cat
		one.Changes = []Change{x}
		_, err := one.For(c)
		return err != nil
	})
	if shop != nil {
		if cat, err = cat.under(shop, c); err != nil {
			return nil, err
		}
	}
	for i := range cat.Changes {
		cat.Changes[i].Group = "one at a time"
	}
	return cat, nil
}

// under returns the shop's changes with those of the catalogue that it has none of the same name for.
func (cat *Catalogue) under(shop *Catalogue, c *Case) (*Catalogue, error) {
	if err := shop.ties(); err != nil {
		return nil, err
	}
	if _, err := shop.For(c); err != nil { // its mistakes are told by its own lines
		return nil, err
	}
	out := *shop
	out.Changes = slices.Clone(shop.Changes)
	for _, x := range cat.Changes {
		if !slices.ContainsFunc(shop.Changes, func(s Change) bool { return s.Name == x.Name }) {
			out.Changes = append(out.Changes, x)
		}
	}
	return &out, nil
}

// usualMinutes is the work of a change that does not say it (assumption).
const usualMinutes = 30

// Names of changes that put right what reads wrong.
const (
	setCable        = "cable set anew"
	setCableHere    = "cable set for this wheel"
	setFrontCage    = "front derailleur cage set"
	tightenChain    = "chain tightened in its slot"
	straightHanger  = "derailleur hanger straightened"
	evenCassette    = "cassette with even gaps"
	newChain        = "new chain"
	longerChain     = "new chain, %d links longer"
	serviceFreehub  = "freehub serviced"
	newChainSlack   = 0.6 // free turn of a new chain's joints, ° (assumption; the default is that of a chain in use)
	usualCogsFewer  = 5   // teeth that the largest cog of a smaller cassette has less
	usualCageLonger = 15.0
)

// usualChange is a row of the table.
type usualChange struct {
	name           string
	price, minutes float64
	final          bool
	what           string // set or add, in YAML
}

func (u *usualChange) text() string {
	return fmt.Sprintf("  - {name: %q, price: %g, minutes: %g, final: %t, %s}\n", u.name, u.price, u.minutes, u.final, u.what)
}

// usual is the table for this bicycle.
func (c *Case) usual() (list []usualChange) {
	list = append(c.usualSettings(), c.usualRings()...)
	return append(list, c.usualRear()...)
}

// usualSettings are those that put right what is there already.
func (c *Case) usualSettings() (list []usualChange) {
	if t := c.Tensioner; t != nil {
		if t.IndexError.Given && t.IndexError.Value != 0 {
			list = append(list, usualChange{setCable, 0, 5, false, "set: {tensioner.index_error: 0}"})
		}
		if line, err := c.RearLine(); err == nil && t.SetAt.Given && t.SetAt.Value != line {
			list = append(list, usualChange{setCableHere, 0, 5, false, fmt.Sprintf("set: {tensioner.set_at: %g}", line)})
		}
		if h := t.Hanger; h != nil && (h.Lean.Value != 0 || h.Toe.Value != 0) {
			list = append(list, usualChange{straightHanger, 0, 15, true, "set: {tensioner.hanger.lean: 0, tensioner.hanger.toe: 0}"})
		}
	} else if s := c.Load.SlackSide; s.Given && s.Value < defaultsFor(c.Speeds)["load.slack_side"] {
		list = append(list, usualChange{tightenChain, 0, 10, false, fmt.Sprintf("set: {load.slack_side: %g}", defaultsFor(c.Speeds)["load.slack_side"])})
	}
	if f := c.Front.Cage; f != nil {
		for _, by := range []float64{-2, -1, 1, 2} {
			var at []string
			for _, p := range f.Places {
				at = append(at, fmt.Sprintf("%g", p.Value+by))
			}
			list = append(list, usualChange{fmt.Sprintf("%s %g mm %s", setFrontCage, math.Abs(by), outboard(by)), 0, 10, false, "set: {front.cage.positions: [" + strings.Join(at, ", ") + "]}"})
		}
	}
	if c.Chain.Slack.Given && c.Chain.Slack.Value > newChainSlack {
		list = append(list, usualChange{newChain, 35, 15, true, fmt.Sprintf("set: {chain.slack: %g}", newChainSlack)})
	}
	if n := c.Chain.Links; n > 0 {
		for more := 2; more <= mostLonger; more += 2 {
			list = append(list, usualChange{fmt.Sprintf(longerChain, more), 35, 15, true, fmt.Sprintf("set: {chain.links: %d}", n+more)})
		}
	}
	if d := c.Load.FreehubDrag; d.Given && d.Value > defaultsFor(c.Speeds)["load.freehub_drag"] {
		list = append(list, usualChange{serviceFreehub, 10, 45, true, fmt.Sprintf("set: {load.freehub_drag: %g}", defaultsFor(c.Speeds)["load.freehub_drag"])})
	}
	return list
}

// outboard is the side of a move.
func outboard(by float64) string {
	if by < 0 {
		return "inboard"
	}
	return "outboard"
}

// ringStep is how chainrings are moved as a whole, and by how much parts are sold for it, mm either way.
type ringStep struct {
	how, short     string
	price, minutes float64
	steps          []float64
}

func (c *Case) ringSteps() []ringStep {
	if len(c.Front.Rings) == 1 {
		return []ringStep{{"spacers under its bolts", "spacers", 8, 30, []float64{1, 1.5, 2}}, {"another offset", "another offset", 55, 30, []float64{3}}, {"another offset", "another offset", 60, 30, []float64{6}}}
	}
	return []ringStep{{"spacers beside the bearing", "spacers", 5, 45, []float64{1, 1.5, 2}}, {"another spindle", "another spindle", 40, 60, []float64{3}}}
}

// RingStep returns by what parts the chainrings are moved so far, mm outboard, in short; "" where
// that takes more than one of those that are usual.
func (c *Case) RingStep(by float64) string {
	for _, r := range c.ringSteps() {
		for _, s := range r.steps {
			if math.Abs(math.Abs(by)-s) < 1e-6 {
				return r.short
			}
		}
	}
	return ""
}

// usualRings are those of the front. Several rings move together.
func (c *Case) usualRings() (list []usualChange) {
	what := "chainring"
	if len(c.Front.Rings) > 1 {
		what = "chainrings"
	}
	for _, r := range c.ringSteps() {
		for _, s := range r.steps {
			for _, by := range []float64{-s, s} {
				list = append(list, usualChange{fmt.Sprintf("%s %g mm %s by %s", what, s, outboard(by), r.how), r.price, r.minutes, false, fmt.Sprintf("add: {front.line: %g}", by)})
			}
		}
	}
	rings := c.Front.Rings
	set := func(name string, price, minutes float64, teeth []int) {
		if slices.IsSorted(teeth) {
			list = append(list, usualChange{name, price, minutes, false, "set: {front.rings: [" + strings.Trim(strings.Join(strings.Fields(fmt.Sprint(teeth)), ", "), "[]") + "]}"})
		}
	}
	if len(rings) == 1 {
		for _, by := range []int{-2, 2} {
			set(fmt.Sprintf("%d-tooth chainring", rings[0]+by), 50, 30, []int{rings[0] + by})
		}
		if c.Front.Form == "plain" && rings[0]%2 == 0 && c.Tensioner != nil {
			list = append(list, usualChange{"chainring with narrow-wide teeth", 50, 30, false, "set: {front.form: wide_narrow}"})
		}
		return list
	}
	last := len(rings) - 1
	for _, by := range []int{-2, 2} {
		in, out, both := slices.Clone(rings), slices.Clone(rings), slices.Clone(rings)
		in[0] += by
		out[last] += by
		both[0] += by
		both[last] += by
		set(fmt.Sprintf("%d-tooth inner chainring", in[0]), 40, 45, in)
		set(fmt.Sprintf("%d-tooth outer chainring", out[last]), 50, 30, out)
		set(fmt.Sprintf("%d and %d-tooth chainrings", both[0], both[last]), 110, 60, both)
	}
	if f := c.Front.Cage; f != nil {
		list = append(list, usualChange{"front derailleur whose cage is 2 mm wider", 45, 40, false, fmt.Sprintf("set: {front.cage.inner_width: %g}", f.Inside.Value+2)})
	}
	return list
}

// usualRear are those of cassette, hub, cage and tyre.
func (c *Case) usualRear() (list []usualChange) {
	for _, s := range []float64{1, 2, 3} {
		for _, by := range []float64{-s, s} {
			u := usualChange{fmt.Sprintf("cogs %g mm %s by spacers at the axle", s, outboard(by)), 8, 45, false, fmt.Sprintf("add: {rear.line: %g}", by)}
			if s == 3 {
				u.name, u.price, u.minutes = fmt.Sprintf("cogs %g mm %s by another hub", s, outboard(by)), 240, 120
			}
			list = append(list, u)
		}
	}
	cogs := c.Rear.Cogs
	n := len(cogs)
	if gaps := c.cogGaps(); n > 2 && len(gaps) == n-1 && slices.Max(gaps)-slices.Min(gaps) > feltGap {
		pitch := medianOf(gaps)
		line := lineOf("rear.line", c.Rear.Lines)
		var at []string
		for k := range cogs {
			at = append(at, fmt.Sprintf("%.3f", line+pitch*(float64(n-1)/2-float64(k))))
		}
		list = append(list, usualChange{evenCassette, 60, 25, false, "set: {rear.cog_lines: [" + strings.Join(at, ", ") + "]}"})
	}
	if s := values(c.Rear.Spacers); n > 2 && len(s) == n-1 && slices.Max(s)-slices.Min(s) > feltGap {
		list = append(list, usualChange{evenCassette, 60, 25, false, "set: {rear.spacers: [" + strings.TrimSuffix(strings.Repeat("0, ", n-1), ", ") + "]}"})
	}
	if n > 2 {
		fewer := slices.Clone(cogs)
		if fewer[n-1] -= usualCogsFewer; fewer[n-1] > fewer[n-2] {
			list = append(list, usualChange{fmt.Sprintf("cassette up to %d teeth", fewer[n-1]), 90, 25, false, fmt.Sprintf("set: {rear.cogs: [%s]}", strings.Trim(strings.Join(strings.Fields(fmt.Sprint(fewer)), ", "), "[]"))})
		}
	}
	if t := c.Tensioner; t != nil && t.Cage.Given {
		list = append(list, usualChange{"derailleur with a longer cage", 70, 40, false, fmt.Sprintf("set: {tensioner.cage: %g}", t.Cage.Value+usualCageLonger)})
	}
	if t := c.Tyre; t != nil && t.Size != "" {
		if section, bead, err := tyreSize(t.Size); err == nil {
			steps := []float64{5}
			if section > 60 {
				steps = append(steps, 10)
			}
			for _, by := range steps {
				what := fmt.Sprintf("tyre.size: %.0f-%.0f", section-by, bead)
				if t.Width.Given {
					what += fmt.Sprintf(", tyre.width: %g", t.Width.Value-by)
				}
				list = append(list, usualChange{fmt.Sprintf("tyre %.0f mm wide", section-by), 45, 20, false, "set: {" + what + "}"})
			}
		}
	}
	return list
}

// cogGaps are the distances from cog to cog of cogs that have lines of their own, mm; nil where they
// have none.
func (c *Case) cogGaps() (gaps []float64) {
	for k := 1; k < len(c.Rear.Lines); k++ {
		gaps = append(gaps, math.Abs(c.Rear.Lines[k-1].Value-c.Rear.Lines[k].Value))
	}
	return gaps
}

func medianOf(list []float64) float64 {
	s := slices.Clone(list)
	slices.Sort(s)
	return (s[(len(s)-1)/2] + s[len(s)/2]) / 2
}
