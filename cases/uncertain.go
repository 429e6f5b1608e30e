package cases

import (
	"fmt"
	"math"
	"reflect"
	"sync"

	"chainpath/sim"
	"chainpath/sim/budget"
)

// Uncertain is a case with the quantities in it that are uncertain: those given, with
// their tolerance, instrument, repeated readings or the way in which they were typed, and
// those assumptions of the defaults that limits rest on most.
type Uncertain struct {
	c      *Case
	Inputs []budget.Input // Name is the field path
}

// Uncertain returns the uncertain quantities of a case in the order of its
// fields.
func (c *Case) Uncertain() (*Uncertain, error) {
	u := &Uncertain{c: c}
	within := map[string]Default{}
	for _, d := range Defaults(c.Speeds) {
		if d.Within > 0 {
			within[d.Path] = d
		}
	}
	var failed error
	defer func() {
		for i := range u.Inputs {
			in := &u.Inputs[i]
			if lo, hi, ok := rangeOf(tagAt(in.Name)); ok {
				in.Lo, in.Hi = lo, hi
				if in.Name == "tensioner.cage" { // of one that nobody measured
					in.Lo = max(lo, c.derived.apart)
				}
			}
		}
	}()
	walk(reflect.ValueOf(c).Elem(), "", func(path string, q *Quantity) {
		if failed != nil || has(path, "instruments.", "tolerances.", "limits.", "riding.", "observations") {
			return
		}
		if d, ok := within[path]; ok && !q.Given {
			if !c.counts(path) {
				return
			}
			u.Inputs = append(u.Inputs, budget.Input{Name: path, Value: c.mustDefault(path), U: budget.FromHalfWidth(budget.Rectangular, d.Within), Dist: budget.Rectangular})
			return
		}
		in, ok, err := c.input(path, q)
		if err != nil {
			failed = c.fail(path, "%s", err)
		}
		if ok {
			u.Inputs = append(u.Inputs, in)
		}
	})
	return u, failed
}

// counts tells whether a default has a say in this case at all.
func (c *Case) counts(path string) bool {
	switch path {
	case "frame.stay":
		return c.stayAssumed()
	case "front.ring_pitch":
		return len(c.Front.Rings) > 1 && len(c.Front.Lines) == 0
	case "rear.cog_pitch":
		return len(c.Rear.Cogs) > 1 && len(c.Rear.Lines) == 0
	case "load.slack_side":
		return c.Tensioner == nil && !c.Load.Sag.Given
	}
	return true
}

// Unmeasured reports whether a number of the case is a default or a guess, not a reading.
func (c *Case) Unmeasured(path string) bool {
	unmeasured := true
	walk(reflect.ValueOf(c).Elem(), "", func(at string, q *Quantity) {
		if at == path && q.Given {
			unmeasured = q.Instrument == guessed
		}
	})
	return unmeasured
}

// AsInput returns a quantity as an uncertain input, with the tolerances of a shop that
// says nothing of its own; ok is false for one that is taken as exact.
func AsInput(name string, q Quantity) (in budget.Input, ok bool, err error) {
	return (&Case{}).input(name, &q)
}

// input returns a given quantity as an uncertain input; ok is false for one
// that is taken as exact.
func (c *Case) input(path string, q *Quantity) (in budget.Input, ok bool, err error) {
	switch {
	case !q.Given:
		return in, false, nil
	case len(q.Readings) > 0:
		in, err = budget.FromReadings(path, q.Readings)
		if t, ok := q.typed(path); ok { // readings may all be alike, and are no finer than their last place
			in.U = math.Hypot(in.U, t.U)
		}
		return in, err == nil, err
	case q.Spread == 0 && q.Instrument == "":
		in, ok = q.typed(path)
		return in, ok, nil
	case q.Exact && q.Spread == 0:
		return in, false, nil
	}
	dist, a := budget.Rectangular, q.Spread
	if i, ok := instrumentNamed(q.Instrument); ok {
		dist = i.Dist
		if a == 0 {
			a = c.Shop.within(i)
		}
	}
	return budget.Input{Name: path, Value: q.Value, U: budget.FromHalfWidth(dist, a), Dist: dist}, true, nil
}

// checkSpreads refuses a tolerance that reaches outside its field's range.
func (c *Case) checkSpreads() error {
	var bad []*Error
	walk(reflect.ValueOf(c).Elem(), "", func(path string, q *Quantity) {
		if q.Spread == 0 {
			return
		}
		tag := tagAt(path)
		lo, hi, ranged := rangeOf(tag)
		if !ranged {
			return
		}
		for _, end := range []float64{q.Value - q.Spread, q.Value + q.Spread} {
			if !(end >= lo-spreadTol && end <= hi+spreadTol) {
				f := dimensions[tag.Get("dim")].format
				bad = append(bad, mistakes(c.fail(path, "%s ± %s reaches %s%s", f(q.Value), f(q.Spread), f(end), rangeHint(tag)))...)
				return
			}
		}
	})
	return together(bad)
}

// spreadTol is the rounding of a value with its tolerance at the end of a range, in
// base units: 1e-9 of what the largest range holds.
const spreadTol = 1e-9

