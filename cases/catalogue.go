package cases

import (
	"fmt"
	"io"
	"math"
	"os"
	"reflect"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Catalogue is a file of candidate changes to a case.
type Catalogue struct {
	Format  int      `yaml:"chainpath_parts" need:"y" range:"1..1" doc:"version of the catalogue format, 1"`
	Title   string   `yaml:"title" doc:"what the catalogue is for"`
	Changes []Change `yaml:"changes" need:"y" doc:"the candidates"`

	file string
	at   map[string]pos
}

// Change is one candidate: what it does to the case's fields.
type Change struct {
	Name     string   `yaml:"name" need:"y" doc:"as it is to be printed"`
	Group    string   `yaml:"group" doc:"of one group at most one change is made, such as ring or stay; left out, the change stands alone"`
	Price    Quantity `yaml:"price" dim:"number" range:"0..1000000" doc:"in any one currency"`
	Shelf    bool     `yaml:"on_shelf" doc:"already there: it costs nothing"`
	Needs    []string `yaml:"needs" doc:"names of changes that must be made with it"`
	Excludes []string `yaml:"excludes" doc:"names of changes that it does not go with"`
	Set      Patch    `yaml:"set" doc:"new values of case fields, by their path"`
	Add      Patch    `yaml:"add" doc:"amounts added to case fields, by their path; front.line and rear.line may have been measured"`
	Steps    *Steps   `yaml:"steps" doc:"a change in steps, such as a stack of spacers: each step is an option"`
}

// Steps is a change of one field by every amount of a range.
type Steps struct {
	Path string   `yaml:"path" need:"y" doc:"field path"`
	From Quantity `yaml:"from" dim:"number" need:"y" range:"-100..100" doc:"least amount, in the field's base unit"`
	To   Quantity `yaml:"to" dim:"number" need:"y" range:"-100..100" doc:"largest amount"`
	Step Quantity `yaml:"step" dim:"number" need:"y" range:"0.01..100" doc:"from one amount to the next"`
}

// Patch is a list of field paths with what they are set to or changed by.
type Patch struct{ lines []patchLine }

type patchLine struct {
	path string
	key  *yaml.Node
	node *yaml.Node
}

var patchType = reflect.TypeFor[Patch]()

// patch reads a mapping of field paths; their values are read when the patch is
// applied to a case.
func (d *decoder) patch(n *yaml.Node, path string, v reflect.Value) error {
	if n.Kind != yaml.MappingNode {
		return d.fail(n, path, "%s, want field paths with values", describe(n))
	}
	var p Patch
	for i := 0; i+1 < len(n.Content); i += 2 {
		p.lines = append(p.lines, patchLine{n.Content[i].Value, n.Content[i], n.Content[i+1]})
	}
	v.Set(reflect.ValueOf(p))
	return nil
}

// ParseCatalogue reads a catalogue from YAML. Every error is an *Error.
func ParseCatalogue(file string, data []byte) (*Catalogue, error) {
	c := &Catalogue{file: file}
	at, err := decode(file, data, c)
	c.at = at
	return c, err
}

// LoadCatalogue reads a catalogue file, or a shipped one by its name.
func LoadCatalogue(name string) (*Catalogue, error) {
	if !strings.ContainsAny(name, `/\.`) {
		if st, err := os.Stat(name); err != nil || st.IsDir() {
			text, err := ShippedText(name)
			if err != nil {
				return nil, &Error{File: name, Problem: strings.Replace(err.(*Error).Problem, "no such shipped case", "neither a file nor a shipped catalogue", 1)}
			}
			return ParseCatalogue(name+".yaml", text)
		}
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, &Error{File: name, Problem: reason(err)}
	}
	defer f.Close()
	text, err := io.ReadAll(io.LimitReader(f, MaxSize+1))
	if err != nil {
		return nil, &Error{File: name, Problem: reason(err)}
	}
	return ParseCatalogue(name, text)
}

// candidate is one option of the plan with what it does.
type candidate struct {
	change *Change
	index  int // of the change
	amount float64
}

// Candidates is a catalogue made ready for one case.
type Candidates struct {
	Plan *decide.Plan
	base *Case
	cat  *Catalogue
	opts []candidate
	stay *sim.Stay
}

// maxSteps bounds the options of one stepped change.
const maxSteps = 1000

// For makes a catalogue ready for a case: every change is tried once, alone, so
// that a wrong path or value is found now. Errors are *Error with the
// catalogue's file and line.
func (cat *Catalogue) For(c *Case) (*Candidates, error) {
	base, err := c.Bike()
	if err != nil {
		return nil, err
	}
	k := &Candidates{Plan: &decide.Plan{}, base: c.clone(), cat: cat, stay: base.Stay}
	k.base.Riding, k.base.Symptoms = nil, nil // no part of the bike: not copied for every combination
	groups, order, names := map[string][]int{}, []string(nil), map[string][]int{}
	for i := range cat.Changes {
		ch := &cat.Changes[i]
		if _, twice := names[ch.Name]; twice {
			return nil, cat.fail(i, "name", "%q is given twice", ch.Name)
		}
		group := ch.Group
		if group == "" {
			group = fmt.Sprintf("\x00%d", i)
		}
		if _, known := groups[group]; !known {
			order = append(order, group)
		}
		for _, amount := range cat.amounts(i) {
			o := decide.Option{Name: ch.Name}
			if ch.Steps != nil {
				o.Name = fmt.Sprintf("%s %+g", ch.Name, amount)
			}
			if !ch.Shelf {
				o.Price = ch.Price.Value
			}
			at := len(k.opts)
			k.opts = append(k.opts, candidate{ch, i, amount})
			k.Plan.Options = append(k.Plan.Options, o)
			groups[group] = append(groups[group], at)
			names[ch.Name] = append(names[ch.Name], at)
		}
		if len(names[ch.Name]) == 0 || len(names[ch.Name]) > maxSteps {
			return nil, cat.fail(i, "steps", "%d steps, want 1 to %d", len(names[ch.Name]), maxSteps)
		}
	}
	for at, o := range k.opts {
		for _, list := range []struct {
			field string
			names []string
			to    *[]int
		}{{"needs", o.change.Needs, &k.Plan.Options[at].Needs}, {"excludes", o.change.Excludes, &k.Plan.Options[at].Excludes}} {
			for _, n := range list.names {
				if len(names[n]) == 0 {
					return nil, cat.fail(o.index, list.field, "no change named %q%s", n, didYouMean(n, names))
				}
				*list.to = append(*list.to, names[n]...)
			}
		}
		if len(o.change.Needs) > 0 && anyStepped(cat, o.change.Needs) {
			return nil, cat.fail(o.index, "needs", "a change in steps cannot be needed, name one without steps")
		}
		if _, err := k.build([]int{at}); err != nil {
			return nil, err
		}
	}
	for _, g := range order {
		k.Plan.Groups = append(k.Plan.Groups, groups[g])
	}
	return k, nil
}

func anyStepped(cat *Catalogue, names []string) bool {
	for _, n := range names {
		for i := range cat.Changes {
			if cat.Changes[i].Name == n && cat.Changes[i].Steps != nil {
				return true
			}
		}
	}
	return false
}

func didYouMean(name string, known map[string][]int) string {
	var list []string
	for k := range known {
		list = append(list, k)
	}
	if near := nearest(name, list); near != "" {
		return fmt.Sprintf(", did you mean %q?", near)
	}
	return ""
}

// amounts returns the steps of a change: one for a change without steps; zero is
// left out.
func (cat *Catalogue) amounts(i int) []float64 {
	s := cat.Changes[i].Steps
	if s == nil {
		return []float64{0}
	}
	var out []float64
	n := math.Floor((s.To.Value-s.From.Value)/s.Step.Value + 1e-9)
	for k := 0.0; k <= math.Min(n, maxSteps); k++ {
		if a := math.Round((s.From.Value+k*s.Step.Value)*1e9) / 1e9; a != 0 {
			out = append(out, a)
		}
	}
	return out
}

func (cat *Catalogue) fail(change int, field, format string, a ...any) error {
	path := fmt.Sprintf("changes[%d].%s", change, field)
	return (&Case{file: cat.file, at: cat.at}).fail(path, format, a...)
}

// Builder returns a builder of bikes for one goroutine.
func (k *Candidates) Builder() decide.Builder { return k.build }

// build returns the bike of the case with changes made. The chainstay stays where
// it was measured, unless a change sets it.
func (k *Candidates) build(picks []int) (*sim.Bike, error) {
	c := k.base.clone()
	stay := k.stay
	for _, at := range picks {
		o := k.opts[at]
		for _, l := range o.change.Set.lines {
			if err := k.set(c, o, l); err != nil {
				return nil, err
			}
			if strings.HasPrefix(l.path, "chainstay") {
				stay = nil
			}
		}
		for _, l := range o.change.Add.lines {
			if err := k.addLine(c, o, l); err != nil {
				return nil, err
			}
		}
		if s := o.change.Steps; s != nil {
			if err := k.add(c, o, s.Path, o.amount, "steps"); err != nil {
				return nil, err
			}
		}
	}
	b, err := c.Bike()
	if err != nil {
		return nil, k.blame(picks, err)
	}
	if stay != nil && b.Stay != nil {
		b.Stay = stay
	}
	if err := c.Explain(b.Validate()); err != nil {
		return nil, k.blame(picks, err)
	}
	return b, nil
}

// blame says which changes made a case that cannot be.
func (k *Candidates) blame(picks []int, err error) error {
	e, ok := err.(*Error)
	if !ok || len(picks) != 1 {
		return err
	}
	o := k.opts[picks[0]]
	return k.cat.fail(o.index, "name", "%q makes %s: %s", o.change.Name, e.Path, e.Problem)
}

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
			i, err := strconv.Atoi(strings.TrimSuffix(index, "]"))
			if err != nil || v.Kind() != reflect.Slice || i < 0 || i >= v.Len() {
				return v, tag, false
			}
			v = v.Index(i)
		}
	}
	return v, tag, true
}

