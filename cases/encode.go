package cases

import (
	"bytes"
	"reflect"
	"strconv"

	"go.yaml.in/yaml/v3"
)

// Format writes a case as YAML that Parse reads back to the same values. Fields
// not given are left out; quantities are in base units.
func Format(c *Case) ([]byte, error) {
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	if err := e.Encode(encode(reflect.ValueOf(*c))); err != nil {
		return nil, err
	}
	return b.Bytes(), e.Close()
}

// encode returns the node of a value, or nil for one that was not given.
func encode(v reflect.Value) *yaml.Node {
	scalar := func(s string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: s} }
	switch {
	case v.Type() == quantityType:
		q := v.Interface().(Quantity)
		if !q.Given {
			return nil
		}
		if len(q.Readings) > 0 {
			n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
			for _, r := range q.Readings {
				n.Content = append(n.Content, scalar(Q(r).String()))
			}
			return n
		}
		return scalar(q.String())
	case v.IsZero():
		return nil
	}
	switch v.Kind() {
	case reflect.Pointer:
		return encode(v.Elem())
	case reflect.Int:
		return scalar(strconv.FormatInt(v.Int(), 10))
	case reflect.Bool:
		return scalar("true")
	case reflect.String:
		n := &yaml.Node{}
		n.SetString(v.String())
		return n
	case reflect.Slice:
		n := &yaml.Node{Kind: yaml.SequenceNode, Style: yaml.FlowStyle}
		for i := range v.Len() {
			n.Content = append(n.Content, encode(v.Index(i)))
		}
		return n
	}
	n := &yaml.Node{Kind: yaml.MappingNode}
	for i := range v.NumField() {
		name := v.Type().Field(i).Tag.Get("yaml")
		if name == "" {
			continue
		}
		if f := encode(v.Field(i)); f != nil {
			n.Content = append(n.Content, scalar(name), f)
		}
	}
	return n
}
