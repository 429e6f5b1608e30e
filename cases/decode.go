package cases

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"

	"go.yaml.in/yaml/v3"
)

// MaxSize is the largest case file, bytes: two hundred times a long one.
const MaxSize = 1 << 20

// Parse reads a case from YAML. The file name is for messages. Every error is an
// *Error, or Errors when the file has several mistakes.
func Parse(file string, data []byte) (*Case, error) {
	c := &Case{file: file}
	d, err := decode(file, data, c)
	found := mistakes(err)
	if err != nil && (d == nil || len(d.at) == 0) {
		return nil, err // not a file of fields at all
	}
	c.at, c.ends = d.at, d.ends
	err = c.infer()
	if err == nil || len(found) > 0 {
		err = errors.Join(err, c.check(found), c.checkLearned(), c.counted())
	}
	if err := together(append(found, apart(found, err)...)); err != nil {
		return nil, err
	}
	return c, c.derive()
}

// apart returns the mistakes of an error that do not follow from others: those in
// groups of the file that have none yet.
func apart(found []*Error, err error) (out []*Error) {
	bad := map[string]bool{}
	for _, e := range found {
		bad[group(e.Path)] = true
	}
	for _, e := range flat(err) {
		if !bad[group(e.Path)] {
			out = append(out, e)
		}
	}
	return out
}

// group returns the top-level field of a path.
func group(path string) string {
	return path[:len(path)-len(strings.TrimLeft(path, "abcdefghijklmnopqrstuvwxyz_"))]
}

// flat returns the mistakes of joined errors.
func flat(err error) (out []*Error) {
	if many, ok := err.(interface{ Unwrap() []error }); ok {
		for _, e := range many.Unwrap() {
			out = append(out, flat(e)...)
		}
		return out
	}
	return mistakes(err)
}

// decode fills a struct with tagged fields from one YAML document and returns
// what it saw on the way.
func decode(file string, data []byte, into any) (*decoder, error) {
	d := &decoder{file: file, at: map[string]pos{}}
	if len(data) > MaxSize {
		return nil, &Error{File: file, Problem: fmt.Sprintf("too many bytes, want at most %d", MaxSize)}
	}
	if err := checkBytes(file, data); err != nil {
		return nil, err
	}
	reader := yaml.NewDecoder(bytes.NewReader(data))
	var doc, second yaml.Node
	switch err := reader.Decode(&doc); {
	case errors.Is(err, io.EOF):
		return nil, &Error{File: file, Problem: "empty file"}
	case err != nil:
		if deep := tooDeep(file, data); deep != nil {
			return nil, deep
		}
		return nil, syntaxError(file, err)
	}
	if err := reader.Decode(&second); err == nil {
		return nil, d.fail(&second, "", "a second document, want one a file")
	} else if !errors.Is(err, io.EOF) {
		return nil, syntaxError(file, err)
	}
	if len(doc.Content) != 1 {
		return nil, &Error{File: file, Problem: "empty file"}
	}
	if err := otherKind(file, doc.Content[0], reflect.TypeOf(into).Elem()); err != nil {
		return nil, err
	}
	return d, d.read(doc.Content[0], "", reflect.ValueOf(into).Elem(), "")
}

// kinds are the files that there are, by the field that says so.
var kinds = map[string]string{
	"chainpath":       "a case",
	"chainpath_parts": "a change list, as chainpath fix CASE CATALOGUE takes",
	"chainpath_sweep": "a plan of a sweep, as chainpath sweep CASE --plan FILE takes",
	"chainpath_shop":  "a shop's memory, as chainpath learn CASE --from FILE takes",
}

