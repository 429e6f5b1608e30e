package cases

import (
	"chainpath/sim"
	"chainpath/sim/learn"
)

// Lesson holds what a case's observations change.
type Lesson struct {
	*learn.Lesson
	Shop   string        // what it started from, where that was a shop's memory
	Before []sim.Chances // of every gear, by the shipped sets
	After  []sim.Chances // by the learned ones
	Case   *Case         // with the learned block
}

// Learn draws possible bicycles by the case's observations and symptoms, from the shipped sets or
// what a shop's memory has for a bike of its kind, each with its own readings and its own offsets
// from what the model says. From may be nil; with it a case of which nothing was seen starts from
// the memory as it is. The version is written into the block.
// The same case gives the same bytes wherever Chances gives the same bits.
// Errors are *Error, wrap ErrSets, or come from package sim.
func (c *Case) Learn(version string, from *Memory) (*Lesson, error) {
	seen, err := c.Seen()
	if err != nil {
		return nil, err
	}
	if len(seen) == 0 && from == nil {
		what := "nothing to learn from"
		if len(c.SeenOfShifts()) > 0 {
			what = "of shifts alone: chainpath shifts and diagnose use them, and no chance of a gear is learned from them"
		}
		return nil, c.fail("observations", "%s, want at least one, such as {gears: %d/%d, direction: backwards, what: drop, off: 3, of: 10}", what, c.Front.Rings[0], c.Rear.Cogs[len(c.Rear.Cogs)-1])
	}
	return c.learnSeen(seen, version, from, 0)
}

func (c *Case) learnSeen(seen []learn.Seen, version string, from *Memory, seed uint64) (*Lesson, error) {
	plain, lesson := c.clone(), &Lesson{}
	plain.Learned = nil
	sets, err := shippedSets()
	if err != nil {
		return nil, err
	}
	if from != nil {
		k, err := from.For(plain)
		if err != nil {
			return nil, err
		}
		sets, lesson.Shop = nil, k.Name()
		for _, s := range k.starts {
			sets = append(sets, s.set)
		}
	}
	before, err := plain.before(lesson, learn.Changes(seen))
	if err != nil {
		return nil, err
	}
	source, err := plain.learner(nil)
	if err != nil {
		return nil, err
	}
	l, err := learn.New(source, sets, seen)
	if err != nil {
		return nil, err
	}
	if lesson.Lesson, err = l.Of(seen, before, seed); err != nil {
		return nil, err
	}
	for i := range freeNumbers {
		f, m := &freeNumbers[i], &lesson.Moves[i]
		m.Name, m.Unit = f.Name, f.Unit
		for j := range m.After {
			m.Before[j], m.After[j] = f.At(m.Before[j]), f.At(m.After[j])
		}
	}
	lesson.Case = plain.clone()
	lesson.Case.Learned = plain.learnedBlock(lesson.Lesson, version)
	lesson.Case.Learned.Shop = lesson.Shop
	lesson.After, err = lesson.Case.Chances()
	return lesson, err
}

// before fills the chances before anything was seen, and returns those of every shipped set, with the rings
// in their place and then moved outboard by each of some ways, mm.
func (c *Case) before(lesson *Lesson, moved []float64) (bySet [][][]sim.Chances, err error) {
	v, err := c.Prepare()
	if err != nil {
		return nil, err
	}
	designs := v.Along(append([]float64{0}, moved...))
	draws, err := v.BySet(designs)
	if err != nil {
		return nil, err
	}
	bySet = make([][][]sim.Chances, len(designs))
	for i := range draws {
		for n := range designs {
			if draws[i].Err == nil {
				bySet[n] = append(bySet[n], draws[i].Chances[n])
			}
		}
	}
	lesson.Before, err = v.MeanOf(draws, 0, &designs[0])
	return bySet, err
}

// learner is where learning about the case has bicycles from. Ready is what a caller does to everything
// that draws; nil for nothing. Errors are as of Draws.
func (c *Case) learner(ready func(d *Drawn)) (s learn.Source, err error) {
	s = learn.Source{Explain: c.Explain, Stopped: c.Stopped,
		Fail: func(format string, args ...any) error { return c.fail("observations", format, args...) },
		Drawer: func() (learn.Drawer, error) {
			d, err := c.Draws()
			if err == nil && ready != nil {
				ready(d)
			}
			return d, err
		},
	}
	for i, f := range freeNumbers {
		by := BranchOf(f.Block)
		if by < 0 {
			by = i
		}
		s.Branch = append(s.Branch, by)
	}
	if s.Nominal, err = c.Bike(); err != nil {
		return s, err
	}
	d, err := s.Drawer()
	if err == nil {
		s.Readings = d.(*Drawn).readingNames()
	}
	return s, err
}

// FaultsFrom returns the chances of every gear of a case by sets and what was seen, with its front
// and rear lines uncertain by so much (Drawn.Assume): means over the possible bicycles, kept off 0
// and 1. Errors are as of Learn.
func (c *Case) FaultsFrom(sets [][]float64, seen []learn.Seen, front, rear float64) ([]sim.Chances, error) {
	source, err := c.learner(func(d *Drawn) { d.Assume(front, rear) })
	if err != nil {
		return nil, err
	}
	l, err := learn.New(source, sets, seen)
	if err != nil {
		return nil, err
	}
	return l.Faults()
}
