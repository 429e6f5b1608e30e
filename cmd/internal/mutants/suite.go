package main

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// suite is a package's tests, built with all woven mutants in.
type suite struct {
	dir    string
	length string // how much of them runs, as an option
	only   *regexp.Regexp
	met    string       // folder for what is met
	ready  func() error // builds and measures it when it is first wanted
	binary string
	tests  []test
}

// test is one test of a suite: how long it takes, and which mutants it meets.
type test struct {
	name  string
	took  time.Duration
	meets map[int]bool
}

// Tests of a package of which mutants are wanted run in full, those of its dependents short.
const (
	full  = "-test.short=false"
	short = "-test.short"
)

// measure lists a suite's tests, which have to pass, and finds what each meets: one after
// the other with all mutants looked for and none on.
func (s *suite) measure(number int) error {
	out, err := s.command(context.Background(), s.binary, "-test.list", ".").Output()
	if err != nil {
		return fmt.Errorf("%s: %w", s.dir, err)
	}
	looking := s.binary + ".looking"
	if err := switched(s.binary, looking, 0, number); err != nil {
		return err
	}
	defer os.Remove(looking)
	for _, name := range strings.Fields(string(out)) {
		if !regexp.MustCompile(`^(Test|Example|Fuzz)`).MatchString(name) || !s.only.MatchString(name) {
			continue
		}
		if err := empty(s.met); err != nil {
			return err
		}
		began := time.Now()
		text, err := s.command(context.Background(), looking, s.length, "-test.run", "^"+name+"$").CombinedOutput()
		if err != nil {
			fmt.Fprintf(os.Stderr, "mutants: left out, as it fails alone: %s of %s: %s\n", name, s.dir, bytes.TrimSpace(text))
			continue
		}
		t := test{name: name, took: time.Since(began), meets: map[int]bool{}}
		met, err := os.ReadDir(s.met)
		if err != nil {
			return err
		}
		for _, f := range met {
			if k, err := strconv.Atoi(f.Name()); err == nil {
				t.meets[k] = true
			}
		}
		s.tests = append(s.tests, t)
	}
	slices.SortStableFunc(s.tests, func(a, b test) int { return int(a.took - b.took) })
	if err := switched(s.binary, looking, 1e9-1, 0); err != nil { // which none has
		return err
	}
	together := slices.IndexFunc(s.tests, func(x test) bool { return x.took >= slow })
	if together < 0 {
		together = len(s.tests)
	}
	if fate := s.try(looking, s.length, s.tests[:together]); fate != "survives" {
		return fmt.Errorf("%s: the tests of the unchanged code: %s", s.dir, fate)
	}
	return nil
}

func empty(folder string) error {
	if err := os.RemoveAll(folder); err != nil {
		return err
	}
	return os.MkdirAll(folder, 0o755)
}

// try runs tests of a program, the quick ones first, until one fails: "killed", "hangs" where
// they take ten times as long as without the change and ten seconds more, else "survives".
func (s *suite) try(binary, length string, tests []test) string {
	for _, tier := range tiers(tests) {
		var names []string
		limit := 10 * time.Second
		for _, t := range tier {
			names = append(names, t.name)
			limit += 10 * t.took
		}
		ctx, end := context.WithTimeout(context.Background(), limit)
		err := s.command(ctx, binary, "-test.failfast", length, "-test.run", "^("+strings.Join(names, "|")+")$").Run()
		late := ctx.Err() != nil
		end()
		if late {
			return "hangs"
		}
		if err != nil {
			return "killed"
		}
	}
	return "survives"
}

// slow is from when on a test runs alone, as it was measured.
const slow = 2 * time.Second

// tiers parts tests, which come in order of time, into those of less than 0.2 s, of less
// than 2 s, and each of the rest.
func tiers(tests []test) (out [][]test) {
	for _, most := range []time.Duration{slow / 10, slow} {
		n := 0
		for n < len(tests) && tests[n].took < most {
			n++
		}
		if n > 0 {
			out = append(out, tests[:n])
		}
		tests = tests[n:]
	}
	for i := range tests {
		out = append(out, tests[i:i+1])
	}
	return out
}

// command runs a test binary in its package's directory, as the go command does.
func (s *suite) command(ctx context.Context, binary string, args ...string) *exec.Cmd {
	c := exec.CommandContext(ctx, binary, args...)
	c.Dir, c.WaitDelay = s.dir, time.Second
	return c
}

// switched copies a program with a mutant on; what is looked for is noted in a folder of that number.
func switched(from, to string, k, folder int) error {
	text, err := os.ReadFile(from)
	if err != nil {
		return err
	}
	for what, n := range map[string]int{mark: k, place: folder} {
		at := []byte(what + "---------")
		if what == mark && !bytes.Contains(text, at) { // where no changed code is linked there is nothing to note
			return fmt.Errorf("%s: no woven code in it", from)
		}
		text = bytes.ReplaceAll(text, at, []byte(fmt.Sprintf("%s%09d", what, n)))
	}
	return os.WriteFile(to, text, 0o755)
}

// build builds the tests of the package in dir, with files replaced by others.
func build(dir, work, binary string, replace map[string]string) error {
	overlay, err := overlaid(work, replace)
	if err != nil {
		return err
	}
	out, err := exec.Command("go", "test", "-c", "-vet=off", "-ldflags=-s -w -buildid=",
		overlay, "-o", binary, "./"+filepath.ToSlash(dir)).CombinedOutput()
	if err != nil {
		return fmt.Errorf("%s: %w: %s", dir, err, out)
	}
	return nil
}

// overlaid returns the go command's option that replaces files by others.
func overlaid(work string, replace map[string]string) (string, error) {
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	file := filepath.Join(work, "overlay.json")
	return "-overlay=" + file, os.WriteFile(file, text, 0o644)
}

// listed returns what the package in a directory is compiled to, linked or not.
func listed(dir, work string, replace map[string]string) string {
	overlay, err := overlaid(work, replace)
	if err != nil {
		return err.Error()
	}
	out, err := exec.Command("go", "build", "-gcflags=-S -c=1 -dwarf=false", overlay, "./"+filepath.ToSlash(dir)).CombinedOutput()
	if err != nil {
		return err.Error()
	}
	var code strings.Builder
	skip := false
	for _, line := range strings.Split(string(out), "\n") {
		if !strings.HasPrefix(line, "\t") { // a symbol begins; constants are listed for debuggers
			skip = strings.HasPrefix(line, "go:constinfo.")
		}
		if !skip {
			code.WriteString(line + "\n")
		}
	}
	return code.String()
}
