package cases

import (
	"fmt"
	"reflect"

	"go.yaml.in/yaml/v3"

	"chainpath/sim"
	"chainpath/sim/decide"
)

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
	held held
	ride *Riding

	forms   forms
	LeftOut []LeftOut // in the catalogue's order

	values map[*yaml.Node]reflect.Value // what changes set, read when they are tried, only looked up from then on
}

// maxSteps bounds the options of one stepped change.
const maxSteps = 1000

// For makes a catalogue ready for a case: every change is tried once, alone, so
// that a wrong path or value is found now. A change that does not fit the bike is left out, with
// those that need it; where none is left, the first one's mistake is the error. Errors are *Error
// with the catalogue's file and line.
func (cat *Catalogue) For(c *Case) (*Candidates, error) {
	base, err := c.Bike()
	if err != nil {
		return nil, err
	}
	k := &Candidates{Plan: &decide.Plan{}, base: c.clone(), cat: cat, held: heldBy(base), ride: c.Riding, values: map[*yaml.Node]reflect.Value{}}
	k.base.Riding, k.base.Symptoms, k.base.Observations = nil, nil, nil // no part of the bike: not copied for every combination
	fitting, err := k.fitting()
	if err != nil {
		return nil, err
	}
	groups, order, names := map[string][]int{}, []string(nil), map[string][]int{}
	for i := range cat.Changes {
		ch := &cat.Changes[i]
		group := ch.Group
		if group == "" {
			group = fmt.Sprintf("\x00%d", i)
		}
		for _, o := range fitting[i] {
			if _, known := groups[group]; !known {
				order = append(order, group)
			}
			x := decide.Option{Name: o.name()}
			if !ch.Shelf {
				x.Price = ch.Price.Value
			}
			groups[group] = append(groups[group], len(k.opts))
			names[ch.Name] = append(names[ch.Name], len(k.opts))
			k.opts, k.Plan.Options = append(k.opts, o), append(k.Plan.Options, x)
		}
	}
	for at, o := range k.opts {
		for _, n := range o.change.Needs {
			k.Plan.Options[at].Needs = append(k.Plan.Options[at].Needs, names[n]...)
		}
		for _, n := range o.change.Excludes {
			k.Plan.Options[at].Excludes = append(k.Plan.Options[at].Excludes, names[n]...)
		}
	}
	for _, g := range order {
		k.Plan.Groups = append(k.Plan.Groups, groups[g])
	}
	return k, nil
}

// name is what the option is printed as.
func (o *candidate) name() string {
	if o.change.Steps != nil {
		return fmt.Sprintf("%s %+g", o.change.Name, o.amount)
	}
	return o.change.Name
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

func didYouMean(name string, known map[string]bool) string {
	var list []string
	for k := range known {
		list = append(list, k)
	}
	if near := nearest(name, list); near != "" {
		return fmt.Sprintf(", did you mean %q?", near)
	}
	return ""
}

// build returns the case with changes made, and its bike. Chainstay and dropout stay where they
// were measured, unless a change sets them.
func (k *Candidates) build(picks []int) (*Case, *sim.Bike, error) {
	c := k.base.clone()
	held := k.held
	for _, at := range picks {
		o := k.opts[at]
		for _, l := range o.change.Set.lines {
			if err := k.set(c, o, l); err != nil {
				return nil, nil, err
			}
			held.release(l.path)
			c.newChain = c.newChain || ofChain(l.path)
		}
		for _, l := range o.change.Add.lines {
			if err := k.addLine(c, o, l); err != nil {
				return nil, nil, err
			}
			c.newChain = c.newChain || ofChain(l.path)
		}
		if s := o.change.Steps; s != nil {
			if err := k.add(c, o, s.Path, o.amount, "steps"); err != nil {
				return nil, nil, err
			}
			c.newChain = c.newChain || ofChain(s.Path)
		}
	}
	b, err := c.Bike()
	if err != nil {
		return nil, nil, k.blame(picks, err)
	}
	held.hold(c, b)
	if err := c.Explain(b.Validate()); err != nil {
		return nil, nil, k.blame(picks, err)
	}
	c.Riding = k.ride
	return c, b, nil
}

// blame says which changes made a case that cannot be.
func (k *Candidates) blame(picks []int, err error) error {
	e, ok := err.(*Error)
	if !ok || len(picks) != 1 {
		return err
	}
	o := k.opts[picks[0]]
	return noFit{k.cat.fail(o.index, "name", "%q makes %s: %s", o.change.Name, e.Path, e.Problem), e.Path + ": " + e.Problem}
}
