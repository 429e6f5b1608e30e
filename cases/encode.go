package cases

import (
	"bytes"
	"fmt"
	"reflect"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Format writes a case as YAML that Parse reads back to the same values. Fields
// not given are left out, and so is what follows from the rest; quantities are in base units.
// Words that readers of YAML 1.1 take as true or false are quoted.
func Format(c *Case) ([]byte, error) {
	return format(c, func(n *yaml.Node) { quoteOld(n); explainLearned(n) })
}

// plainText returns a case's text without those quotes and the comment, which streams of a pool are made from.
func plainText(c *Case) ([]byte, error) { return format(c, func(*yaml.Node) {}) }

func format(c *Case, dress func(*yaml.Node)) ([]byte, error) {
	var b bytes.Buffer
	e := yaml.NewEncoder(&b)
	e.SetIndent(2)
	n := encode(reflect.ValueOf(*c.said()))
	dress(n)
	if c.ends {
		writeEnds(n, c.Rear.Cogs)
	}
	if err := e.Encode(n); err != nil {
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
		if n := encode(v.Elem()); n != nil {
			return n
		}
		return &yaml.Node{Kind: yaml.MappingNode, Style: yaml.FlowStyle} // given, with nothing in it
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
			x := encode(v.Index(i))
			if x == nil { // nothing in a list of numbers is a number
				x = scalar("0")
			}
			n.Content = append(n.Content, x)
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

// aboutLearned is the comment in the learned block.
const aboutLearned = "Fitted by chainpath to the symptoms and observations of this file: versions of this bike,\npacked. Not to be edited. When what you see changes: chainpath learn FILE --write FILE"

// explainLearned says in a case's learned block what it is.
func explainLearned(n *yaml.Node) {
	for i := 0; i+1 < len(n.Content); i += 2 {
		if n.Content[i].Value == "learned" && len(n.Content[i+1].Content) > 0 {
			n.Content[i+1].Content[0].HeadComment = aboutLearned
		}
	}
}

// quoteOld quotes the words that readers of YAML 1.1 take as true or false.
func quoteOld(n *yaml.Node) {
	switch strings.ToLower(n.Value) {
	case "y", "yes", "on", "n", "no", "off":
		n.Style = yaml.DoubleQuotedStyle
	}
	for _, x := range n.Content {
		quoteOld(x)
	}
}

// writeEnds puts 11-42 in the place of a case's list of cogs.
func writeEnds(n *yaml.Node, cogs []int) {
	for _, key := range []string{"rear", "cogs"} {
		for i := 0; n != nil && i+1 < len(n.Content); i += 2 {
			if n.Content[i].Value == key {
				n = n.Content[i+1]
				break
			}
		}
	}
	*n = yaml.Node{Kind: yaml.ScalarNode, Value: fmt.Sprintf("%d-%d", cogs[0], cogs[len(cogs)-1])}
}
