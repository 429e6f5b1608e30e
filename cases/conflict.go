package cases

import (
	"fmt"
	"math"
	"strconv"

	"chainpath/sim"
)

// Conflict names entries that cannot all be true, and what the bike is computed with in their
// place.
type Conflict struct {
	Paths []string // of the entries that disagree
	Words string   // which they are, and which to measure again
	Taken string   // what was taken instead
}

// Conflicts lists them, in the order in which they were found.
func (c *Case) Conflicts() []Conflict { return c.conflicts }

// asides are what the file says where something else was taken.
type asides struct {
	front         *Quantity
	frontMeasured *FrontMeasured
	rear          *Quantity
	rearMeasured  *RearMeasured
	links         int
}

// Where lines can be, mm: rings stand outside of a bottom bracket's shell, and a cluster
// inside of a dropout; the widest hubs and cranks of the trade are far within (assumptions).
const (
	leastFront, leastRear = 28.0, 18.0
	mostLine              = 120.0
)

func (c *Case) conflict(paths []string, taken, format string, a ...any) {
	c.conflicts = append(c.conflicts, Conflict{paths, fmt.Sprintf(format, a...), taken})
}

// setAside looks for lines that cannot be, and takes usual ones in their place.
func (c *Case) setAside() {
	c.conflicts, c.aside = nil, asides{}
	c.setRearAside()
	if len(c.Front.Lines) == 0 && len(c.Front.Rings) > 0 {
		if line, err := c.FrontLine(); err == nil && !(line >= leastFront && line <= mostLine) {
			c.aside.front, c.aside.frontMeasured = &Quantity{}, c.Front.Measured
			*c.aside.front = c.Front.Line
			path, hint := "front.line", ""
			if c.Front.Measured != nil {
				path = "front.measured"
			} else if line < leastFront {
				hint = ", not from a tube's face"
			}
			u := usualFrontOf(len(c.Front.Rings), len(c.Front.Rings)*len(c.Rear.Cogs))
			c.Front.Measured, c.Front.Line = nil, u.quantity()
			c.conflict([]string{path}, u.plain(), "the front chainline of %s mm (%s) cannot be: a chainring sits %g to %g mm from the frame centreline. Measure it again%s", short(line), path, leastFront, mostLine, hint)
		}
	}
}

// setRearAside looks for a rear line that cannot be.
func (c *Case) setRearAside() {
	if len(c.Rear.Lines) > 0 || len(c.Rear.Cogs) == 0 {
		return
	}
	line, err := c.RearLine()
	m := c.Rear.Measured
	if err != nil || m == nil && line >= leastRear && line <= mostLine {
		return
	}
	u := usualRearOf(len(c.Front.Rings) * len(c.Rear.Cogs))
	if m == nil {
		keep := c.Rear.Line
		c.aside.rear, c.Rear.Line = &keep, u.quantity()
		c.conflict([]string{"rear.line"}, u.plain(), "the rear chainline of %s mm (rear.line) cannot be: a cassette's middle is %g to %g mm from the frame centreline. Measure it again", short(line), leastRear, mostLine)
		return
	}
	stack := m.Stack.Value - m.Protrusion.Value
	wide := m.Gap.Value+stack > m.Dropouts.Value
	if !wide && line >= leastRear && line <= mostLine {
		return
	}
	c.aside.rearMeasured, c.Rear.Measured = m, nil
	keep := c.Rear.Line
	c.aside.rear, c.Rear.Line = &keep, u.quantity()
	paths := []string{"rear.measured.dropouts", "rear.measured.stack", "rear.measured.gap"}
	if wide {
		c.conflict(paths, u.plain(), "a stack of %s mm with a gap of %s mm (rear.measured) is wider than the %s mm between the dropouts. Measure the three again", short(stack), short(m.Gap.Value), short(m.Dropouts.Value))
		return
	}
	c.conflict(paths, u.plain(), "dropouts %s, stack %s and gap %s mm (rear.measured) give a rear chainline of %s mm, which cannot be. Measure the three again", short(m.Dropouts.Value), short(stack), short(m.Gap.Value), short(line))
}

// setLinksAside looks for a chain that cannot reach, or hangs, in most gears: then its count
// is not believed, and that which a mechanic would cut is taken.
func (c *Case) setLinksAside(b *sim.Bike) error {
	links := c.Chain.Links
	if links == 0 || b.Tensioner == nil && !c.loose {
		return nil
	}
	short, loose := 0, 0
	var l sim.Loop
	for ring := range b.Rings {
		for cog := range b.Cogs {
			fit, err := b.Close(&l, ring, cog, links)
			if err != nil {
				return c.Explain(err)
			}
			switch {
			case !fit.Mounts():
				short++
			case fit.Hangs():
				loose++
			}
		}
	}
	gears := len(b.Rings) * len(b.Cogs)
	if 2*max(short, loose) <= gears {
		return nil
	}
	free := *b
	free.Chain.Links = 0
	taken, err := free.ChooseLinks()
	if err != nil {
		return c.Explain(err)
	}
	wrong := "is too long for"
	if short > loose {
		wrong = "does not reach round"
	}
	of := fmt.Sprintf("%d of %d gears", max(short, loose), gears)
	if gears == 1 {
		of = "chainring and cog"
	}
	c.aside.links, c.Chain.Links = links, 0
	paths := []string{"chain.links", "front.rings", "rear.cogs"}
	stay := "on a usual chainstay"
	if c.Frame.Stay.Given {
		paths, stay = append(paths, "frame.stay"), fmt.Sprintf("on a chainstay of %s mm (frame.stay)", short6(b.Frame.Stay))
	}
	c.conflict(paths, fmt.Sprintf("%d links", taken), "a chain of %d links (chain.links) %s %s %s. Count the links again, and the teeth", links, wrong, of, stay)
	return nil
}

func short(v float64) string  { return strconv.FormatFloat(math.Round(10*v)/10, 'f', -1, 64) }
func short6(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// asSaid puts back what the file says where something else was taken.
func (c *Case) asSaid() {
	a := &c.aside
	if a.front != nil {
		c.Front.Line, c.Front.Measured = *a.front, a.frontMeasured
	}
	if a.rear != nil {
		c.Rear.Line, c.Rear.Measured = *a.rear, a.rearMeasured
	}
	if a.links > 0 {
		c.Chain.Links = a.links
	}
	c.aside, c.conflicts = asides{}, nil
}
