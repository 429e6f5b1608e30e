package cases

import (
	"bytes"
	"sort"
	"strings"

	"go.yaml.in/yaml/v3"
)

// Keep returns a case as text in the place of the text that it was made from: what did not
// change stands as it stood, with its comments, units, readings and order; what changed is
// written in its place, as it was said where that is given by its path: 17 in, ~430. Where that
// cannot be done, it is Format's text. The error is Format's.
func Keep(text []byte, c *Case, said map[string]string) ([]byte, error) {
	want, err := Format(c)
	if err != nil {
		return nil, err
	}
	if len(said) > 0 {
		if out, ok, err := keep(text, want, said); err != nil || ok {
			return out, err
		}
	}
	out, ok, err := keep(text, want, nil)
	if err != nil || ok {
		return out, err
	}
	return want, nil
}

// keep puts what is wanted into a text; not ok where it would not read back so.
func keep(text, want []byte, said map[string]string) (out []byte, ok bool, err error) {
	old, err := Parse("", text)
	if err != nil {
		return nil, false, nil
	}
	was, err := Format(old)
	if err != nil {
		return nil, false, err
	}
	var there, from, to yaml.Node
	for _, x := range []struct {
		text []byte
		node *yaml.Node
	}{{text, &there}, {was, &from}, {want, &to}} {
		if yaml.Unmarshal(x.text, x.node) != nil || len(x.node.Content) != 1 {
			return nil, false, nil
		}
	}
	k := keeper{text: text, starts: lineStarts(text)}
	for path, words := range said {
		if n := nodeAt(to.Content[0], path); n != nil && n.Kind == yaml.ScalarNode {
			*n = yaml.Node{Kind: yaml.ScalarNode, Value: words}
		}
	}
	k.mapping(there.Content[0], from.Content[0], to.Content[0])
	out = k.apply()
	back, err := Parse("", out)
	if err != nil {
		return nil, false, nil
	}
	again, err := Format(back)
	return out, err == nil && bytes.Equal(again, want), nil
}

// nodeAt finds a node by its path, or nil.
func nodeAt(n *yaml.Node, path string) *yaml.Node {
	for _, name := range strings.Split(path, ".") {
		if _, n = valueOf(n, name); n == nil {
			return nil
		}
	}
	return n
}

// splice puts a text in the place of bytes from..to.
type splice struct {
	from, to int
	text     string
}

type keeper struct {
	text    []byte
	starts  []int // of the lines
	splices []splice
}

func lineStarts(text []byte) []int {
	starts := []int{0}
	for i, b := range text {
		if b == '\n' {
			starts = append(starts, i+1)
		}
	}
	return append(starts, len(text))
}

// apply makes the changes, the last first.
func (k *keeper) apply() []byte {
	sort.SliceStable(k.splices, func(i, j int) bool { return k.splices[i].from > k.splices[j].from })
	out := bytes.Clone(k.text)
	for _, s := range k.splices {
		out = append(out[:s.from:s.from], append([]byte(s.text), out[s.to:]...)...)
	}
	return out
}

// valueOf returns a mapping's key and value by the key's name.
func valueOf(m *yaml.Node, key string) (k, v *yaml.Node) {
	if m != nil && m.Kind == yaml.MappingNode {
		for i := 0; i+1 < len(m.Content); i += 2 {
			if m.Content[i].Value == key {
				return m.Content[i], m.Content[i+1]
			}
		}
	}
	return nil, nil
}

// mapping changes a mapping of the text from what it says to what it is to say.
func (k *keeper) mapping(there, from, to *yaml.Node) {
	var fresh []string
	for i := 0; i+1 < len(to.Content); i += 2 {
		name, want := to.Content[i].Value, to.Content[i+1]
		_, was := valueOf(from, name)
		key, value := valueOf(there, name)
		switch {
		case was != nil && flow(was) == flow(want):
		case key == nil:
			fresh = append(fresh, name+": "+flow(want))
		case value.Kind == yaml.MappingNode && want.Kind == yaml.MappingNode && was != nil && was.Kind == yaml.MappingNode:
			k.mapping(value, was, want)
		default:
			k.replace(key, value, flow(want))
		}
	}
	for i := 0; i+1 < len(there.Content); i += 2 {
		key := there.Content[i]
		_, was := valueOf(from, key.Value)
		if _, want := valueOf(to, key.Value); want == nil && was != nil {
			k.remove(there, i)
		}
	}
	if len(fresh) > 0 {
		k.add(there, fresh)
	}
}

