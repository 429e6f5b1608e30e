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

	forms  forms
	values map[*yaml.Node]reflect.Value // what changes set, read when they are tried, only looked up from then on
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
	k := &Candidates{Plan: &decide.Plan{}, base: c.clone(), cat: cat, held: heldBy(base), ride: c.Riding, values: map[*yaml.Node]reflect.Value{}}
	k.base.Riding, k.base.Symptoms, k.base.Observations = nil, nil, nil // no part of the bike: not copied for every combination
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
		if _, _, err := k.build([]int{at}); err != nil {
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
		}
		for _, l := range o.change.Add.lines {
			if err := k.addLine(c, o, l); err != nil {
				return nil, nil, err
			}
		}
		if s := o.change.Steps; s != nil {
			if err := k.add(c, o, s.Path, o.amount, "steps"); err != nil {
				return nil, nil, err
			}
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
	return k.cat.fail(o.index, "name", "%q makes %s: %s", o.change.Name, e.Path, e.Problem)
}
