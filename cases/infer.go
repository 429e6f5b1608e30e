package cases

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/elementary"
)

// infer fills in what the file leaves out and what follows from the rest: cogs
// between the ends given, speeds, tensioner and title. What it fills in is not
// written back by Format.
func (c *Case) infer() error {
	c.inferred = map[string]bool{}
	if c.ends {
		cogs, usual, err := UsualCogs(c.Rear.Cogs[0], c.Rear.Cogs[1], c.Speeds)
		if err != nil {
			return c.fail("rear.cogs", "%s", err)
		}
		c.Rear.Cogs, c.inferred["rear.cogs"], c.usualCogs = cogs, true, usual
	}
	if c.Speeds == 0 {
		c.Speeds, c.inferred["speeds"] = min(max(len(c.Rear.Cogs), 1), mostSpeeds), true
	}
	if c.Tensioner == nil && len(c.Front.Rings)*len(c.Rear.Cogs) > 1 {
		c.Tensioner, c.inferred["tensioner"] = &Tensioner{}, true
	}
	c.inferRear()
	c.setAside()
	c.loose = c.Tensioner == nil && c.Frame.Slot == nil && len(c.Frame.Path) == 0
	if c.loose {
		c.room = c.axleRoom()
	}
	if strings.TrimSpace(c.Title) == "" {
		c.Title, c.inferred["title"] = c.describe(), true
	}
	return nil
}

// told notes that a field was given anew, so that what was inferred or set aside of it no
// longer stands for it. Clones share the notes of what was inferred, which are not changed.
func (c *Case) told(path string) {
	if c.inferred[path] {
		c.inferred = maps.Clone(c.inferred)
		delete(c.inferred, path)
	}
	switch path {
	case "rear.cogs":
		c.ends = false
	case "front.line":
		c.aside.front, c.aside.frontMeasured = nil, nil
	case "rear.line":
		c.aside.rear, c.aside.rearMeasured = nil, nil
	case "chain.links":
		c.aside.links = 0
	}
}

// said returns a copy of the case without what infer filled in.
func (c *Case) said() *Case {
	n := c.clone()
	n.asSaid()
	for path := range c.inferred {
		switch path {
		case "rear.cogs":
			if k := len(n.Rear.Cogs); k > 1 {
				n.Rear.Cogs = []int{n.Rear.Cogs[0], n.Rear.Cogs[k-1]}
			}
		case "rear.measured.stack":
			if m := n.Rear.Measured; m != nil {
				m.Stack = Quantity{}
			}
		case "rear.measured.gap":
			if m := n.Rear.Measured; m != nil {
				if m.Gap = (Quantity{}); m.Dropouts.Axle != 0 {
					m.Dropouts = axleNamed(m.Dropouts.Axle)
				}
			}
		case "speeds":
			n.Speeds = 0
		case "tensioner":
			n.Tensioner = nil
		case "title":
			n.Title = ""
		}
	}
	n.inferred = nil
	return n
}

// describe names a bike by its gears, such as 34-50 x 11-28, 2x11.
func (c *Case) describe() string {
	ends := func(teeth []int) string {
		switch len(teeth) {
		case 0:
			return "?"
		case 1:
			return fmt.Sprint(teeth[0])
		}
		return fmt.Sprintf("%d-%d", teeth[0], teeth[len(teeth)-1])
	}
	return fmt.Sprintf("%s x %s, %dx%d", ends(c.Front.Rings), ends(c.Rear.Cogs), len(c.Front.Rings), len(c.Rear.Cogs))
}

// evenCogs returns the teeth of a cluster of which only the smallest and the largest
// cog are known: steps as even in ratio as whole teeth allow, each at least one tooth.
// An assumption: clusters of the trade differ from it by a tooth or two in the middle.
func evenCogs(smallest, largest, speeds int) ([]int, error) {
	if speeds < 2 || largest-smallest < speeds-1 {
		return nil, fmt.Errorf("%d-%d: no room for %d cogs, want the smallest first and at least a tooth a step", smallest, largest, speeds)
	}
	cogs := make([]int, speeds)
	ratio := elementary.Pow(float64(largest)/float64(smallest), 1/float64(speeds-1))
	for i := range cogs {
		cogs[i] = int(math.Round(float64(smallest) * math.Pow(ratio, float64(i))))
		if i > 0 { // small cogs: a tooth is more than the even step
			cogs[i] = max(cogs[i], cogs[i-1]+1)
		}
		cogs[i] = min(cogs[i], largest-(speeds-1-i))
	}
	return cogs, nil
}

// alternates reports whether the ring's teeth are wide and narrow in turn: as the
// case says, or by what is usual on a single ring for 10 speeds and more.
func (c *Case) alternates(d *numbers) bool {
	return c.Front.Form == "wide_narrow" || c.Front.Form == "" && c.formAssumed() && c.Front.Rings[0]%2 == 0 && !d.plain
}