// flow returns a value on one line.
func flow(n *yaml.Node) string {
	var flat func(n *yaml.Node) *yaml.Node
	flat = func(n *yaml.Node) *yaml.Node {
		c := *n
		c.HeadComment, c.LineComment, c.FootComment = "", "", ""
		if c.Kind != yaml.ScalarNode {
			c.Style = yaml.FlowStyle
		}
		c.Content = nil
		for _, x := range n.Content {
			c.Content = append(c.Content, flat(x))
		}
		return &c
	}
	text, err := yaml.Marshal(flat(n))
	if err != nil {
		return "" // and the result does not read back
	}
	return strings.TrimSpace(string(text))
}

// offset returns where a node begins.
func (k *keeper) offset(n *yaml.Node) int {
	at := k.starts[n.Line-1]
	for range n.Column - 1 { // columns count letters
		at++
		for at < len(k.text) && k.text[at]&0xc0 == 0x80 {
			at++
		}
	}
	return at
}

// end returns where a value that stands on its key's line, or between brackets, ends.
func (k *keeper) end(n *yaml.Node) int {
	at := k.offset(n)
	switch {
	case n.Kind == yaml.ScalarNode && n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0:
		return k.closing(at)
	case n.Kind == yaml.ScalarNode:
		return at + len(n.Value)
	}
	for depth := 0; at < len(k.text); at++ {
		switch k.text[at] {
		case '"', '\'':
			at = k.closing(at) - 1
		case '[', '{':
			depth++
		case ']', '}':
			if depth--; depth == 0 {
				return at + 1
			}
		}
	}
	return len(k.text)
}

// closing returns where a quoted text ends that begins at a place.
func (k *keeper) closing(at int) int {
	quote := k.text[at]
	for at++; at < len(k.text); at++ {
		switch {
		case k.text[at] == '\\' && quote == '"':
			at++
		case k.text[at] == quote && quote == '\'' && at+1 < len(k.text) && k.text[at+1] == quote:
			at++
		case k.text[at] == quote:
			return at + 1
		}
	}
	return len(k.text)
}

// blocky reports whether a value stands below its key, by indentation.
func blocky(n *yaml.Node) bool { return n.Kind != yaml.ScalarNode && n.Style&yaml.FlowStyle == 0 }

// after returns where the line after an entry begins.
func (k *keeper) after(key, value *yaml.Node) int {
	last := key.Line
	if blocky(value) {
		var deepest func(n *yaml.Node)
		deepest = func(n *yaml.Node) {
			last = max(last, n.Line)
			if !blocky(n) && len(n.Content) > 0 {
				last = max(last, 1+bytes.Count(k.text[:k.end(n)], []byte("\n")))
			}
			for _, x := range n.Content {
				deepest(x)
			}
		}
		deepest(value)
	} else {
		last = max(last, 1+bytes.Count(k.text[:k.end(value)], []byte("\n")))
	}
	return k.starts[min(last, len(k.starts)-1)]
}

func (k *keeper) replace(key, value *yaml.Node, text string) {
	if blocky(value) {
		begin := k.offset(key) + len(key.Value) + 1 // after the colon
		k.splices = append(k.splices, splice{begin, k.after(key, value), " " + text + "\n"})
		return
	}
	k.splices = append(k.splices, splice{k.offset(value), k.end(value), text})
}

func (k *keeper) remove(m *yaml.Node, i int) {
	key, value := m.Content[i], m.Content[i+1]
	if blocky(m) {
		k.splices = append(k.splices, splice{k.starts[key.Line-1], k.after(key, value), ""})
		return
	}
	from, to := k.offset(key), k.end(value)
	if i+2 < len(m.Content) {
		to = k.offset(m.Content[i+2])
	} else if i > 0 {
		from = k.end(m.Content[i-1])
	}
	k.splices = append(k.splices, splice{from, to, ""})
}

func (k *keeper) add(m *yaml.Node, entries []string) {
	n := len(m.Content)
	if !blocky(m) {
		text := strings.Join(entries, ", ")
		if n > 0 {
			text = ", " + text
		}
		at := k.end(m) - 1
		k.splices = append(k.splices, splice{at, at, text})
		return
	}
	at := k.after(m.Content[n-2], m.Content[n-1])
	text := ""
	if at > 0 && k.text[at-1] != '\n' {
		text = "\n"
	}
	for _, e := range entries {
		text += strings.Repeat(" ", m.Content[0].Column-1) + e + "\n"
	}
	k.splices = append(k.splices, splice{at, at, text})
}
