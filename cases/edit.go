package cases

import (
	"errors"
	"fmt"
	"reflect"
	"strconv"

	"go.yaml.in/yaml/v3"
)

// Set returns a copy of a case with one field changed, read from text as in a case
// file (lists of whole numbers as [10, 12, 14]), and checked as a whole. When the
// front line moves, the chainstay stays where it was: its gap follows. Symptoms and
// shares of time go when rings or cogs change. Errors are *Error.
func (c *Case) Set(path, text string) (*Case, error) {
	n, err := c.edited(path, text)
	if err != nil {
		return nil, err
	}
	return n.whole()
}

// edited returns a copy of a case with one field changed, not yet looked at as a whole.
func (c *Case) edited(path, text string) (*Case, error) {
	n := c.said()
	n.at = nil
	v, tag, ok := field(n, path)
	if !ok {
		return nil, n.fail(path, "no case field %q", path)
	}
	if path == "rear.cogs" || path == "front.rings" {
		text = "[" + text + "]"
	}
	var doc yaml.Node
	if err := yaml.Unmarshal([]byte(text), &doc); err != nil || len(doc.Content) != 1 {
		return nil, n.fail(path, "%q is not a value", text)
	}
	d := &decoder{file: c.file, at: map[string]pos{}}
	old := 0.0
	switch path {
	case "front.line", "rear.line":
		var err error
		if old, err = c.Number(path); err != nil {
			return nil, err
		}
	case "front.rings", "front.rings[0]", "front.rings[1]", "front.rings[2]":
		n.holdStay()
		n.forgetGears()
	case "rear.cogs":
		n.ends = false
		n.forgetGears()
	}
	was := reflect.New(v.Type()).Elem()
	was.Set(v)
	v.SetZero()
	if err := d.read(doc.Content[0], path, v, tag); err != nil {
		for _, e := range mistakes(err) {
			e.Line, e.Col = 0, 0
		}
		return nil, err
	}
	if isLine(path) {
		q := v.Interface().(Quantity)
		v.Set(was)
		n.setLine(path, q)
		if path == "front.line" && n.Chainstay != nil {
			g := &n.Chainstay.Gap
			*g = g.plus(q.Value - old)
		}
	}
	return n, nil
}

// whole returns a case that was changed, with what follows from the rest, or what is wrong with
// it as a whole.
func (c *Case) whole() (*Case, error) {
	if err := c.checked(); err != nil {
		return nil, err
	}
	if err := c.readsBack(); err != nil {
		return nil, err
	}
	return c, c.derive()
}

// checked puts into a case that was changed what can be inferred, and returns what is wrong with it.
func (c *Case) checked() error {
	if err := c.infer(); err != nil {
		return err
	}
	return c.check(nil)
}

// readsBack returns what is wrong with the case as it would be written: a field of a
// part that was not there may lack others that the part needs.
func (c *Case) readsBack() error {
	text, err := Format(c)
	if err != nil {
		return err
	}
	_, err = Parse(c.file, text)
	if e := (*Error)(nil); errors.As(err, &e) {
		e.Line, e.Col = 0, 0 // of a text that nobody has seen
		return e
	}
	return err
}

// forgetGears drops what names gears that may be gone: symptoms, observations and shares of time.
func (c *Case) forgetGears() {
	c.Symptoms, c.Observations = nil, nil
	if c.Riding != nil && len(c.Riding.Shares) > 0 {
		c.Riding = nil
	}
}

// holdStay writes down where the chainstay was measured, before the ring changes.
func (c *Case) holdStay() {
	if c.Chainstay == nil || c.Chainstay.Radius.Given {
		return
	}
	if b, err := c.Bike(); err == nil {
		c.Chainstay.Radius = Q(b.Stay.Radius)
	}
}

// Number returns a number of a case, in its base unit: as given, worked out from
// measurements, or the default.
func (c *Case) Number(path string) (float64, error) {
	switch path {
	case "front.line":
		return c.FrontLine()
	case "rear.line":
		return c.RearLine()
	case "frame.stay", "frame.drop":
		f, err := c.frame(c.numbers())
		if path == "frame.stay" {
			return f.Stay, err
		}
		return f.Drop, err
	case "tyre.width":
		if b, err := c.Bike(); err == nil && b.Tyre != nil {
			return b.Tyre.Width, nil
		}
	}
	v, _, ok := field(c.clone(), path)
	switch {
	case !ok:
	case v.Kind() == reflect.Int:
		return float64(v.Int()), nil
	case v.Type() == quantityType:
		q := v.Interface().(Quantity)
		if q.Given {
			return q.Value, nil
		}
		if d, known := c.defaultOf(path); known {
			return d, nil
		}
	}
	return 0, c.fail(path, "not a number that the case or a default gives")
}

// Bounds returns the range of a numeric field, in its base unit, with the unit and
// the field's meaning.
func Bounds(path string) (lo, hi float64, unit, doc string, err error) {
	_, tag, ok := field(&Case{}, path)
	lo, hi, ranged := rangeOf(tag)
	if !ok || !ranged {
		return 0, 0, "", "", fmt.Errorf("cases: no range of %s", strconv.Quote(path))
	}
	if d := dimensions[tag.Get("dim")]; d != nil {
		unit = d.base
	}
	return lo, hi, unit, tag.Get("doc"), nil
}