// set sets a field from its node, by the rules of the case file.
func (k *Candidates) set(c *Case, o candidate, l patchLine) error {
	d := &decoder{file: k.cat.file, at: map[string]pos{}}
	v, tag, ok := field(c, l.path)
	if !ok {
		return d.fail(l.key, fmt.Sprintf("changes[%d].set", o.index), "no case field %q", l.path)
	}
	switch l.path { // a line given as such replaces its measurements
	case "front.line":
		c.Front.Measured = nil
	case "rear.line":
		c.Rear.Measured = nil
	}
	v.SetZero()
	return d.value(l.node, l.path, v, tag)
}

func (k *Candidates) addLine(c *Case, o candidate, l patchLine) error {
	d := &decoder{file: k.cat.file, at: map[string]pos{}}
	_, tag, ok := field(c, l.path)
	if !ok || tag.Get("dim") == "" {
		return d.fail(l.key, fmt.Sprintf("changes[%d].add", o.index), "no case quantity %q", l.path)
	}
	q, err := ParseQuantity(l.node.Value, tag.Get("dim"))
	if err != nil || l.node.Kind != yaml.ScalarNode {
		return d.fail(l.node, l.path, "%s, want %s to add", describe(l.node), dimensions[tag.Get("dim")].name)
	}
	return k.add(c, o, l.path, q.Value, "add")
}

