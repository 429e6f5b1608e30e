package cases

import (
	"math"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// numbers are what holds where a case is silent: the defaults, or what was drawn in their place.
// A bike is built from a case and these; nothing is put into it afterwards.
type numbers struct {
	defaults
	drawn  map[string]float64 // by path, in place of defaults; nil: nothing was drawn
	plates float64            // what outer plates leave inside beyond what width, rivets and inside width do, mm
	plain  bool               // a ring whose form is not given is plain, whatever is usual
	off    [2]float64         // what front and rear lines are off beside what their readings are, mm
}

// numbers returns the defaults of a case.
func (c *Case) numbers() *numbers { return &numbers{defaults: defaultsFor(c.Speeds)} }

// of returns what holds for a path; one without a default is a programming error.
func (n *numbers) of(path string) float64 {
	if v, ok := n.drawn[path]; ok {
		return v
	}
	return n.defaults.of(path)
}

// tooth returns the section of a tooth by what a case gives of it and the paths of what it does
// not. A drawn tip is no thicker than its tooth, nor a drawn tooth thinner than its tip.
func (n *numbers) tooth(tip, full Quantity, tipPath, fullPath string) engage.Tooth {
	t := engage.Tooth{Tip: tip.Or(n.of(tipPath)), Full: full.Or(n.of(fullPath))}
	if n.drawn == nil {
		return t
	}
	if !tip.Given {
		t.Tip = min(t.Tip, full.Or(n.defaults.of(fullPath)))
	}
	if !full.Given {
		t.Full = max(t.Full, t.Tip)
	}
	return t
}

// drawing is a set of free numbers as it becomes the numbers that a bike is built from, and those
// that are no part of one.
type drawing struct {
	*numbers
	c *Case
	f *sim.Free
}

// draw gives the free numbers of a set, each a share of its range, to the numbers of a case.
func (n *numbers) draw(c *Case, set []float64) *sim.Free {
	if n.drawn == nil {
		n.drawn = map[string]float64{}
	}
	clear(n.drawn)
	d := drawing{n, c, new(sim.Free)}
	for i := range freeNumbers {
		freeNumbers[i].put(&d, freeNumbers[i].At(set[i]))
	}
	return d.f
}

// Ways in which a free number stands in a default's place.

func instead(path string) func(d *drawing, v float64) {
	return func(d *drawing, v float64) { d.drawn[path] = v }
}

func added(paths ...string) func(d *drawing, v float64) {
	return func(d *drawing, v float64) {
		for _, p := range paths {
			d.drawn[p] = d.defaults.of(p) + v
		}
	}
}

func times(paths ...string) func(d *drawing, v float64) {
	return func(d *drawing, v float64) {
		for _, p := range paths {
			d.drawn[p] = v * d.defaults.of(p)
		}
	}
}

// alone is a free number that no bike has: so many of it are one of what it is kept in.
func alone(unit float64, at func(f *sim.Free) *float64) func(d *drawing, v float64) {
	return func(d *drawing, v float64) { *at(d.f) = unit * v }
}

// branch is a free number from half of whose range on something is so.
func branch(at func(f *sim.Free) *bool) func(d *drawing, v float64) {
	return func(d *drawing, v float64) { *at(d.f) = v >= 0.5 }
}

// move moves wheels outboard.
func move(wheels []sim.Wheel, by float64) {
	for i := range wheels {
		wheels[i].Line += by
	}
}

const degree = math.Pi / 180
