package cases

import (
	"math"
	"reflect"
	"strconv"
	"strings"
)

// Unset returns a copy of a case without a field or group, such as tyre or chain.slack, as if
// it had not been given, and checked as a whole. Errors are *Error.
func (c *Case) Unset(path string) (*Case, error) {
	n := c.said()
	n.at = nil
	if _, _, ok := field(n.clone(), path); !ok {
		return nil, n.fail(path, "no case field %q", path)
	}
	v := given(reflect.ValueOf(n).Elem(), path)
	if !v.IsValid() {
		return c, nil
	}
	v.SetZero()
	return n.whole()
}

// Says returns what a case says of a field, as it would be written; "" where nothing is said.
func (c *Case) Says(path string) string {
	v := given(reflect.ValueOf(c.said()).Elem(), path)
	if !v.IsValid() || v.IsZero() {
		return ""
	}
	switch x := v.Interface().(type) {
	case Quantity:
		if len(x.Readings) > 0 {
			var list []string
			for _, r := range x.Readings {
				list = append(list, Q(r).String())
			}
			return "[" + strings.Join(list, ", ") + "]"
		}
		x.Value = math.Round(x.Value*1e9) / 1e9 // 17 in are 431.8
		return x.String()
	case int:
		return strconv.Itoa(x)
	case string:
		return x
	}
	return ""
}

// given finds a field by its path without making groups; not valid: such a group is not there.
func given(v reflect.Value, path string) reflect.Value {
	for _, part := range strings.Split(path, ".") {
		for v.Kind() == reflect.Pointer {
			if v = v.Elem(); !v.IsValid() {
				return v
			}
		}
		f, ok := fieldNamed(v.Type(), part)
		if !ok {
			return reflect.Value{}
		}
		v = v.FieldByIndex(f.Index)
	}
	return v
}
