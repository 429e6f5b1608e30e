package cases

import (
	"fmt"
	"math"
	"os"
	"reflect"
	"strings"

	"go.yaml.in/yaml/v3"
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
	Group    string   `yaml:"group" doc:"of one group at most one change is made, such as chainring or stay; left out, the change stands alone"`
	Price    Quantity `yaml:"price" dim:"number" range:"0..1000000" exact:"y" doc:"in any one currency"`
	Shelf    bool     `yaml:"on_shelf" doc:"already there: it costs nothing"`
	Minutes  Quantity `yaml:"minutes" dim:"number" range:"0..10000" exact:"y" doc:"of work, for fix without a change list of its own; left out, 30"`
	Final    bool     `yaml:"final" doc:"it cannot be undone"`
	Needs    []string `yaml:"needs" doc:"names of changes that must be made with it"`
	Excludes []string `yaml:"excludes" doc:"names of changes that it does not go with"`
	Set      Patch    `yaml:"set" doc:"new values of case fields, by their path"`
	Add      Patch    `yaml:"add" doc:"amounts added to case fields, by their path; front.line and rear.line may have been measured"`
	Steps    *Steps   `yaml:"steps" doc:"a change in steps, such as a stack of spacers: each step is an option"`
}

// Steps is a change of one field by every amount of a range.
type Steps struct {
	Path string   `yaml:"path" need:"y" doc:"field path"`
	From Quantity `yaml:"from" dim:"number" need:"y" range:"-100..100" exact:"y" doc:"least amount, in the field's base unit"`
	To   Quantity `yaml:"to" dim:"number" need:"y" range:"-100..100" exact:"y" doc:"largest amount"`
	Step Quantity `yaml:"step" dim:"number" need:"y" range:"0.01..100" exact:"y" doc:"from one amount to the next"`
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

// ParseCatalogue reads a catalogue from YAML. Every error is an *Error, or Errors.
func ParseCatalogue(file string, data []byte) (*Catalogue, error) {
	c := &Catalogue{file: file}
	d, err := decode(file, data, c)
	if err != nil {
		return nil, err
	}
	c.at = d.at
	for i := range c.Changes {
		if err := c.Changes[i].taught(d, i); err != nil {
			return nil, err
		}
	}
	return c, nil
}

// taught refuses what a bicycle has taught: it is no part, and no change of parts has it.
func (c *Change) taught(d *decoder, i int) error {
	for name, p := range map[string]Patch{"set": c.Set, "add": c.Add} {
		for _, l := range p.lines {
			if l.path == "learned" || strings.HasPrefix(l.path, "learned.") || strings.HasPrefix(l.path, "learned[") {
				return d.fail(l.key, fmt.Sprintf("changes[%d].%s", i, name), "%s is what was learned of a bicycle and no part of one, want another field", shorten(l.path))
			}
		}
	}
	return nil
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
	text, err := readFile(name)
	if err != nil {
		return nil, err
	}
	return ParseCatalogue(name, text)
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
	for k := 0.0; k <= math.Min(n, maxSteps+1); k++ { // one of them may be none; more than maxSteps are told of
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
