package main

import (
	"bytes"
	"fmt"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// dependents returns the directories of the module's packages whose tests link the package in
// a directory, those with the fewest dependencies first: they are the nearest.
func dependents(dir string) ([]string, error) {
	name, err := list("-f", "{{.ImportPath}}", "./"+filepath.ToSlash(dir))
	if err != nil {
		return nil, err
	}
	root, err := list("-m", "-f", "{{.Dir}}")
	if err != nil {
		return nil, err
	}
	rows, err := list("-C", strings.TrimSpace(root), "-test", "-f", "{{.ImportPath}}|{{.Dir}}|{{len .Deps}}|{{range .Deps}} {{.}} {{end}}", "./...")
	if err != nil {
		return nil, err
	}
	type dependent struct{ dir, many string }
	var found []dependent
	own, err := filepath.Abs(dir)
	if err != nil {
		return nil, err
	}
	for _, row := range strings.Split(strings.TrimSpace(rows), "\n") {
		c := strings.Split(row, "|")
		// The program of a package's tests, which links what it depends on as it is.
		if len(c) != 4 || !strings.HasSuffix(c[0], ".test") || c[1] == own {
			continue
		}
		if strings.Contains(c[3], " "+strings.TrimSpace(name)+" ") {
			found = append(found, dependent{c[1], fmt.Sprintf("%6s", c[2])})
		}
	}
	slices.SortFunc(found, func(a, b dependent) int {
		return strings.Compare(a.many+a.dir, b.many+b.dir)
	})
	var dirs []string
	here, err := filepath.Abs(".")
	if err != nil {
		return nil, err
	}
	for _, d := range found {
		rel, err := filepath.Rel(here, d.dir)
		if err != nil {
			return nil, err
		}
		dirs = append(dirs, rel)
	}
	return slices.Compact(dirs), nil
}

func list(args ...string) (string, error) {
	var errs bytes.Buffer
	at := 0
	if args[0] == "-C" { // which has to be the first flag of the go command
		at = 2
	}
	c := exec.Command("go", append(append(slices.Clone(args[:at]), "list"), args[at:]...)...)
	c.Stderr = &errs
	out, err := c.Output()
	if err != nil {
		return "", fmt.Errorf("go list: %w: %s", err, errs.String())
	}
	return string(out), nil
}