// formAssumed reports whether the form of the ring's teeth is taken from what is usual.
func (c *Case) formAssumed() bool {
	return c.Front.Form == "" && len(c.Front.Rings) == 1 && c.Tensioner != nil && c.Speeds >= 10
}

// stayAssumed reports whether the chainstay's length is a usual one.
func (c *Case) stayAssumed() bool { return !c.Frame.Stay.Given && len(c.Frame.Path) == 0 }

// Taken is something that the case does not say, or only guesses, and that
// results rest on.
type Taken struct {
	Path  string
	Value string
	Basis Basis
	Note  string
	// Concerns are those whose chance rests on it.
	Concerns []string
}

// The concerns that an assumption can enter, by name: that the chain comes off, all that
// can be seen of where it runs, and what a loose top run tells of its length.
var (
	drops    = codes(func(h *sim.Hazard) bool { return h.Fails("climb") })
	sideways = codes(func(h *sim.Hazard) bool { return h.Seen != "" })
	lengths  = codes(func(h *sim.Hazard) bool { return slices.Contains(h.Symptoms, string(decide.LooseTop)) })
)

func codes(is func(h *sim.Hazard) bool) (out []string) {
	for _, k := range sim.Concerns(is) {
		out = append(out, k.String())
	}
	return out
}

// Assumptions lists what the case leaves out or guesses and results rest on most: not
// every default, but what was inferred, the chainstay's length, the form of the ring's
// teeth, how far apart chainrings are, guesses and names of axle spacings.
func (c *Case) Assumptions() (out []Taken) {
	add := func(path, value string, basis Basis, note string, concerns []string) {
		out = append(out, Taken{path, value, basis, note, concerns})
	}
	if c.inferred["speeds"] {
		add("speeds", fmt.Sprint(c.Speeds), Assumption, "as many as cogs; chain and cassette by it", sideways)
	}
	if c.stayAssumed() {
		add("frame.stay", fmt.Sprintf("%g ± %g mm", usualStay, stayWithin), Practice, "usual lengths, no published source; measure from axle to crank centre", append(slices.Clone(sideways), lengths...))
	}
	if c.loose {
		add("frame.slot", "where the chain is taut", Assumption, "in a slot or an eccentric; a half link or a fixed dropout would have to be given", []string{"cannot_close", "chain_too_long"})
	}
	if c.counts("front.ring_pitch") && !c.Front.Pitch.Given {
		rests := []string{sim.RubsNextRing.String()}
		if c.Front.Cage != nil {
			rests = append(rests, sim.RubsFrontCage.String())
		}
		add("front.ring_pitch", fmt.Sprintf("%g mm", c.mustDefault("front.ring_pitch")), Practice, "usual, from memory; measure it with calipers, centre to centre of the teeth", rests)
	}
	if c.derived.cage > 0 && c.derived.least > 0 {
		add("tensioner.cage", fmt.Sprintf("%g ± %g mm", c.derived.cage, cageWithin), Assumption, fmt.Sprintf("the range needs a cage of at least %.0f mm between pulley centres: measure it", math.Ceil(c.derived.least)), append(slices.Clone(lengths), "drop_backwards"))
	}
	if c.formAssumed() {
		value := "wide_narrow"
		if !c.alternates(c.numbers()) {
			value = "plain: an odd chainring cannot alternate"
		}
		add("front.form", value, Practice, "usual on one chainring; chances count a fifth of plain ones; look at the teeth", append(slices.Clone(drops), "noise_riding"))
	}
	if c.inferred["rear.cogs"] {
		add("rear.cogs", strings.Trim(fmt.Sprint(c.Rear.Cogs), "[]"), Assumption, cassetteNote(c.Rear.Cogs, c.usualCogs), append(slices.Clone(sideways), lengths...))
	}
	if c.inferred["tensioner"] {
		add("tensioner", "present", Assumption, "there is more than one gear; dimensions by default", append(slices.Clone(lengths), "drop_backwards"))
	}
	for _, g := range c.Given() {
		switch {
		case g.instrument == guessed:
			add(g.Path, g.said, Assumption, "a guess; measure it", sideways)
		case g.instrument == axleSpacing:
			add(g.Path, g.said, Practice, "by the name of the axle spacing, no published source; measure as clamped, where the gap was read from", sideways)
		}
	}
	return out
}

// Bounds of the usual chainstay, mm: from memory, common practice; short ones of
// bicycles for racing are about 405, long ones for carrying loads about 455.
const (
	usualStay  = 430.0
	stayWithin = 25.0
)

// leastStay and mostStay are the range of a chainstay, mm.
const leastStay, mostStay = 200.0, 2000.0
