// Command mutants samples small changes of the code that tests ought to notice, and reports
// how many each package's own tests do: a report on the tests, not a gate.
//
//	go run ./cmd/internal/mutants -n 200 -seed 7 ./geom ./sim ./sim/engage ./cases
//
// A change is made in an overlay, so that nothing in the checkout is touched. Short tests
// run first, all of them where those notice nothing. A run that takes ten times as long as
// that of the unchanged code hangs, and counts as noticed. A change whose test binary is that
// of the unchanged code, byte for byte, is the same program, and left out.
package main

import (
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"sort"
	"strings"
	"sync"
)

func main() {
	n := flag.Int("n", 20, "how many mutants")
	seed := flag.Uint64("seed", 1, "of the sample")
	at := flag.Int("parallel", 1, "how many at once")
	flag.Parse()
	if err := report(flag.Args(), *n, *seed, *at); err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

// report samples mutants of the packages in some directories, a like share of every
// changeable place, and prints what became of each and a tally.
func report(dirs []string, n int, seed uint64, parallel int) error {
	var all []mutant
	suites := map[string]*suite{}
	for _, dir := range dirs {
		dir = filepath.Clean(dir)
		var err error
		if suites[dir], err = unchanged(dir); err != nil {
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
	type count struct{ killed, alive int }
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
			fmt.Printf("%s: %d of %d noticed (%.0f %%)\n", d, c.killed, sum, 100*float64(c.killed)/float64(sum))
		}
	}
}
