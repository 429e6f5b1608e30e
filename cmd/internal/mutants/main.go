// Command mutants samples small changes of the code that tests ought to notice, and reports
// how many do: a report on the tests, not a gate.
//
//	go run ./cmd/internal/mutants -n 200 -seed 7 ./geom ./sim ./sim/engage ./cases
//
// A change is made in an overlay, so that nothing in the checkout is touched. The package's
// short tests run first, all of them where those notice nothing, and then the short ones of
// the packages that depend on it. A run that takes ten times as long as
// that of the unchanged code hangs, and counts as noticed. A change that compiles to the same
// code is the same program, and left out; one whose code no test links is unreached, and
// counted apart.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"sort"
	"strings"
	"sync"
)

func main() {
	n := flag.Int("n", 20, "how many mutants")
	seed := flag.Uint64("seed", 1, "of the sample")
	at := flag.Int("parallel", 1, "how many at once")
	where := flag.String("at", "", "FILE:LINE,...: all mutants of these lines instead of a sample")
	flag.Parse()
	if err := report(flag.Args(), *n, *seed, *at, *where); err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

// report samples mutants of the packages in some directories, a like share of every
// changeable place or all of some lines, and prints what became of each and a tally.
func report(dirs []string, n int, seed uint64, parallel int, where string) error {
	var all []mutant
	suites, k := map[string]*suite{}, &shelf{of: map[string]*suite{}}
	for _, dir := range dirs {
		dir = filepath.Clean(dir)
		var err error
		if suites[dir], err = unchanged(dir, lengths, k); err != nil {
			return err
		}
		files, err := filepath.Glob(filepath.Join(dir, "*.go"))
		if err != nil {
			return err
		}
		for _, f := range files {
			if strings.HasSuffix(f, "_test.go") {
				continue
			}
			m, err := mutantsOf(f)
			if err != nil {
				return err
			}
			all = append(all, m...)
		}
	}
	if where != "" {
		lines := strings.Split(where, ",")
		all = slices.DeleteFunc(all, func(m mutant) bool {
			return !slices.Contains(lines, fmt.Sprintf("%s:%d", filepath.ToSlash(m.file), m.line))
		})
		n = len(all)
	}
	if len(all) == 0 {
		return fmt.Errorf("no places to change in %v", dirs)
	}
	rng := rand.New(rand.NewPCG(seed, 40))
	rng.Shuffle(len(all), func(i, j int) { all[i], all[j] = all[j], all[i] })
	all = all[:min(n, len(all))]
	sort.Slice(all, func(i, j int) bool { return all[i].place() < all[j].place() })
	fates := make([]string, len(all))
	var wg sync.WaitGroup
	next := make(chan int)
	for range parallel {
		wg.Go(func() {
			for i := range next {
				fates[i] = suites[filepath.Dir(all[i].file)].fate(&all[i])
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
	return nil
}

func tally(all []mutant, fates []string) {
	type count struct{ killed, alive, unreached int }
	by := map[string]*count{}
	for i := range all {
		for _, dir := range []string{filepath.Dir(all[i].file), "all"} {
			c := by[dir]
			if c == nil {
				c = &count{}
				by[dir] = c
			}
			switch fates[i] {
			case "killed", "hangs":
				c.killed++
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
			fmt.Printf("%s: %d of %d noticed (%.0f %%), and %d unreached\n", d, c.killed, sum, 100*float64(c.killed)/float64(sum), c.unreached)
		} else if c.unreached > 0 {
			fmt.Printf("%s: %d unreached\n", d, c.unreached)
		}
	}
}
