// Command mutants samples small changes of the code that tests ought to notice, and reports
// how many do: a report on the tests, not a gate.
//
//	go run ./cmd/internal/mutants -n 200 -seed 7 ./geom ./sim ./sim/engage ./cases
//
// All changes of a sample are woven into one program for each package's tests, in an overlay, so
// that nothing in the checkout is touched; the program is copied with one of them on at a time.
// When a package's tests are first wanted, each runs once with none on, which tells how long it
// takes and what it meets. Then
// those run that meet a change, the quickest first and slow ones alone, until one fails: the
// package's own, all of them, and the short ones of packages that depend on it. Constants need
// programs of their own, with which all tests run. A run that takes ten times as long as that of
// the unchanged code and ten seconds more hangs, and counts as noticed. A change that compiles to
// the same code is the same program, and left out; one whose code no test runs is unreached, and
// counted apart.
package main

import (
	"errors"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"sort"
	"strings"
	"sync"
	"sync/atomic"
)

func main() {
	n := flag.Int("n", 20, "how many mutants")
	seed := flag.Uint64("seed", 1, "of the sample")
	at := flag.Int("parallel", 1, "how many at once")
	where := flag.String("at", "", "FILE:LINE,... or FILE,...: all mutants of these lines or files instead of a sample")
	own := flag.Bool("own", false, "run tests of the packages themselves alone, and none of their dependents': a quick look")
	run := flag.String("run", "", "run tests whose names match alone, to see what these notice")
	flag.Parse()
	only, err := regexp.Compile(*run)
	if err == nil {
		err = report(flag.Args(), *n, *seed, *at, *where, which{*own, only})
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

// which says what tests run: those of the packages themselves alone, or of their dependents
// too, and of them those with a name that matches.
type which struct {
	own  bool
	only *regexp.Regexp
}

// report samples mutants of the packages in some directories, a like share of every
// changeable place or all of some lines, and prints what became of each and a tally.
func report(dirs []string, n int, seed uint64, parallel int, where string, run which) error {
	var all []mutant
	sources := map[string]*source{}
	for _, dir := range dirs {
		dir = filepath.Clean(dir)
		s, err := read(dir)
		if err != nil {
			return err
		}
		sources[dir] = s
		all = append(all, s.mutants()...)
	}
	if where != "" {
		lines := strings.Split(where, ",")
		all = slices.DeleteFunc(all, func(m mutant) bool {
			file := filepath.ToSlash(m.file)
			return !slices.Contains(lines, file) && !slices.Contains(lines, fmt.Sprintf("%s:%d", file, m.line))
		})
		n = len(all)
	}
	if len(all) == 0 {
		return fmt.Errorf("no places to change in %v", dirs)
	}
	rng := rand.New(rand.NewPCG(seed, 40))
	rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	all = all[:min(n, len(all))]
	for dir := range sources { // that nothing is to be changed of
		if !slices.ContainsFunc(all, func(m mutant) bool { return filepath.Dir(m.file) == dir }) {
			delete(sources, dir)
		}
	}
	work, err := os.MkdirTemp("", "mutants")
	if err != nil {
		return err
	}
	defer os.RemoveAll(work)
	t, err := prepare(sources, all, work, run)
	if err != nil {
		return err
	}
	fates := make([]string, len(all))
	var wg sync.WaitGroup
	next := make(chan int)
	errs, failed := make([]error, len(all)), atomic.Bool{}
	for range parallel {
		wg.Go(func() {
			for i := range next {
				if failed.Load() {
					continue
				}
				if fates[i], errs[i] = t.fate(i); errs[i] != nil {
					failed.Store(true)
					continue
				}
				fmt.Printf("%-9s %s\n", fates[i], all[i])
			}
		})
	}
	for i := range all {
		next <- i
	}
	close(next)
	wg.Wait()
	tally(all, fates)
	return errors.Join(errs...)
}

func tally(all []mutant, fates []string) {
	type count struct{ killed, hangs, alive, unreached int }
	by := map[string]*count{}
	for i := range all {
		for _, dir := range []string{filepath.Dir(all[i].file), "all"} {
			c := by[dir]
			if c == nil {
				c = &count{}
				by[dir] = c
			}
			switch fates[i] {
			case "killed":
				c.killed++
			case "hangs":
				c.killed++
				c.hangs++
			case "survives":
				c.alive++
			case "unreached":
				c.unreached++
			}
		}
	}
	var dirs []string
	for d := range by {
		dirs = append(dirs, d)
	}
	sort.Strings(dirs)
	for _, d := range dirs {
		c := by[d]
		if sum := c.killed + c.alive; sum > 0 {
			fmt.Printf("%s: %d of %d noticed (%.0f %%), %d of them by hanging, and %d unreached\n", d, c.killed, sum, 100*float64(c.killed)/float64(sum), c.hangs, c.unreached)
		} else if c.unreached > 0 {
			fmt.Printf("%s: %d unreached\n", d, c.unreached)
		}
	}
}
