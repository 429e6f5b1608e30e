package cases

import (
	"errors"
	"math"
	"reflect"
	"strconv"
	"strings"

	"chainpath/sim"
)

// HowFar is how far one number of a case may go before a fault is likelier than a level in some gear.
type HowFar struct {
	Path    string
	Today   float64
	Level   float64     // chance
	Ends    [2]LimitEnd // less, then more
	Already []LimitBy   // faults that are as likely today, in their worst gear: they end nothing
}

// LimitBy is a fault in the gear in which it is likeliest.
type LimitBy struct {
	Concern   sim.Concern
	Ring, Cog int // teeth, of the bike there
	Chance    float64
}

// LimitEnd is where a number ends on one side.
type LimitEnd struct {
	Looked float64 // how far was looked
	Open   bool    // nothing ends it there
	At     float64 // the last value with every chance below the level; not set where Open
	By     LimitBy // what is as likely just beyond
	Cannot string  // why the bike cannot be just beyond, where that ends it; else ""
	// Between tells how surely: where the same fault reaches a chance of a tenth and of 0.65 in some gear; NaN where it does not
	// on that side.
	Between [2]float64
}

// likelier are the chances of Between.
var likelier = [2]float64{0.1, 0.65}

// limitSteps is in how many steps a side is looked along; limitExact into how many parts the step in which an end lies
// is cut.
const (
	limitSteps = 24
	limitExact = 1024
)

// HowFar finds how far a number of the case may go either way, up to reach in its base unit (0: six tenths of it, or 5),
// before the chance of a fault reaches a level in some gear. Faults that do so today are told and left aside. A side has
// one end: the first that is met. Errors are *Error, wrap ErrSets, or come from package sim.
func (c *Case) HowFar(path string, level, reach float64) (*HowFar, error) {
	if !(level > 0.01 && level < 0.99) {
		return nil, c.fail(path, "chance %g is out of range, want 0.01 to 0.99", level)
	}
	if math.IsNaN(reach) || reach < 0 || math.IsInf(reach, 0) {
		return nil, c.fail(path, "reach %g is out of range, want 0 or more", reach)
	}
	today, err := c.Number(path)
	if group, _, in := strings.Cut(path, "."); err != nil && in {
		if v, _, known := field(&Case{}, path); known && v.IsValid() && !given(reflect.ValueOf(c).Elem(), group).IsValid() {
			return nil, c.fail(group, "the bike file has none: give it first")
		}
	}
	if err != nil {
		return nil, err
	}
	if v, _, ok := field(c.clone(), path); ok && v.Kind() == reflect.Int && today == 0 {
		return nil, c.fail(path, "not a number that the case gives")
	}
	s, err := (&SweepPlan{file: c.file, Vary: []Vary{{Path: path, Values: []string{strconv.FormatFloat(today, 'g', -1, 64)}}}}).For(c)
	if err != nil {
		return nil, err
	}
	t := s.vars[0]
	if reach == 0 {
		if reach = 0.6 * math.Abs(today); today == 0 {
			reach = 5
		}
	}
	lo, hi := today-reach, today+reach
	if t.ranged {
		lo, hi = math.Max(lo, t.lo), math.Min(hi, t.hi)
	}
	if t.whole {
		lo, hi = math.Ceil(lo), math.Floor(hi)
	}
	s.anchorOnce.Do(func() {})
	s.anchor = s.anchorBetween(lo, hi, today)
	w := &limitSearch{c: c, d: s.Designer(), whole: t.whole, level: level}
	l := &HowFar{Path: path, Today: today, Level: level}
	now, why := w.worst(today)
	if why != nil {
		return nil, why
	}
	w.aside = map[sim.Concern]bool{}
	for k, x := range now {
		if x.Chance >= level {
			l.Already, w.aside[sim.Concern(k)] = append(l.Already, x), true
		}
	}
	for i, end := range [2]float64{lo, hi} {
		if l.Ends[i], err = w.end(today, end); err != nil {
			return nil, err
		}
	}
	return l, nil
}

// anchorBetween is where designs between two values are judged from.
func (s *Sweep) anchorBetween(lo, hi, today float64) anchor {
	a := anchor{x: []float64{today}, dimension: []bool{false}}
	d := s.Designer()
	b, err := d.Bike(a.x)
	if err != nil || s.vars[0].whole {
		return a
	}
	doubt, err := d.c.doubts()
	if err != nil {
		return a
	}
	a.dimension[0] = true
	for _, x := range [2]float64{lo, hi} {
		if other, err := d.Bike([]float64{x}); err == nil { // one that cannot be says nothing
			same, err := d.c.doubts()
			a.dimension[0] = a.dimension[0] && b.Alike(other) && err == nil && same == doubt
		}
	}
	return a
}

type limitSearch struct {
	c     *Case
	d     *Designer
	whole bool
	level float64
	aside map[sim.Concern]bool
}

