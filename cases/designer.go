package cases

import (
	"errors"
	"fmt"
	"math"
	"reflect"
	"strconv"

	"chainpath/sim"
)

// Designer builds a sweep's designs, for one goroutine.
type Designer struct {
	s   *Sweep
	c   *Case
	set []setter
	fol []setter

	x    []float64 // of the last Bike call, and its bike
	b    *sim.Bike
	kept keptVersions[float64]
}

// setter is where a field of a copy of the case stands.
type setter struct {
	q    *Quantity
	n    *int
	own  []Quantity // lines of single wheels, in the place of one line,
	line float64    // and the line that base stands for
	base []float64

	read []*Quantity // readings of a measured line, which move with it
	were []Quantity  // as they stood for line
	sign float64
}

func (w setter) to(x float64) {
	switch {
	case w.n != nil:
		*w.n = int(math.Round(x))
	case len(w.read) > 0:
		for i, q := range w.read {
			*q = w.were[i].plus(w.sign * (x - w.line))
		}
	case len(w.own) > 0:
		for i := range w.own {
			w.own[i].Value = w.base[i] + x - w.line
		}
	case len(w.q.Readings) > 0: // what was read moves along, since bikes are drawn about it
		*w.q = w.q.plus(x - w.q.Value)
		w.q.Value = x
	default:
		w.q.Value, w.q.Given = x, true
	}
}

// Designer returns a fresh one.
func (s *Sweep) Designer() *Designer {
	d := &Designer{s: s, c: s.base.clone()}
	at := func(path string) setter {
		if own := d.c.ownLines(path); len(own) > 0 {
			return setter{own: own, line: lineOf(path, own), base: values(own)}
		}
		v, _, _ := field(d.c, path)
		if read, sign := d.c.readingsOf(path); read != nil {
			w := setter{read: read, sign: sign}
			for _, q := range read {
				w.were = append(w.were, *q)
			}
			w.line, _ = d.c.Number(path) // a case that was found good has it
			return w
		}
		if v.Kind() == reflect.Int {
			return setter{n: v.Addr().Interface().(*int)}
		}
		return setter{q: v.Addr().Interface().(*Quantity)}
	}
	for _, t := range s.vars {
		d.set = append(d.set, at(t.path))
	}
	for _, f := range s.linked {
		d.fol = append(d.fol, at(f.path))
	}
	return d
}

// Bike returns the model of a design. Chainstay and dropout stay where they were measured,
// unless they are varied. An error says why the design cannot be.
func (d *Designer) Bike(x []float64) (*sim.Bike, error) {
	for i, w := range d.set {
		w.to(x[i])
	}
	for i, w := range d.fol {
		f := &d.s.linked[i]
		y := f.factor*x[f.of] + f.offset
		if f.ranged && !(y >= f.lo && y <= f.hi) {
			return nil, fmt.Errorf("%s becomes %s, want %g to %g", f.path, strconv.FormatFloat(y, 'g', 6, 64), f.lo, f.hi)
		}
		if f.whole && y != math.Trunc(y) {
			return nil, fmt.Errorf("%s becomes %g, want a whole number", f.path, y)
		}
		w.to(y)
	}
	b, err := d.c.Bike()
	if err != nil {
		return nil, plain(err)
	}
	d.s.held.hold(d.c, b)
	if err := b.Validate(); err != nil {
		return nil, plain(d.c.Explain(err))
	}
	d.x, d.b = append(d.x[:0], x...), b
	return b, nil
}

// LateShifts returns how likely the shifts of the design of the last Bike call are late.
func (d *Designer) LateShifts() (LateShifts, error) {
	l, err := d.c.lateShifts(d.b)
	return l, plain(err)
}

// chain gives the design's case a chain of so many links until what it returns is called.
func (d *Designer) chain(links int) func() {
	own := d.c.Chain.Links
	if links > 0 {
		d.c.Chain.Links = links
	}
	return func() { d.c.Chain.Links = own }
}

// Case returns the copy of the case that the last Bike call was made from.
func (d *Designer) Case() *Case { return d.c }

// plain takes file and line off an error: in a sweep they are those of the case,
// not of what is wrong.
func plain(err error) error {
	var e *Error
	if errors.As(err, &e) {
		if e.Path == "" {
			return errors.New(e.Problem)
		}
		return errors.New(e.Path + ": " + e.Problem)
	}
	return err
}
