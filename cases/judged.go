package cases

import (
	"sync"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// judgedBikes are the drawn bikes that combinations of changes are judged by: of each
// combination those of its changes of more than dimensions alone, so that what is found of a
// combination does not depend on those before it. For one goroutine.
type judgedBikes struct {
	j     *Judging
	alone bool
	kept  keptVersions[int] // by the changes
}

// forms tells which of a catalogue's options change more than dimensions, or what is drawn.
type forms struct {
	once sync.Once
	is   []bool
}

func (k *Candidates) isForm(option int) bool {
	k.forms.once.Do(func() {
		k.forms.is = make([]bool, len(k.opts))
		c, base, err := k.build(nil)
		doubts, failed := c.doubts()
		for i := range k.opts {
			x, b, failedToo := k.build([]int{i})
			k.forms.is[i] = true
			if err == nil && failed == nil && failedToo == nil && base.Alike(b) {
				own, err := x.doubts()
				k.forms.is[i] = err != nil || own != doubts
			}
		}
	})
	return k.forms.is[option]
}

// of returns the bikes that a combination's case and bike are judged by, and the design that it
// is of them.
func (s *judgedBikes) of(c *Case, b *sim.Bike, picks []int) (v *judge.Versions, d sim.Design, err error) {
	d = sim.Design{Bike: b, Cut: c.Chain.Links == 0}
	if d.Links, err = b.ChooseLinks(); err != nil {
		return nil, d, c.Explain(err)
	}
	var form []int
	for _, p := range picks {
		if s.j.k.isForm(p) {
			form = append(form, p)
		}
	}
	if v, err := s.versions(form); err == nil && v.Base.Alike(b) {
		return v, d, nil
	}
	v, err = c.prepare(s.alone) // changes that do not go apart
	return v, d, err
}

// versions returns the drawn bikes of changes.
func (s *judgedBikes) versions(picks []int) (*judge.Versions, error) {
	if v := s.kept.get(picks); v != nil {
		return v, nil
	}
	c, _, err := s.j.k.build(picks)
	if err != nil {
		return nil, err
	}
	v, err := c.prepare(s.alone)
	if err != nil {
		return nil, err
	}
	s.kept.put(picks, v)
	return v, nil
}
