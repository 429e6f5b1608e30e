package cases

import (
	"fmt"
	"math"
	"reflect"
	"strings"
	"sync"

	"chainpath/sim/sweep"
)

// SweepPlan is a file that says which designs a sweep goes through.
type SweepPlan struct {
	Format int      `yaml:"chainpath_sweep" need:"y" range:"1..1" doc:"version of the plan format, 1"`
	Title  string   `yaml:"title" doc:"what the plan is for"`
	Vary   []Vary   `yaml:"vary" need:"y" doc:"what is varied; in a grid the last changes fastest"`
	Linked []Linked `yaml:"linked" doc:"fields that follow a varied one"`
	Where  []Bound  `yaml:"where" doc:"designs to keep: those within every bound"`
	Sample *Sample  `yaml:"sample" doc:"samples instead of a grid"`

	file string
	at   map[string]pos
}

// Vary is one varied field.
type Vary struct {
	Path   string   `yaml:"path" need:"y" doc:"case field, such as front.line"`
	Values []string `yaml:"values" doc:"its values, instead of a range"`
	From   string   `yaml:"from" doc:"least value"`
	To     string   `yaml:"to" doc:"largest value"`
	Step   string   `yaml:"step" doc:"from one value to the next; samples without it lie anywhere between"`
}

// Linked is a field that follows a varied one: factor times it and an offset.
type Linked struct {
	Path    string   `yaml:"path" need:"y" doc:"case field that follows"`
	Follows string   `yaml:"follows" need:"y" doc:"varied field, by its path"`
	Factor  Quantity `yaml:"factor" dim:"number" range:"-1000..1000" exact:"y" doc:"of its value in base units; left out, 1"`
	Offset  string   `yaml:"offset" doc:"added to that; left out, nothing"`
}

// Bound keeps designs by a varied field or a column of the result.
type Bound struct {
	Of    string   `yaml:"of" need:"y" doc:"varied field by its path, or column of the rows"`
	Least Quantity `yaml:"at_least" dim:"number" range:"-1e9..1e9" exact:"y" doc:"in base units"`
	Most  Quantity `yaml:"at_most" dim:"number" range:"-1e9..1e9" exact:"y" doc:"in base units"`
}

// Sample says how designs are drawn.
type Sample struct {
	Method string `yaml:"method" need:"y" oneof:"random|sobol" doc:"independent, or evenly spread"`
	Count  int    `yaml:"count" need:"y" range:"1..900000000" doc:"how many"`
	Seed   int    `yaml:"seed" range:"0..900000000" doc:"of the samples"`
}

// ParseSweep reads a plan from YAML. Every error is an *Error.
func ParseSweep(file string, data []byte) (*SweepPlan, error) {
	p := &SweepPlan{file: file}
	d, err := decode(file, data, p)
	if err != nil {
		return nil, err
	}
	p.at = d.at
	return p, nil
}

// LoadSweep reads a plan file.
func LoadSweep(name string) (*SweepPlan, error) {
	data, err := readFile(name)
	if err != nil {
		return nil, err
	}
	return ParseSweep(name, data)
}

// VaryFlag reads PATH=FROM:TO:STEP, PATH=FROM:TO or PATH=VALUE,VALUE,...
func VaryFlag(text string) (Vary, error) {
	path, what, ok := strings.Cut(text, "=")
	if !ok || path == "" || what == "" {
		return Vary{}, fmt.Errorf("%q, want PATH=FROM:TO:STEP or PATH=VALUE,VALUE", text)
	}
	v := Vary{Path: path}
	if !strings.Contains(what, ":") {
		v.Values = strings.Split(what, ",")
		return v, nil
	}
	parts := strings.Split(what, ":")
	if len(parts) > 3 {
		return Vary{}, fmt.Errorf("%q, want PATH=FROM:TO:STEP", text)
	}
	v.From, v.To = parts[0], parts[1]
	if len(parts) == 3 {
		v.Step = parts[2]
	}
	return v, nil
}

// Sweep is a plan made ready for one case. Many goroutines may share it.
type Sweep struct {
	Plan    *sweep.Plan
	Columns []string // names of the varied fields, with their units
	Bounds  []Bound  // by columns
	base    *Case
	held    held
	vars    []target
	linked  []follower

	anchorOnce sync.Once
	anchor     anchor
}

