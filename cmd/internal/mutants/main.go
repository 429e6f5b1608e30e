// Command mutants samples small changes of the code that tests ought to notice, and reports
// how many each package's own tests do: a report on the tests, not a gate.
//
//	go run ./cmd/internal/mutants -n 200 -seed 7 ./geom ./sim ./sim/engage ./cases
//
// A change is made in an overlay, so that nothing in the checkout is touched. Short tests
// run first, all of them where those notice nothing; a run that hangs counts as noticed.
package main

import (
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"sort"
	"strings"
	"sync"
	"time"
)

func main() {
	n := flag.Int("n", 20, "how many mutants")
	seed := flag.Uint64("seed", 1, "of the sample")
	at := flag.Int("parallel", 1, "how many at once")
	limit := flag.Duration("limit", 3*time.Minute, "of one run of the tests")
	flag.Parse()
	if err := report(flag.Args(), *n, *seed, *at, *limit); err != nil {
		fmt.Fprintln(os.Stderr, "mutants:", err)
		os.Exit(1)
	}
}

// report samples mutants of the packages in some directories, a like share of every
// changeable place, and prints what became of each and a tally.
func report(dirs []string, n int, seed uint64, parallel int, limit time.Duration) error {
	var all []mutant
	for _, dir := range dirs {
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
				fates[i] = all[i].fate(limit)
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

// fate runs the package's tests on the changed file: killed, hangs, survives, or broken
// where it does not compile, which is left out of the tally.
func (m *mutant) fate(limit time.Duration) string {
	dir, err := os.MkdirTemp("", "mutant")
	if err != nil {
		return "broken"
	}
	defer os.RemoveAll(dir)
	changed, overlay := filepath.Join(dir, "changed.go"), filepath.Join(dir, "overlay.json")
	file, err := filepath.Abs(m.file)
	if err != nil {
		return "broken"
	}
	text, err := json.Marshal(map[string]any{"Replace": map[string]string{file: changed}})
	if err != nil || os.WriteFile(changed, m.text(), 0o644) != nil || os.WriteFile(overlay, text, 0o644) != nil {
		return "broken"
	}
	pkg := "./" + filepath.ToSlash(filepath.Dir(m.file))
	run := func(args ...string) (string, error) {
		ctx, end := context.WithTimeout(context.Background(), limit)
		defer end()
		c := exec.CommandContext(ctx, "go", append(args, "-overlay="+overlay, pkg)...)
		c.WaitDelay = time.Second
		out, err := c.CombinedOutput()
		if ctx.Err() != nil {
			return "", ctx.Err()
		}
		return string(out), err
	}
	if _, err := run("build"); err != nil {
		return "broken"
	}
	for _, short := range []string{"-short", "-short=false"} {
		_, err := run("test", "-vet=off", "-failfast", "-count=1", short)
		switch {
		case err == context.DeadlineExceeded:
			return "hangs"
		case err != nil:
			return "killed"
		}
	}
	return "survives"
}