// worst returns every fault's likeliest gear at a value.
func (w *limitSearch) worst(x float64) (out [sim.NumConcerns]LimitBy, err error) {
	if err := w.c.Stopped(); err != nil {
		return out, err
	}
	b, err := w.d.Bike([]float64{x})
	if err != nil {
		return out, err
	}
	gears, err := w.d.Chances(0)
	if err != nil {
		return out, err
	}
	for k := range out {
		out[k] = LimitBy{Concern: sim.Concern(k), Chance: -1}
		for g := range gears {
			if p := gears[g][k]; p > out[k].Chance {
				out[k] = LimitBy{sim.Concern(k), b.Rings[g/len(b.Cogs)].Teeth, b.Cogs[g%len(b.Cogs)].Teeth, p}
			}
		}
	}
	return out, nil
}

// met returns the likeliest fault at a value that is as likely as the level, if there is one, or why the bike cannot be.
func (w *limitSearch) met(x float64) (by LimitBy, is bool, cannot error, err error) {
	all, why := w.worst(x)
	if why != nil {
		if err := w.c.Stopped(); err != nil {
			return by, false, nil, err
		}
		return by, true, why, nil
	}
	by.Chance = -1
	for k, f := range all {
		if !w.aside[sim.Concern(k)] && f.Chance >= w.level && f.Chance > by.Chance {
			by, is = f, true
		}
	}
	return by, is, nil, nil
}

// along are the values that are looked at from one to another, which is the last: every whole number, or in even
// steps.
func (w *limitSearch) along(from, to float64) (list []float64) {
	n := limitSteps
	if w.whole {
		n = int(math.Abs(to - from))
	}
	for i := 1; i <= n; i++ {
		list = append(list, from+(to-from)*float64(i)/float64(n))
	}
	return list
}

// end looks along one side for the first value at which something is met. Of whole numbers one that cannot be is
// passed over where the next can: links come in pairs, and some teeth in even numbers.
func (w *limitSearch) end(today, to float64) (LimitEnd, error) {
	e := LimitEnd{Looked: to, Open: true, Between: [2]float64{math.NaN(), math.NaN()}}
	last := today
	for _, x := range w.along(today, to) {
		by, is, cannot, err := w.met(x)
		if err != nil {
			return e, err
		}
		if !is {
			last = x
			continue
		}
		if w.whole && cannot != nil {
			if _, _, next, err := w.met(x + math.Copysign(1, to-today)); err != nil {
				return e, err
			} else if next == nil {
				continue
			}
		}
		in, out := last, x
		for !w.whole && math.Abs(out-in) > math.Abs(x-last)/limitExact {
			mid := shortly((in+out)/2, math.Abs(x-last)/limitExact)
			b, is, why, err := w.met(mid)
			if err != nil {
				return e, err
			}
			if is {
				out, by, cannot = mid, b, why
			} else {
				in = mid
			}
		}
		e.Open, e.At, e.By = false, in, by
		if cannot != nil {
			var own *Error
			if e.Cannot = cannot.Error(); errors.As(cannot, &own) {
				e.Cannot = own.Problem
			}
			return e, nil
		}
		for i, p := range likelier {
			ends := [2]float64{today, in}
			if p > w.level {
				ends = [2]float64{in, to}
			}
			if e.Between[i], err = w.reaches(by.Concern, p, ends[0], ends[1]); err != nil {
				return e, err
			}
		}
		return e, nil
	}
	return e, nil
}

// shortly rounds a value to a power of ten of at most half a tolerance, so that an end is told in few digits.
func shortly(x, tolerance float64) float64 {
	per := math.Pow(10, math.Ceil(-math.Log10(tolerance/2)))
	return math.Round(x*per) / per
}

// reaches returns the last value, going from one to another, at which a fault is less likely than p in every gear;
// NaN where it is as likely at the first, is so nowhere, or where the bike cannot be before that.
func (w *limitSearch) reaches(k sim.Concern, p, from, to float64) (float64, error) {
	at := func(x float64) (chance float64, is bool, err error) {
		all, why := w.worst(x)
		if why != nil {
			return 0, false, w.c.Stopped()
		}
		return all[k].Chance, true, nil
	}
	a, is, err := at(from)
	if err != nil || !is || a >= p {
		return math.NaN(), err
	}
	in := from
	for _, x := range w.along(from, to) {
		b, is, err := at(x)
		switch {
		case err != nil:
			return 0, err
		case !is && w.whole:
			continue
		case !is:
			return math.NaN(), nil
		case b < p:
			in = x
			continue
		}
		out := x
		for !w.whole && math.Abs(out-in) > math.Abs(to-from)/limitExact {
			mid := (in + out) / 2
			b, is, err := at(mid)
			if err != nil || !is {
				return math.NaN(), err
			}
			if b < p {
				in = mid
			} else {
				out = mid
			}
		}
		return in, nil
	}
	return math.NaN(), nil
}
