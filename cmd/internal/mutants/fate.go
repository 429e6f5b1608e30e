package main

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"time"
)

// suite is what a package's tests are without a change: the binary and how long it takes.
type suite struct {
	dir   string
	sum   [sha256.Size]byte
	limit [2]time.Duration // of the short tests, of all
}

// lengths are the two runs of a suite.
var lengths = [2]string{"-test.short", "-test.short=false"}

// unchanged builds and runs the tests of the package in a directory, which have to pass.
func unchanged(dir string) (*suite, error) {
	s := &suite{dir: dir}
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
	for i, length := range lengths {
		began := time.Now()
		if err := run(dir, binary, length, time.Hour); err != nil {
			return nil, fmt.Errorf("%s: the tests of the unchanged code: %w", dir, err)
		}
		s.limit[i] = 10*time.Since(began) + 10*time.Second
	}
	return s, nil
}

// fate builds and runs the tests with a file changed: killed, hangs, survives, or, left out of
// the tally, broken where it does not compile and same where it is the same program.
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
	binary, err := build(s.dir, work, map[string]string{file: changed})
	if err != nil {
		return "broken"
	}
	if is, err := sum(binary); err == nil && is == s.sum {
		return "same"
	}
	for i, length := range lengths {
		switch err := run(s.dir, binary, length, s.limit[i]); {
		case err == context.DeadlineExceeded:
			return "hangs"
		case err != nil:
			return "killed"
		}
	}
	return "survives"
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