// otherKind says what a file is that is read as another kind.
func otherKind(file string, n *yaml.Node, want reflect.Type) error {
	own := fieldNames(want)[0]
	var other *yaml.Node
	for i := 0; n.Kind == yaml.MappingNode && i+1 < len(n.Content); i += 2 {
		key := n.Content[i]
		if key.Value == own {
			return nil
		}
		if kinds[key.Value] != "" && other == nil {
			other = key
		}
	}
	if other == nil {
		return nil
	}
	short, _, _ := strings.Cut(kinds[own], ",")
	return &Error{File: file, Line: other.Line, Col: other.Column, Path: other.Value, Problem: fmt.Sprintf("this is %s, want %s", kinds[other.Value], short)}
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(?:column \d+: )?(.*)$`)

// placeless are the errors of the YAML reader that have no place: of names that are looked up,
// and of UTF-16; what is wrong in UTF-8 checkBytes finds.
var placeless = regexp.MustCompile(`anchor|alias|surrogate|UTF-16|control character`)

// syntaxError turns the YAML reader's error into one with a place.
func syntaxError(file string, err error) error {
	e := &Error{File: file, Problem: "not valid YAML: " + strings.TrimPrefix(err.Error(), "yaml: ")}
	if !placeless.MatchString(e.Problem) {
		e.Line, e.Col = 1, 1 // the reader leaves the first line out
	}
	if m := yamlLine.FindStringSubmatch(strings.SplitN(err.Error(), "\n", 2)[0]); m != nil && m[1] != "" {
		e.Line, _ = strconv.Atoi(m[1])
		e.Col = 1
		e.Problem = "not valid YAML: " + m[2]
	}
	return e
}

// decoder walks YAML nodes and a Go value side by side.
type decoder struct {
	file string
	at   map[string]pos // where each field given stands
	ends bool           // a list was given by its ends alone

	found []*Error // mistakes so far
}

// read reads a node into v and returns every mistake in it.
func (d *decoder) read(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag) error {
	d.found = nil
	d.keep(d.value(n, path, v, tag))
	return together(d.found)
}

// keep remembers a mistake, so that the rest can be read.
func (d *decoder) keep(err error) {
	d.found = append(d.found, mistakes(err)...)
}

func (d *decoder) fail(n *yaml.Node, path, format string, a ...any) error {
	return &Error{File: d.file, Line: n.Line, Col: n.Column, Path: path, Problem: fmt.Sprintf(format, a...)}
}

var quantityType = reflect.TypeFor[Quantity]()

// value reads a node into v; tag is that of the field v stands in.
func (d *decoder) value(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag) error {
	if n.Kind == yaml.AliasNode || n.Anchor != "" {
		return d.fail(n, path, "anchors and aliases are not used in case files, write the value out")
	}
	if n.Style&yaml.TaggedStyle != 0 {
		return d.fail(n, path, "tag %s is not used in case files", n.Tag)
	}
	if path != "" {
		d.at[path] = pos{n.Line, n.Column}
	}
	switch {
	case v.Type() == quantityType:
		return d.quantity(n, path, v, tag)
	case v.Type() == patchType:
		return d.patch(n, path, v)
	case v.Kind() == reflect.Pointer:
		v.Set(reflect.New(v.Type().Elem()))
		return d.value(n, path, v.Elem(), tag)
	case v.Kind() == reflect.Struct:
		return d.mapping(n, path, v)
	case v.Kind() == reflect.Slice:
		return d.list(n, path, v, tag)
	}
	return d.scalar(n, path, v, tag)
}

func (d *decoder) mapping(n *yaml.Node, path string, v reflect.Value) error {
	t := v.Type()
	if n.Kind != yaml.MappingNode {
		return d.fail(n, path, "%s, want fields: %s", describe(n), strings.Join(fieldNames(t), ", "))
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, val := n.Content[i], n.Content[i+1]
		f, err := d.key(key, path, t, seen)
		if err != nil {
			d.keep(err)
			continue
		}
		d.keep(d.value(val, join(path, key.Value), v.FieldByIndex(f.Index), f.Tag))
	}
	for i := range t.NumField() {
		f := t.Field(i)
		if name := f.Tag.Get("yaml"); f.Tag.Get("need") != "" && !seen[name] && !seen["meant "+name] {
			d.keep(d.fail(n, join(path, name), "missing: %s%s", f.Tag.Get("doc"), rangeHint(f.Tag)))
		}
	}
	return nil
}

// key finds the field that a key names.
func (d *decoder) key(key *yaml.Node, path string, t reflect.Type, seen map[string]bool) (reflect.StructField, error) {
	if key.Kind != yaml.ScalarNode || key.Tag == "!!merge" {
		return reflect.StructField{}, d.fail(key, path, "%s, want a field name", describe(key))
	}
	f, ok := fieldNamed(t, key.Value)
	if !ok {
		hint := ", known are " + strings.Join(fieldNames(t), ", ")
		if near := nearest(shorten(key.Value), fieldNames(t)); near != "" {
			hint = fmt.Sprintf(", did you mean %q?", near)
			seen["meant "+near] = true // so it is not missing
		}
		if wholeNumber.MatchString(key.Value) {
			hint = ": write a decimal point, not a comma"
		}
		return f, d.fail(key, path, "unknown field %q%s", shorten(key.Value), hint)
	}
	if seen[key.Value] {
		return f, d.fail(key, join(path, key.Value), "given twice")
	}
	seen[key.Value] = true
	return f, nil
}

func (d *decoder) list(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag) error {
	if m := endsForm.FindStringSubmatch(n.Value); m != nil && n.Kind == yaml.ScalarNode && tag.Get("ends") != "" {
		return d.fromEnds(n, path, v, tag, m[1:])
	}
	if n.Kind == yaml.ScalarNode && n.Tag != "!!null" && tag.Get("teeth") != "" {
		return d.teeth(n, path, v, tag)
	}
	if n.Kind == yaml.ScalarNode && n.Tag != "!!null" && tag.Get("one") != "" { // one number for all
		n = &yaml.Node{Kind: yaml.SequenceNode, Line: n.Line, Column: n.Column, Content: []*yaml.Node{n}}
	}
	if n.Kind != yaml.SequenceNode {
		return d.fail(n, path, "%s, want a list", describe(n))
	}
	out := reflect.MakeSlice(v.Type(), len(n.Content), len(n.Content))
	for i, c := range n.Content {
		d.keep(d.value(c, fmt.Sprintf("%s[%d]", path, i), out.Index(i), tag))
	}
	v.Set(out)
	return nil
}

// endsForm is a list given by its ends, 11-42.
var endsForm = regexp.MustCompile(`^\s*([0-9]{1,3})[tT]?\s*[-–]\s*([0-9]{1,3})[tT]?\s*$`)

// teeth reads numbers of teeth as people write them in one line: 34,50 or 11 13 15 or 32T.
func (d *decoder) teeth(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag) error {
	such := cogsSuch
	if strings.HasSuffix(path, "rings") {
		such = ringsSuch
	}
	list, err := teeth(n.Value, such)
	if err != nil {
		return d.fail(n, path, "%s%s", err, rangeHint(tag))
	}
	lo, hi, _ := rangeOf(tag)
	for _, x := range list {
		if float64(x) < lo || float64(x) > hi {
			return d.fail(n, path, "%d is out of range%s", x, rangeHint(tag))
		}
	}
	v.Set(reflect.ValueOf(list))
	return nil
}

// fromEnds reads the ends of a list; what lies between is the case's to infer.
func (d *decoder) fromEnds(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag, ends []string) error {
	lo, hi, _ := rangeOf(tag)
	var out []int
	for _, text := range ends {
		i, _ := strconv.Atoi(text)
		if float64(i) < lo || float64(i) > hi {
			return d.fail(n, path, "%d is out of range%s", i, rangeHint(tag))
		}
		out = append(out, i)
	}
	d.ends = true
	v.Set(reflect.ValueOf(out))
	return nil
}

func (d *decoder) quantity(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag) error {
	if n.Kind == yaml.SequenceNode && len(n.Content) > 0 && !strings.HasSuffix(path, "]") {
		return d.readings(n, path, v, tag)
	}
	if n.Kind != yaml.ScalarNode || n.Tag == "!!null" {
		return d.fail(n, path, "%s, want %s%s", describe(n), dimensions[tag.Get("dim")].name, strings.Replace(rangeHint(tag), ", want", ",", 1))
	}
	if len(n.Value) > maxQuantity {
		return d.fail(n, path, "%q: %d characters, want %s%s", shorten(n.Value), len(n.Value), dimensions[tag.Get("dim")].name, strings.Replace(rangeHint(tag), ", want", ",", 1))
	}
	text := n.Value
	if name := spacingOf(text); name != "" && tag.Get("axle") != "" {
		text = name + " (axle spacing)"
	}
	q, err := ParseQuantity(text, tag.Get("dim"))
	if err != nil {
		return d.fail(n, path, "%s%s", err, rangeHint(tag))
	}
	if q.Axle != 0 && tag.Get("axle") == "" {
		return d.fail(n, path, "%q, want a length: only the width between dropouts has a name", n.Value)
	}
	if lo, hi, ok := rangeOf(tag); ok && !(q.Value >= lo && q.Value <= hi) {
		return d.fail(n, path, "%s is out of range%s", dimensions[tag.Get("dim")].format(q.Value), rangeHint(tag))
	}
	if tag.Get("exact") != "" && (q.Spread > 0 || q.Exact || q.Instrument != "") {
		return d.fail(n, path, "%q, want a number alone: no tolerance is counted here", n.Value)
	}
	if tag.Get("exact") != "" || tag.Get("set") != "" {
		q.Step = 0
	}
	v.Set(reflect.ValueOf(q))
	return nil
}

// readings reads a list of repeated readings: the quantity is their mean.
func (d *decoder) readings(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag) error {
	if tag.Get("exact") != "" {
		return d.fail(n, path, "a list, want a number alone: no scatter is counted here")
	}
	if len(n.Content) < 2 {
		return d.fail(n, path, "1 repeated reading, want at least 2, or a number alone%s", rangeHint(tag))
	}
	var q Quantity
	for i, c := range n.Content {
		var one Quantity
		if err := d.value(c, fmt.Sprintf("%s[%d]", path, i), reflect.ValueOf(&one).Elem(), tag); err != nil {
			return err
		}
		if one.Spread > 0 || one.Exact || one.Instrument != "" {
			return d.fail(c, path, "%q, want bare numbers as repeated readings: their scatter says the rest", c.Value)
		}
		q.Readings = append(q.Readings, one.Value)
		if i == 0 || one.Step < q.Step {
			q.Step = one.Step
		}
		q.Value += one.Value / float64(len(n.Content))
	}
	q.Given = true
	v.Set(reflect.ValueOf(q))
	return nil
}

var wholeNumber = regexp.MustCompile(`^[+-]?(0|[1-9][0-9]{0,8})$`)

func (d *decoder) scalar(n *yaml.Node, path string, v reflect.Value, tag reflect.StructTag) error {
	if n.Kind != yaml.ScalarNode || n.Tag == "!!null" {
		return d.fail(n, path, "%s, want %s%s", describe(n), kindName(v.Kind()), strings.Replace(rangeHint(tag), ", want", ",", 1))
	}
	switch v.Kind() {
	case reflect.Int:
		if tag.Get("teeth") != "" {
			n.Value = strings.TrimRight(n.Value, "tT")
		}
		if !wholeNumber.MatchString(n.Value) || n.Style&(yaml.SingleQuotedStyle|yaml.DoubleQuotedStyle) != 0 {
			return d.fail(n, path, "%q is not a whole number%s", shorten(n.Value), rangeHint(tag))
		}
		i, _ := strconv.Atoi(n.Value)
		if lo, hi, ok := rangeOf(tag); ok && (float64(i) < lo || float64(i) > hi) {
			return d.fail(n, path, "%d is out of range%s", i, rangeHint(tag))
		}
		v.SetInt(int64(i))
	case reflect.Bool:
		if n.Value != "true" && n.Value != "false" {
			return d.fail(n, path, "%q, want true or false", shorten(n.Value))
		}
		v.SetBool(n.Value == "true")
	case reflect.String:
		if of := choices(tag); of != nil {
			if form := formOfTeeth(n.Value); form != "" && slices.Contains(of, form) {
				n.Value = form
			}
			own, elsewhere := asIn(tag.Get("list"), n.Value)
			if n.Value = own; elsewhere != "" {
				return d.fail(n, path, "%q is told under %s", n.Value, elsewhere)
			}
			if !slices.Contains(of, n.Value) {
				return d.fail(n, path, "%s", noChoice(n.Value, allNames(tag)))
			}
		}
		if wrong := checkText(n.Value, tag.Get("lines") != ""); wrong != "" {
			return d.fail(n, path, "%s", wrong)
		}
		v.SetString(n.Value)
	default:
		panic("cases: no reader for " + v.Kind().String())
	}
	return nil
}

// describe says what a node is, for messages.
func describe(n *yaml.Node) string {
	switch n.Kind {
	case yaml.MappingNode:
		return "a group of fields"
	case yaml.SequenceNode:
		return "a list"
	case yaml.AliasNode:
		return "an alias"
	}
	if n.Tag == "!!null" {
		return "nothing"
	}
	return strconv.Quote(shorten(n.Value))
}

func kindName(k reflect.Kind) string {
	switch k {
	case reflect.Int:
		return "a whole number"
	case reflect.Bool:
		return "true or false"
	}
	return "text"
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func fieldNames(t reflect.Type) (names []string) {
	for i := range t.NumField() {
		if n := t.Field(i).Tag.Get("yaml"); n != "" {
			names = append(names, n)
		}
	}
	return names
}

// fields keeps every struct's fields by their names in files: a map[string]reflect.StructField
// by reflect.Type.
var fields sync.Map

func fieldNamed(t reflect.Type, name string) (reflect.StructField, bool) {
	known, ok := fields.Load(t)
	if !ok {
		byName := map[string]reflect.StructField{}
		for i := range t.NumField() {
			if n := t.Field(i).Tag.Get("yaml"); n != "" {
				byName[n] = t.Field(i)
			}
		}
		known, _ = fields.LoadOrStore(t, byName)
	}
	f, ok := known.(map[string]reflect.StructField)[name]
	return f, ok
}

// rangeOf returns the bounds a field's tag gives.
func rangeOf(tag reflect.StructTag) (lo, hi float64, ok bool) {
	a, b, found := strings.Cut(tag.Get("range"), "..")
	if !found {
		return 0, 0, false
	}
	lo, e1 := strconv.ParseFloat(a, 64)
	hi, e2 := strconv.ParseFloat(b, 64)
	if e1 != nil || e2 != nil {
		panic("cases: bad range tag " + tag.Get("range"))
	}
	return lo, hi, true
}

func rangeHint(tag reflect.StructTag) string {
	lo, hi, ok := rangeOf(tag)
	if !ok {
		return ""
	}
	dim := dimensions["number"]
	if n := tag.Get("dim"); n != "" {
		dim = dimensions[n]
	}
	if lo == hi {
		return ", want " + dim.format(lo)
	}
	return fmt.Sprintf(", want %s to %s", dim.format(lo), dim.format(hi))
}
