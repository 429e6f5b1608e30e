package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.yaml.in/yaml/v3"
)

// keeperOf returns a keeper of a text with the text's first level.
func keeperOf(t *testing.T, text string) (*keeper, *yaml.Node) {
	var doc yaml.Node
	require.NoError(t, yaml.Unmarshal([]byte(text), &doc))
	return &keeper{text: []byte(text), starts: lineStarts([]byte(text))}, doc.Content[0]
}

// Where values begin and end: columns count letters, quotes and brackets inside quotes count for
// nothing, doubled and escaped quotes end none.
func TestWhereValuesBeginAndEnd(t *testing.T) {
	const text = "a: 17 in  # x\n" +
		"b: 'it''s ]'  # y\n" +
		"c: \"a \\\" } b\" # z\n" +
		"é: {ü: [1, {x: ']'}], w: \"}\"} # flow\n" +
		"d: [1,\n  2]\n"
	k, m := keeperOf(t, text)
	for i, want := range []string{"17 in", "'it''s ]'", "\"a \\\" } b\"", "{ü: [1, {x: ']'}], w: \"}\"}", "[1,\n  2]"} {
		v := m.Content[2*i+1]
		assert.Equal(t, want, text[k.offset(v):k.end(v)])
	}
	inner := m.Content[7]
	assert.Equal(t, "[1, {x: ']'}]", text[k.offset(inner.Content[1]):k.end(inner.Content[1])])
	assert.Equal(t, "w", text[k.offset(inner.Content[2]):k.offset(inner.Content[2])+1])
	assert.Equal(t, []int{0, 2, 4, 5}, lineStarts([]byte("a\nb\nc")))
	assert.Equal(t, []int{0, 0}, lineStarts(nil))
	// What is never closed ends with the text.
	open := &keeper{text: []byte("'abc"), starts: []int{0, 4}}
	assert.Equal(t, 4, open.closing(0))
	open.text = []byte("[1, [2]")
	assert.Equal(t, 7, open.end(&yaml.Node{Kind: yaml.SequenceNode, Line: 1, Column: 1}))
}

// An entry goes with its line, and between brackets with its comma: the first, one in the middle, the
// last, the only one.
func TestEntriesAreRemoved(t *testing.T) {
	for _, c := range []struct {
		text, path string
		i          int
		want       string
	}{
		{"a: 1\nb: 2 # of b\nc: 3\n", "", 2, "a: 1\nc: 3\n"},
		{"a: 1\nb: 2\n", "", 2, "a: 1\n"},
		{"a: 1\nb:\n  c: 3\n  d: [4,\n    5]\n# end\ne: 6\n", "", 2, "a: 1\n# end\ne: 6\n"},
		{"a: {b: 1, c: [2, 3], d: 4} # x\n", "a", 0, "a: {c: [2, 3], d: 4} # x\n"},
		{"a: {b: 1, c: [2, 3], d: 4} # x\n", "a", 2, "a: {b: 1, d: 4} # x\n"},
		{"a: {b: 1, c: [2, 3], d: 4} # x\n", "a", 4, "a: {b: 1, c: [2, 3]} # x\n"},
		{"a: {b: 1} # x\n", "a", 0, "a: {} # x\n"},
		{"a: {b: 1, c: 'x, }'}\n", "a", 2, "a: {b: 1}\n"},
	} {
		k, m := keeperOf(t, c.text)
		if c.path != "" {
			_, m = valueOf(m, c.path)
		}
		k.remove(m, c.i)
		assert.Equal(t, c.want, string(k.apply()), "%q", c.text)
	}
}

// A value is replaced where it stands; one that stands below its key comes onto its line.
func TestValuesAreReplaced(t *testing.T) {
	for _, c := range []struct{ text, key, with, want string }{
		{"a: 17 in  # x\nb: 2\n", "a", "440", "a: 440  # x\nb: 2\n"},
		{"a: 'x ± y' # x\n", "a", "z", "a: z # x\n"},
		{"a: [1,\n  2] # x\nb: 1\n", "a", "3", "a: 3 # x\nb: 1\n"},
		{"a:\n  b: 1\n  c:\n    - 2 # in it\nd: 3\n", "a", "{x: 1}", "a: {x: 1}\nd: 3\n"},
		{"a:\n  - 1\n  - [2,\n    3]\n", "a", "4", "a: 4\n"},
	} {
		k, m := keeperOf(t, c.text)
		key, value := valueOf(m, c.key)
		k.replace(key, value, c.with)
		assert.Equal(t, c.want, string(k.apply()), "%q", c.text)
	}
}

