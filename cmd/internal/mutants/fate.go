package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"sync"
)

// trials are mutants with all that runs them.
type trials struct {
	mutants []mutant
	kind    []string // of each: woven, alone or broken
	sources map[string]*source
	suites  map[string]*suite
	near    map[string][]string // a directory's dependents, the nearest first
	work    string
	plain   sync.Map // what a directory's package is compiled to without a change
}

// prepare weaves mutants of some packages into programs of their tests and of their
// dependents', as far as they are wanted.
func prepare(sources map[string]*source, mutants []mutant, work string, run which) (*trials, error) {
	t := &trials{mutants: mutants, sources: sources, suites: map[string]*suite{}, near: map[string][]string{}, work: work}
	for i := range mutants {
		t.kind = append(t.kind, sources[filepath.Dir(mutants[i].file)].weave(&mutants[i], i+1))
	}
	replace, met := map[string]string{}, filepath.Join(work, "met")
	put := func(file, text string) error {
		name, err := filepath.Abs(file)
		if err != nil {
			return err
		}
		replace[name] = filepath.Join(work, strconv.Itoa(len(replace))+".go")
		return os.WriteFile(replace[name], []byte(text), 0o644)
	}
	for _, dir := range sorted(sources) {
		s := sources[dir]
		if err := put(filepath.Join(dir, "mutantswitches.go"), s.switches(met)); err != nil {
			return nil, err
		}
		for _, file := range sorted(s.woven) {
			if err := put(file, s.render(file)); err != nil {
				return nil, err
			}
		}
		if !run.own {
			near, err := dependents(dir)
			if err != nil {
				return nil, err
			}
			t.near[dir] = near
		}
		for _, d := range append([]string{dir}, t.near[dir]...) {
			if t.suites[d] == nil {
				t.suites[d] = &suite{dir: d, length: short, only: run.only}
			}
		}
		t.suites[dir].length = full
	}
	for i, dir := range sorted(t.suites) {
		s := t.suites[dir]
		s.binary, s.met = filepath.Join(work, strconv.Itoa(i)+".test"), filepath.Join(met, fmt.Sprintf("%09d", i))
		s.ready = sync.OnceValue(func() error {
			at := filepath.Join(work, strconv.Itoa(i))
			if err := os.Mkdir(at, 0o755); err != nil {
				return err
			}
			if err := build(dir, at, s.binary, replace); err != nil {
				return err
			}
			return s.measure(i)
		})
	}
	return t, nil
}

// fate tells what becomes of a mutant: killed or hangs, by the package's own tests or the short
// ones of a dependent; survives; and, left out of the share, broken where it does not compile,
// same where it is the same program, unreached where no test runs its code.
func (t *trials) fate(i int) (string, error) {
	if t.kind[i] == "broken" {
		return "broken", nil
	}
	m, fate := &t.mutants[i], "unreached"
	own := filepath.Dir(m.file)
	work, err := os.MkdirTemp(t.work, "mutant")
	if err != nil {
		return "", err
	}
	defer os.RemoveAll(work)
	changed := filepath.Join(work, "changed.go")
	file, err := filepath.Abs(m.file)
	if err != nil || os.WriteFile(changed, m.text(), 0o644) != nil {
		return "broken", nil
	}
	replace := map[string]string{file: changed}
	for _, dir := range append([]string{own}, t.near[own]...) {
		s, length := t.suites[dir], short
		if dir == own {
			length = full
		}
		if err := s.ready(); err != nil {
			return "", err
		}
		tests := s.tests
		if t.kind[i] == "woven" {
			tests = slices.DeleteFunc(slices.Clone(tests), func(x test) bool { return !x.meets[i+1] })
		}
		if len(tests) == 0 {
			continue
		}
		binary := filepath.Join(work, "tests")
		if t.kind[i] == "woven" {
			err = switched(s.binary, binary, i+1, 0)
		} else {
			err = build(dir, work, binary, replace)
		}
		if err != nil {
			fmt.Fprintln(os.Stderr, "mutants:", err)
			return "broken", nil
		}
		if fate = s.try(binary, length, tests); fate != "survives" {
			return fate, nil
		}
	}
	compiled := []string{own}
	if t.kind[i] == "alone" { // a constant, which others may be compiled with
		compiled = append(compiled, t.near[own]...)
	}
	for _, dir := range compiled {
		if listed(dir, work, replace) != t.unchanged(dir) {
			return fate, nil
		}
	}
	return "same", nil
}

func (t *trials) unchanged(dir string) string {
	code, known := t.plain.Load(dir)
	if !known {
		code, _ = t.plain.LoadOrStore(dir, listed(dir, t.work, nil))
	}
	return code.(string)
}
