package cases

import (
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// field finds a case field by its path, making groups that were not given.
func field(c *Case, path string) (reflect.Value, reflect.StructTag, bool) {
	v, tag := reflect.ValueOf(c).Elem(), reflect.StructTag("")
	for _, part := range strings.Split(path, ".") {
		name, index, _ := strings.Cut(part, "[")
		for v.Kind() == reflect.Pointer {
			if v.IsNil() {
				v.Set(reflect.New(v.Type().Elem()))
			}
			v = v.Elem()
		}
		if v.Kind() != reflect.Struct {
			return v, tag, false
		}
		f, ok := fieldNamed(v.Type(), name)
		if !ok {
			return v, tag, false
		}
		v, tag = v.FieldByIndex(f.Index), f.Tag
		if index != "" {
			if n := len(c.Rear.Cogs) - 1; tag.Get("gaps") != "" && v.Len() == 0 && n > 0 { // none is as many that are nothing
				none := make([]Quantity, n)
				for k := range none {
					none[k] = Q(0)
				}
				v.Set(reflect.ValueOf(none))
			}
			i, err := strconv.Atoi(strings.TrimSuffix(index, "]"))
			if err != nil || v.Kind() != reflect.Slice || i < 0 || i >= v.Len() {
				return v, tag, false
			}
			v = v.Index(i)
		}
	}
	return v, tag, true
}

// tagAt returns the tag of a path's field, whether or not a case has it; "" of no field.
func tagAt(path string) (tag reflect.StructTag) {
	t := reflect.TypeFor[Case]()
	for _, part := range strings.Split(path, ".") {
		for t.Kind() == reflect.Pointer || t.Kind() == reflect.Slice {
			t = t.Elem()
		}
		name, _, _ := strings.Cut(part, "[")
		if t.Kind() != reflect.Struct || t == quantityType {
			return ""
		}
		f, ok := fieldNamed(t, name)
		if !ok {
			return ""
		}
		t, tag = f.Type, f.Tag
	}
	return tag
}

// set sets a field from its node, by the rules of the case file.
func (k *Candidates) set(c *Case, o candidate, l patchLine) error {
	v, tag, ok := field(c, l.path)
	if !ok {
		return absent(c, l.path, (&decoder{file: k.cat.file}).fail(l.key, fmt.Sprintf("changes[%d].set", o.index), "no case field %q", l.path))
	}
	value, err := k.value(l, v.Type(), tag)
	if err != nil {
		return err
	}
	if isLine(l.path) {
		c.setLine(l.path, value.Interface().(Quantity))
		return nil
	}
	v.Set(value)
	deepen(v)
	c.told(l.path)
	return nil
}

// value returns what a change sets; For has read it once.
func (k *Candidates) value(l patchLine, t reflect.Type, tag reflect.StructTag) (reflect.Value, error) {
	if v, ok := k.values[l.node]; ok {
		return v, nil
	}
	d := &decoder{file: k.cat.file, at: map[string]pos{}}
	v := reflect.New(t).Elem()
	if err := d.read(l.node, l.path, v, tag); err != nil {
		return v, err
	}
	k.values[l.node] = v
	return v, nil
}

func (k *Candidates) addLine(c *Case, o candidate, l patchLine) error {
	d := &decoder{file: k.cat.file}
	_, tag, ok := field(c, l.path)
	if !ok || tag.Get("dim") == "" {
		return absent(c, l.path, d.fail(l.key, fmt.Sprintf("changes[%d].add", o.index), "no case quantity %q", l.path))
	}
	q, err := ParseQuantity(l.node.Value, tag.Get("dim"))
	if err != nil || l.node.Kind != yaml.ScalarNode {
		return d.fail(l.node, l.path, "%s, want %s to add", describe(l.node), dimensions[tag.Get("dim")].name)
	}
	if q.Spread > 0 || q.Instrument != "" {
		return d.fail(l.node, l.path, "%q, want an amount alone: the field keeps its own tolerance", l.node.Value)
	}
	return k.add(c, o, l.path, q.Value, "add")
}

// add adds an amount to a quantity. A line that was measured moves with its readings.
func (k *Candidates) add(c *Case, o candidate, path string, amount float64, from string) error {
	fail := func(format string, a ...any) error { return k.cat.fail(o.index, from, format, a...) }
	v, tag, ok := field(c, path)
	if ok && isLine(path) {
		line, err := c.Number(path)
		if err != nil {
			return err
		}
		if lo, hi, ok := rangeOf(tag); ok && !(line+amount >= lo && line+amount <= hi) {
			return noFitting(fail("%s becomes %s%s", path, dimensions[tag.Get("dim")].format(line+amount), rangeHint(tag)))
		}
		return c.moveLine(path, amount)
	}
	if !ok || v.Type() != quantityType {
		return absent(c, path, fail("no case quantity %q", path))
	}
	q := v.Interface().(Quantity)
	if !q.Given {
		def, known := c.defaultOf(path)
		if !known {
			return noFitting(fail("%s is not given in the case, nothing to add to", path))
		}
		q = Q(def)
	}
	q = q.plus(amount)
	if lo, hi, ok := rangeOf(tag); ok && !(q.Value >= lo && q.Value <= hi) {
		return noFitting(fail("%s becomes %s%s", path, dimensions[tag.Get("dim")].format(q.Value), rangeHint(tag)))
	}
	v.Set(reflect.ValueOf(q))
	return nil
}
