package cases

import (
	"errors"
	"slices"
	"strings"
)

// LeftOut is a change of a catalogue that does not fit the bike, and why.
type LeftOut struct{ Name, Why string }

// noFit is a mistake of a change on this bike, which may be none on another.
type noFit struct {
	error
	why string
}

// noFitting is a mistake that says why by itself.
func noFitting(err error) error {
	var e *Error
	if !errors.As(err, &e) {
		return err
	}
	return noFit{err, e.Problem}
}

// absent is the mistake of a path that is none: of one member of a list that the case has, one
// that does not fit the bike.
func absent(c *Case, path string, err error) error {
	list, _, is := strings.Cut(path, "[")
	if _, _, ok := field(c, list); is && ok {
		return noFit{err, "this bike has no " + path}
	}
	return err
}

// Unwrap returns the mistake.
func (e noFit) Unwrap() error { return e.error }

// fitting tries every option alone and returns, by change, those that fit the bike, without those
// that need what does not. Where none is left the error is the first one's.
func (k *Candidates) fitting() (list [][]candidate, err error) {
	if err := k.cat.ties(); err != nil {
		return nil, err
	}
	list = make([][]candidate, len(k.cat.Changes))
	fits := map[string]bool{}
	var first error
	for i := range k.cat.Changes {
		ch := &k.cat.Changes[i]
		for _, amount := range k.cat.amounts(i) {
			o := candidate{ch, i, amount}
			k.opts = []candidate{o}
			_, _, err := k.build([]int{0})
			var no noFit
			switch {
			case errors.As(err, &no):
				if first == nil {
					first = no.error
				}
				k.LeftOut = append(k.LeftOut, LeftOut{o.name(), no.why})
				continue
			case err != nil:
				return nil, err
			}
			list[i], fits[ch.Name] = append(list[i], o), true
		}
	}
	k.opts = nil
	for again := true; again; { // what needs one that is out is out
		again = false
		for i := range list {
			for _, n := range k.cat.Changes[i].Needs {
				if len(list[i]) == 0 || fits[n] {
					continue
				}
				for _, o := range list[i] {
					k.LeftOut = append(k.LeftOut, LeftOut{o.name(), "it needs " + n})
				}
				list[i], fits[k.cat.Changes[i].Name], again = nil, false, true
			}
		}
	}
	if first != nil && !slices.ContainsFunc(list, func(l []candidate) bool { return len(l) > 0 }) {
		return nil, first
	}
	return list, nil
}

// ties looks at the names and steps of a catalogue's changes, and at what they name of each other.
func (cat *Catalogue) ties() error {
	known := map[string]bool{}
	for i := range cat.Changes {
		ch := &cat.Changes[i]
		if known[ch.Name] {
			return cat.fail(i, "name", "%q is given twice", ch.Name)
		}
		known[ch.Name] = true
		if n := len(cat.amounts(i)); n == 0 || n > maxSteps {
			return cat.fail(i, "steps", "%d steps, want 1 to %d", n, maxSteps)
		}
	}
	for i := range cat.Changes {
		ch := &cat.Changes[i]
		for _, list := range []struct {
			field string
			names []string
		}{{"needs", ch.Needs}, {"excludes", ch.Excludes}} {
			for _, n := range list.names {
				if !known[n] {
					return cat.fail(i, list.field, "no change named %q%s", n, didYouMean(n, known))
				}
			}
		}
		if len(ch.Needs) > 0 && anyStepped(cat, ch.Needs) {
			return cat.fail(i, "needs", "a change in steps cannot be needed, name one without steps")
		}
	}
	return nil
}
