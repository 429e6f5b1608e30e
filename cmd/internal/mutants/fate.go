package main

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// suite is what a package's tests are without a change: the binary and how long it takes.
type suite struct {
	dir     string
	sum     [sha256.Size]byte
	lengths []string
	limit   []time.Duration // of each

	later sync.Once
	near  []*suite // short tests of the packages that depend on it, the nearest first
	bad   error
	shelf *shelf
}

// shelf keeps the suites of dependents, each of which many packages may have.
type shelf struct {
	sync.Mutex
	of map[string]*suite
}

// lengths are the runs of a package's own suite.
var lengths = []string{"-test.short", "-test.short=false"}

// unchanged builds and runs the tests of the package in a directory, which have to pass.
func unchanged(dir string, lengths []string, k *shelf) (*suite, error) {
	s := &suite{dir: dir, lengths: lengths, shelf: k}
	work, err := os.MkdirTemp("", "mutant")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(work)
	binary, err := build(dir, work, map[string]string{})
	if err != nil {
		return nil, fmt.Errorf("%s: %w", dir, err)
	}
	if s.sum, err = sum(binary); err != nil {
		return nil, err
	}
	for _, length := range lengths {
		began := time.Now()
		if err := run(dir, binary, length, time.Hour); err != nil {
			return nil, fmt.Errorf("%s: the tests of the unchanged code: %w", dir, err)
		}
		s.limit = append(s.limit, 10*time.Since(began)+10*time.Second)
	}
	return s, nil
}

// dependents returns the suites of the packages that depend on this one.
func (s *suite) dependents() ([]*suite, error) {
	s.later.Do(func() {
		dirs, err := dependents(s.dir)
		if s.bad = err; err != nil {
			return
		}
		s.shelf.Lock()
		defer s.shelf.Unlock()
		for _, d := range dirs {
			x := s.shelf.of[d]
			if x == nil {
				if x, s.bad = unchanged(d, lengths[:1], s.shelf); s.bad != nil {
					return
				}
				s.shelf.of[d] = x
			}
			s.near = append(s.near, x)
		}
	})
	return s.near, s.bad
}

// fate tells what becomes of a file's change: killed or hangs, by the package's own tests or
// the short ones of a dependent; survives; and, left out of the share, broken where it does not
// compile, same where it is the same program, unreached where no test links it.
func (s *suite) fate(m *mutant) string {
	work, err := os.MkdirTemp("", "mutant")
	if err != nil {
		return "broken"
	}
	defer os.RemoveAll(work)
	changed := filepath.Join(work, "changed.go")
	file, err := filepath.Abs(m.file)
	if err != nil || os.WriteFile(changed, m.text(), 0o644) != nil {
		return "broken"
	}
	replace := map[string]string{file: changed}
	own := s.try(work, replace)
	if own != "same" && own != "survives" {
		return own
	}
	if own == "same" && listed(s.dir, work, replace) == listed(s.dir, work, nil) {
		return "same"
	}
	near, err := s.dependents()
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		return "broken"
	}
	for _, d := range near {
		switch x := d.try(work, replace); x {
		case "killed", "hangs":
			return x
		case "survives":
			own = x
		}
	}
	if own == "same" {
		return "unreached"
	}
	return own
}

// try builds and runs a suite's tests with files replaced.
func (s *suite) try(work string, replace map[string]string) string {
	binary, err := build(s.dir, work, replace)
	if err != nil {
		return "broken"
	}
	if is, err := sum(binary); err == nil && is == s.sum {
		return "same"
	}
	for i, length := range s.lengths {
		switch err := run(s.dir, binary, length, s.limit[i]); {
		case err == context.DeadlineExceeded:
			return "hangs"
		case err != nil:
			return "killed"
		}
	}
	return "survives"
}

// listed returns what the package in a directory is compiled to, linked or not.
func listed(dir, work string, replace map[string]string) string {
	overlay := filepath.Join(work, "listed.json")
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil || os.WriteFile(overlay, text, 0o644) != nil {
		return ""
	}
	out, err := exec.Command("go", "build", "-gcflags=-S -c=1 -dwarf=false", "-overlay="+overlay, "./"+filepath.ToSlash(dir)).CombinedOutput()
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

// build builds the tests of the package in dir, with files replaced by others, and returns the
// binary's name. Without symbols and a build ID it depends on the instructions alone.
func build(dir, work string, replace map[string]string) (string, error) {
	overlay, binary := filepath.Join(work, "overlay.json"), filepath.Join(work, "tests")
	text, err := json.Marshal(map[string]any{"Replace": replace})
	if err != nil {
		return "", err
	}
	if err := os.WriteFile(overlay, text, 0o644); err != nil {
		return "", err
	}
	out, err := exec.Command("go", "test", "-c", "-vet=off", "-ldflags=-s -w -buildid=",
		"-overlay="+overlay, "-o", binary, "./"+filepath.ToSlash(dir)).CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return binary, nil
}

func sum(file string) ([sha256.Size]byte, error) {
	text, err := os.ReadFile(file)
	return sha256.Sum256(text), err
}

// run runs a test binary until the first failure, in its package's directory as the go command
// does. Its error is context.DeadlineExceeded where it took longer than the limit.
func run(dir, binary, length string, limit time.Duration) error {
	ctx, end := context.WithTimeout(context.Background(), limit)
	defer end()
	c := exec.CommandContext(ctx, binary, "-test.failfast", length)
	c.Dir, c.WaitDelay = dir, time.Second
	err := c.Run()
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return err
}