// target is a case field that is set.
type target struct {
	path   string
	lo, hi float64
	ranged bool
	whole  bool
}

type follower struct {
	target
	of             int
	factor, offset float64
}

// For makes a plan ready for a case. Errors are *Error, at the plan's file and line
// where it has them.
func (p *SweepPlan) For(c *Case) (*Sweep, error) {
	base, err := c.Bike()
	if err != nil {
		return nil, err
	}
	s := &Sweep{Plan: &sweep.Plan{}, base: c.clone(), held: heldBy(base), Bounds: p.Where}
	s.base.Symptoms, s.base.Observations = nil, nil
	if m := p.Sample; m != nil {
		s.Plan.Method = map[string]sweep.Method{"random": sweep.Random, "sobol": sweep.Sobol}[m.Method]
		s.Plan.Count, s.Plan.Seed = m.Count, uint64(m.Seed)
	}
	seen := map[string]bool{}
	for i, v := range p.Vary {
		if err := s.variable(p, i, v, seen); err != nil {
			return nil, err
		}
	}
	for i, l := range p.Linked {
		if err := s.link(p, i, l, seen); err != nil {
			return nil, err
		}
	}
	for i := range s.Bounds {
		for k, v := range p.Vary {
			if s.Bounds[i].Of == v.Path {
				s.Bounds[i].Of = s.Columns[k]
			}
		}
	}
	if err := s.Plan.Prepare(); err != nil {
		return nil, p.fail("vary", "%s", strings.TrimPrefix(err.Error(), "sweep: bad plan: "))
	}
	return s, nil
}

func (p *SweepPlan) fail(path, format string, a ...any) error {
	return (&Case{file: p.file, at: p.at}).fail(path, format, a...)
}

// find returns a case field that can be varied, and its tag.
func (s *Sweep) find(p *SweepPlan, at, path string, seen map[string]bool) (target, reflect.StructTag, error) {
	if why := idle(path); why != "" {
		return target{}, "", p.fail(at, "%s %s", path, why)
	}
	v, tag, ok := field(s.base, path)
	if !ok || v.Type() != quantityType && v.Kind() != reflect.Int {
		hint := ""
		if near := nearest(path, numericPaths()); near != "" {
			hint = fmt.Sprintf(", did you mean %q?", near)
		}
		return target{}, tag, p.fail(at, "no number %q in the case%s", path, hint)
	}
	if seen[path] {
		return target{}, tag, p.fail(at, "%q is given twice", path)
	}
	seen[path] = true
	s.held.release(path)
	t := target{path: path, whole: v.Kind() == reflect.Int}
	t.lo, t.hi, t.ranged = rangeOf(tag)
	return t, tag, nil
}

// number reads a value of a field and checks its range.
func (p *SweepPlan) number(at, text string, t target, tag reflect.StructTag, ranged bool) (float64, error) {
	dim := tag.Get("dim")
	if dim == "" {
		dim = "number"
	}
	q, err := ParseQuantity(text, dim)
	if err != nil {
		return 0, p.fail(at, "%s%s", err, rangeHint(tag))
	}
	if q.Spread > 0 || q.Instrument != "" {
		return 0, p.fail(at, "%q of %s, want a number alone: designs have no tolerance", text, t.path)
	}
	if t.whole && q.Value != math.Trunc(q.Value) {
		return 0, p.fail(at, "%q is not a whole number%s", text, rangeHint(tag))
	}
	if ranged && t.ranged && !(q.Value >= t.lo && q.Value <= t.hi) {
		return 0, p.fail(at, "%s of %s is out of range%s", dimensions[dim].format(q.Value), t.path, rangeHint(tag))
	}
	return q.Value, nil
}