// Varied is one copy of the case whose uncertain quantities can be set; it is
// for one goroutine.
type Varied struct {
	c  *Case
	at []*Quantity
	in []budget.Input
}

// Vary returns a fresh copy.
func (u *Uncertain) Vary() *Varied {
	v := &Varied{c: u.c.clone(), in: u.Inputs}
	byPath := map[string]*Quantity{}
	walk(reflect.ValueOf(v.c).Elem(), "", func(path string, q *Quantity) { byPath[path] = q })
	for _, in := range u.Inputs {
		v.at = append(v.at, byPath[in.Name])
	}
	return v
}

// Bike returns the model with the uncertain quantities set to x; beyond a field's
// range counts as its end.
func (v *Varied) Bike(x []float64) (*sim.Bike, error) {
	v.set(x)
	return v.build(v.c.numbers())
}

// set gives the copy its uncertain quantities, but for those that are drawn otherwise.
func (v *Varied) set(x []float64) {
	for i, q := range v.at {
		if q == nil {
			continue
		}
		q.Value, q.Given = x[i], true
		if in := &v.in[i]; in.Lo < in.Hi {
			q.Value = math.Max(in.Lo, math.Min(x[i], in.Hi))
		}
	}
}

// build returns the copy's model with those numbers where it is silent.
func (v *Varied) build(n *numbers) (*sim.Bike, error) {
	b, err := v.c.build(n)
	if err != nil {
		return nil, err
	}
	return b, v.c.Explain(b.Validate())
}

// clone returns a deep copy of a case.
func (c *Case) clone() *Case {
	n := *c
	deepen(reflect.ValueOf(&n).Elem())
	return &n
}

// deepen replaces every pointer and slice of a case's fields by a copy.
func deepen(v reflect.Value) {
	switch v.Kind() {
	case reflect.Pointer:
		if !v.IsNil() {
			p := reflect.New(v.Type().Elem())
			p.Elem().Set(v.Elem())
			v.Set(p)
			deepen(p.Elem())
		}
	case reflect.Slice:
		if !v.IsNil() {
			s := reflect.MakeSlice(v.Type(), v.Len(), v.Len())
			reflect.Copy(s, v)
			v.Set(s)
			if e := v.Type().Elem(); e == quantityType || e.Kind() != reflect.Struct && e.Kind() != reflect.Pointer && e.Kind() != reflect.Slice {
				return
			}
			for i := range s.Len() {
				deepen(s.Index(i))
			}
		}
	case reflect.Struct:
		for _, i := range shared(v.Type()) {
			deepen(v.Field(i))
		}
	}
}

// sharing keeps what shared found: a []int by reflect.Type.
var sharing sync.Map

// shared returns which fields of a struct two copies of it would share a part of. A
// quantity's readings are never written to and do not count.
func shared(t reflect.Type) []int {
	if known, ok := sharing.Load(t); ok {
		return known.([]int)
	}
	var out []int
	for i := range t.NumField() {
		f := t.Field(i)
		k := f.Type.Kind()
		if f.IsExported() && f.Type != quantityType && (k == reflect.Pointer || k == reflect.Slice || k == reflect.Struct && len(shared(f.Type)) > 0) {
			out = append(out, i)
		}
	}
	sharing.Store(t, out)
	return out
}

// walk visits every quantity below an addressable value with its field path, in
// the order of the fields; groups that are not given are passed over.
func walk(v reflect.Value, path string, visit func(path string, q *Quantity)) {
	switch {
	case v.Type() == quantityType:
		visit(path, v.Addr().Interface().(*Quantity))
	case v.Kind() == reflect.Pointer:
		if !v.IsNil() {
			walk(v.Elem(), path, visit)
		}
	case v.Kind() == reflect.Slice && v.Type().Elem() == quantityType:
		for i := range v.Len() {
			walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i), visit)
		}
	case v.Kind() == reflect.Slice && v.Type().Elem().Kind() == reflect.Struct:
		for i := range v.Len() {
			walk(v.Index(i), fmt.Sprintf("%s[%d]", path, i), visit)
		}
	case v.Kind() == reflect.Struct:
		for i := range v.NumField() {
			if name := v.Type().Field(i).Tag.Get("yaml"); name != "" {
				walk(v.Field(i), join(path, name), visit)
			}
		}
	}
}

// FrontLineWithin returns how well the front chainline is known, mm either way, 95 %: by the shape of its
// own ± where it is one number, else to first order by the readings that it follows from. It is 0 where
// nothing uncertain enters it. Errors are *Error or come from package sim.
func (c *Case) FrontLineWithin() (float64, error) {
	if in, ok, err := c.input("front.line", &c.Front.Line); ok && err == nil {
		return in.Within95(), nil
	}
	u, err := c.Uncertain()
	if err != nil || len(u.Inputs) == 0 {
		return 0, err
	}
	v := u.Vary()
	r, err := budget.FirstOrder(func(x, y []float64) error {
		b, err := v.Bike(x)
		if err == nil {
			y[0] = b.FrontLine()
		}
		return err
	}, u.Inputs, 1)
	if err != nil {
		return 0, c.Explain(err)
	}
	return budget.Input{U: r[0].U}.Within95(), nil
}