// add adds an amount to a quantity. A line that was measured is worked out first.
func (k *Candidates) add(c *Case, o candidate, path string, amount float64, from string) error {
	fail := func(format string, a ...any) error { return k.cat.fail(o.index, from, format, a...) }
	switch path {
	case "front.line":
		for i := range c.Front.Lines {
			c.Front.Lines[i].Value += amount
		}
		if len(c.Front.Lines) > 0 {
			return nil
		}
		line, err := c.FrontLine()
		if err != nil {
			return err
		}
		c.Front.Line, c.Front.Measured = Q(line), nil
	case "rear.line":
		for i := range c.Rear.Lines {
			c.Rear.Lines[i].Value += amount
		}
		if len(c.Rear.Lines) > 0 {
			return nil
		}
		line, err := c.RearLine()
		if err != nil {
			return err
		}
		c.Rear.Line, c.Rear.Measured = Q(line), nil
	}
	v, tag, ok := field(c, path)
	if !ok || v.Type() != quantityType {
		return fail("no case quantity %q", path)
	}
	q := v.Interface().(Quantity)
	if !q.Given {
		def, known := defaultsFor(c.Speeds)[path]
		if !known {
			return fail("%s is not given in the case, nothing to add to", path)
		}
		q = Q(def)
	}
	q.Value += amount
	if lo, hi, ok := rangeOf(tag); ok && !(q.Value >= lo && q.Value <= hi) {
		return fail("%s becomes %s%s", path, dimensions[tag.Get("dim")].format(q.Value), rangeHint(tag))
	}
	v.Set(reflect.ValueOf(q))
	return nil
}