func (s *Sweep) variable(p *SweepPlan, i int, v Vary, seen map[string]bool) error {
	at := fmt.Sprintf("vary[%d]", i)
	t, tag, err := s.find(p, at+".path", v.Path, seen)
	if err != nil {
		return err
	}
	x := sweep.Variable{Name: v.Path}
	switch {
	case len(v.Values) > 0 && (v.From != "" || v.To != "" || v.Step != ""):
		return p.fail(at+".values", "given beside from, to or step, want one of the two")
	case len(v.Values) > 0:
		for k, text := range v.Values {
			y, err := p.number(fmt.Sprintf("%s.values[%d]", at, k), text, t, tag, true)
			if err != nil {
				return err
			}
			x.Values = append(x.Values, y)
		}
	case v.From == "" || v.To == "":
		return p.fail(at, "%s: neither values nor from and to, want one of the two", v.Path)
	default:
		if x.From, err = p.number(at+".from", v.From, t, tag, true); err != nil {
			return err
		}
		if x.To, err = p.number(at+".to", v.To, t, tag, true); err != nil {
			return err
		}
		if v.Step != "" {
			if x.Step, err = p.number(at+".step", v.Step, t, tag, false); err != nil {
				return err
			}
		}
		if t.whole && x.Step == 0 {
			return p.fail(at, "%s is a whole number: want a step, or values", v.Path)
		}
	}
	s.vars = append(s.vars, t)
	s.Plan.Variables = append(s.Plan.Variables, x)
	s.Columns = append(s.Columns, columnName(v.Path, tag))
	return nil
}

func (s *Sweep) link(p *SweepPlan, i int, l Linked, seen map[string]bool) error {
	at := fmt.Sprintf("linked[%d]", i)
	t, tag, err := s.find(p, at+".path", l.Path, seen)
	if err != nil {
		return err
	}
	f := follower{target: t, of: -1, factor: l.Factor.Or(1)}
	for k, v := range p.Vary {
		if v.Path == l.Follows {
			f.of = k
		}
	}
	if f.of < 0 {
		return p.fail(at+".follows", "%q is not varied", l.Follows)
	}
	if l.Offset != "" {
		if f.offset, err = p.number(at+".offset", l.Offset, t, tag, false); err != nil {
			return err
		}
	}
	s.linked = append(s.linked, f)
	return nil
}

// unitSuffix is how a dimension's base unit stands in a column's name.
var unitSuffix = map[string]string{
	"length": "_mm", "angle": "_deg", "force": "_n", "moment": "_nm", "rate": "_nm_rad", "power": "_w", "speed": "_per_min",
}

// columnName returns the column of a field: front.line is front_line_mm.
func columnName(path string, tag reflect.StructTag) string {
	return strings.NewReplacer(".", "_", "[", "_", "]", "").Replace(path) + unitSuffix[tag.Get("dim")]
}

// Numbers lists the fields of a case that a sweep can vary: numbers that rows may rest on, in
// groups that the case has or that every case has, each ring and cog of its own.
func (c *Case) Numbers() (out []string) {
	for _, path := range numericPaths() {
		if idle(path) != "" {
			continue
		}
		group, _, in := strings.Cut(path, ".")
		if in && !given(reflect.ValueOf(c).Elem(), group).IsValid() {
			continue
		}
		if v := given(reflect.ValueOf(c).Elem(), path[:max(0, strings.LastIndexByte(path, '.'))]); in && (!v.IsValid() || v.Kind() == reflect.Pointer && v.IsNil()) {
			continue
		}
		out = append(out, path)
	}
	for i := range max(0, len(c.Rear.Cogs)-1) {
		if len(c.Rear.Lines) == 0 {
			out = append(out, fmt.Sprintf("rear.spacers[%d]", i))
		}
	}
	for i := range c.Front.Rings {
		out = append(out, fmt.Sprintf("front.rings[%d]", i))
	}
	for i := range c.Rear.Cogs {
		out = append(out, fmt.Sprintf("rear.cogs[%d]", i))
	}
	return out
}

// numericPaths lists the fields that can be varied, for hints.
func numericPaths() (out []string) {
	var walk func(t reflect.Type, path string)
	walk = func(t reflect.Type, path string) {
		for t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
		switch {
		case t == quantityType || t.Kind() == reflect.Int:
			out = append(out, path)
		case t.Kind() == reflect.Struct:
			for i := range t.NumField() {
				if n := t.Field(i).Tag.Get("yaml"); n != "" {
					walk(t.Field(i).Type, join(path, n))
				}
			}
		}
	}
	walk(reflect.TypeFor[Case](), "")
	return out
}