// New entries come behind the last, with its indent, or between its brackets.
func TestEntriesAreAdded(t *testing.T) {
	for _, c := range []struct{ text, path, want string }{
		{"a: 1\n", "", "a: 1\nx: 1\ny: 2\n"},
		{"a: 1", "", "a: 1\nx: 1\ny: 2\n"},
		{"a:\n  b: 1 # of b\nc: 2\n", "a", "a:\n  b: 1 # of b\n  x: 1\n  y: 2\nc: 2\n"},
		{"a:\n    b:\n      - 1\n# of c\nc: 2\n", "a", "a:\n    b:\n      - 1\n    x: 1\n    y: 2\n# of c\nc: 2\n"},
		{"a: {b: 1} # x\n", "a", "a: {b: 1, x: 1, y: 2} # x\n"},
		{"a: {} # x\n", "a", "a: {x: 1, y: 2} # x\n"},
	} {
		k, m := keeperOf(t, c.text)
		if c.path != "" {
			_, m = valueOf(m, c.path)
		}
		k.add(m, []string{"x: 1", "y: 2"})
		assert.Equal(t, c.want, string(k.apply()), "%q", c.text)
	}
}

// Changes are made the last first, so that places stay; two at one place in their order.
func TestSplicesAreMade(t *testing.T) {
	k := &keeper{text: []byte("0123456789"), splices: []splice{{2, 4, "ab"}, {7, 7, "+"}, {0, 1, ""}, {9, 10, "xyz"}}}
	assert.Equal(t, "1ab456+78xyz", string(k.apply()))
	assert.Equal(t, "0123456789", string(k.text))
	n := nodeAt(mustNode(t, "a: {b: {c: 3}}"), "a.b.c")
	require.NotNil(t, n)
	assert.Equal(t, "3", n.Value)
	for _, path := range []string{"a.x", "x", "a.b.c.d", ""} {
		assert.Nil(t, nodeAt(mustNode(t, "a: {b: {c: 3}}"), path), path)
	}
	assert.Equal(t, "{b: [1, 2], c: x}", flow(mustNode(t, "# head\nb: # of b\n  - 1\n  - 2\nc: x # tail\n")))
}

func mustNode(t *testing.T, text string) *yaml.Node {
	_, m := keeperOf(t, text)
	return m
}

// What stands in brackets or below its key is changed there, whatever else the text says.
func TestKeepInBlocksAndBrackets(t *testing.T) {
	const text = "chainpath: 1 # first\nspeeds: 11\nframe:\n  stay: 430 # of axle\n  drop: 60\nfront: {line: 45, rings: [34]}\nrear:\n  line: 44\n  cogs:\n    - 11\n    - 15 # odd\n    - 21\n    - 30\nload: {torque: 40, freehub_drag: 0.1} # as ever\n"
	c := mustParse(t, text)
	kept := func(change func(n *Case)) string {
		n := mustParse(t, text)
		change(n)
		got, err := Keep([]byte(text), n, nil)
		require.NoError(t, err)
		return string(got)
	}
	assert.Equal(t, text, kept(func(*Case) {}))
	for _, x := range []struct {
		change   func(n *Case)
		old, new string
	}{
		{func(n *Case) { n.Rear.Cogs = []int{11, 15, 21, 32} }, "cogs:\n    - 11\n    - 15 # odd\n    - 21\n    - 30\n", "cogs: [11, 15, 21, 32]\n"},
		{func(n *Case) { n.Load.Torque = Quantity{} }, "{torque: 40, freehub_drag: 0.1}", "{freehub_drag: 0.1}"},
		{func(n *Case) { n.Load.FreehubDrag = Quantity{} }, "{torque: 40, freehub_drag: 0.1}", "{torque: 40}"},
		{func(n *Case) { n.Frame.Drop = Quantity{} }, "  drop: 60\n", ""},
		{func(n *Case) { n.Frame.Slot = &Slot{Back: Q(3)} }, "  drop: 60\n", "  drop: 60\n  slot: {back: 3}\n"},
		{func(n *Case) { n.Load.Tension = Q(5); n.Load.Torque = Quantity{} }, "{torque: 40, freehub_drag: 0.1}", "{freehub_drag: 0.1, tension: 5}"},
	} {
		want := replaceOnce(text, x.old, x.new)
		require.NotEqual(t, text, want, x.old)
		assert.Equal(t, want, kept(x.change))
	}
	_ = c
	// A text that is no case is written anew.
	whole, err := Format(c)
	require.NoError(t, err)
	got, err := Keep([]byte("- no case\n"), c, nil)
	require.NoError(t, err)
	assert.Equal(t, string(whole), string(got))
}
