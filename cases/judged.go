package cases

import (
	"slices"
	"sync"

	"chainpath/sim"
)

// judgedBikes are the drawn bikes that combinations of changes are judged by: of each
// combination those of its changes of more than dimensions alone, so that what is found of a
// combination does not depend on those before it. For one goroutine.
type judgedBikes struct {
	j     *Judging
	alone bool
	kept  []judgedBike
	now   int
}

// judgedBike are those of some changes.
type judgedBike struct {
	picks []int
	of    *Versions
	used  int
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
func (s *judgedBikes) of(c *Case, b *sim.Bike, picks []int) (v *Versions, d sim.Design, err error) {
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
	if v, err := s.versions(form); err == nil && v.base.Alike(b) {
		return v, d, nil
	}
	v, err = c.prepare(nil, s.alone) // changes that do not go apart
	return v, d, err
}

// versions returns the drawn bikes of changes.
func (s *judgedBikes) versions(picks []int) (*Versions, error) {
	s.now++
	for i := range s.kept {
		if k := &s.kept[i]; slices.Equal(k.picks, picks) {
			k.used = s.now
			return k.of, nil
		}
	}
	c, _, err := s.j.k.build(picks)
	if err != nil {
		return nil, err
	}
	k := judgedBike{picks: picks, used: s.now}
	if k.of, err = c.prepare(nil, s.alone); err != nil {
		return nil, err
	}
	at := len(s.kept)
	if at < mostVersions {
		s.kept = append(s.kept, k)
		return k.of, nil
	}
	at = 0
	for i := range s.kept {
		if s.kept[i].used < s.kept[at].used {
			at = i
		}
	}
	s.kept[at] = k
	return k.of, nil
}
