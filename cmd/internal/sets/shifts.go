package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"gonum.org/v1/gonum/stat"

	"chainpath/cases"
	"chainpath/sim/indexing"
	"chainpath/sim/score"
)

// shiftAnswer is a scored report about one shift.
type shiftAnswer struct {
	Bike   string
	Kind   string // of fault that the report is about; straight where there is none
	Shift  string
	Late   bool
	Chance float64
	Gap    float64 // the same by gap error alone, mm
}

// kindsOfShift name what is wrong with the bicycles of the panel, by file.
var kindsOfShift = map[string]string{
	"q35": "setting", "q37": "spacer", "q40": "spacer", "q58": "hanger", "q61": "pull", "q76": "bent cog",
}

// shiftBike is a bicycle of which reports tell how it shifts.
type shiftBike struct {
	name    string
	c       *cases.Case
	answers map[indexing.Shift]bool // whether it is late
	chance  map[indexing.Shift]float64
	rears   []*indexing.Rear // one, or where a sign is not known both
}

// readShiftBikes reads the panel's reports of shifts.
func readShiftBikes(dir string) (out []shiftBike, err error) {
	names, err := filepath.Glob(filepath.Join(dir, "*.yaml"))
	if err != nil || len(names) == 0 {
		return nil, fmt.Errorf("no reports of shifts in %s", dir)
	}
	for _, name := range names {
		data, err := os.ReadFile(name)
		if err != nil {
			return nil, err
		}
		if !strings.Contains(string(data), "\n#! shift_slow ") {
			continue
		}
		c, err := cases.Parse(name, data)
		if err != nil {
			return nil, err
		}
		b := shiftBike{name: strings.TrimSuffix(filepath.Base(name), ".yaml"), c: c}
		if err := b.read(string(data)); err != nil {
			return nil, fmt.Errorf("%s: %w", name, err)
		}
		out = append(out, b)
	}
	return out, nil
}

// read takes a bicycle's lines of shift_slow in; either_sign says that a spacing is off by a
// sign that is not known, or goes both ways in a turn.
func (b *shiftBike) read(text string) error {
	s, err := b.c.Shifting()
	if err != nil {
		return err
	}
	b.rears, b.chance, b.answers = []*indexing.Rear{s.Rear}, map[indexing.Shift]float64{}, map[indexing.Shift]bool{}
	for _, x := range s.Shifts {
		b.chance[x.Shift] = x.Late // alike on every ring
	}
	if strings.Contains(text, "#! either_sign") {
		mirrored := s.Rear.Clone()
		for k := range mirrored.Planes {
			mirrored.Planes[k] = -2*s.Rear.Pitch*float64(k) - mirrored.Planes[k]
		}
		b.rears = append(b.rears, mirrored)
		for x, p := range cases.LateOf(mirrored) {
			b.chance[x] = (b.chance[x] + p) / 2
		}
	}
	for _, line := range strings.Split(text, "\n") {
		w := strings.Fields(line)
		if len(w) < 5 || w[0] != "#!" || w[1] != "shift_slow" {
			continue
		}
		for _, one := range strings.Split(w[2], ",") {
			if one == "*/*" {
				one = "*/*>*"
			}
			_, steps, err := b.c.ShiftsNamed(one)
			if err != nil {
				return err
			}
			for _, x := range steps {
				b.answers[x] = w[3] == "yes"
			}
		}
	}
	return nil
}

// readShifts returns every report with its chance by the shipped sets.
func readShifts(dir string) (out []shiftAnswer, err error) {
	bikes, err := readShiftBikes(dir)
	for _, b := range bikes {
		kind := cmp.Or(kindsOfShift[b.name], "straight")
		for _, x := range indexing.Shifts(len(b.c.Rear.Cogs)) {
			late, told := b.answers[x]
			if !told {
				continue
			}
			r, k := b.rears[0], x.Pair
			out = append(out, shiftAnswer{
				Bike: b.name, Kind: kind, Shift: fmt.Sprintf("%d>%d", b.c.Rear.Cogs[x.From()], b.c.Rear.Cogs[x.To()]), Late: late, Chance: b.chance[x],
				Gap: math.Abs((r.Stops[k]+r.Aside[k]-r.Stops[k+1]-r.Aside[k+1])-(r.Planes[k]-r.Planes[k+1])) + math.Abs(r.Off),
			})
		}
	}
	return out, err
}

// areas returns the area under the curve of chance and of gap error, for the reports of one
// kind of fault against all shifts that are fine; of all kinds with "".
func areas(all []shiftAnswer, kind string) (chance, gap float64, yes, no int) {
	var a, b []score.Prediction
	for _, x := range all {
		if x.Late && kind != "" && x.Kind != kind {
			continue
		}
		if x.Late {
			yes++
		} else {
			no++
		}
		a = append(a, score.Prediction{P: x.Chance, Happened: x.Late})
		b = append(b, score.Prediction{P: x.Gap, Happened: x.Late})
	}
	return score.Area(a), score.Area(b), yes, no
}

// resamples is how often bicycles are drawn again, with putting back, for an interval.
const resamples = 4000

// spread is the 2.5, 50 and 97.5 % points of a score over bicycles drawn again.
type spread [3]float64

func (s spread) String() string { return fmt.Sprintf("%.2f (%.2f to %.2f)", s[1], s[0], s[2]) }

// resampled returns the areas by chance and by gap error alone, and the first less the second, with
// whole bicycles drawn again: shifts of one bicycle are not independent. Draws in which no shift is
// late, or none is fine, have no area and are left out; used is how many are left.
func resampled(all []shiftAnswer, seed uint64) (chance, gap, more spread, used int) {
	own := map[string][]shiftAnswer{}
	var names []string
	for _, x := range all {
		if own[x.Bike] == nil {
			names = append(names, x.Bike)
		}
		own[x.Bike] = append(own[x.Bike], x)
	}
	rng := rand.New(rand.NewPCG(seed, 28))
	var got [3][]float64
	for range resamples {
		var drawn []shiftAnswer
		for range names {
			drawn = append(drawn, own[names[rng.IntN(len(names))]]...)
		}
		a, b, yes, no := areas(drawn, "")
		if yes == 0 || no == 0 {
			continue
		}
		used++
		for i, x := range [...]float64{a, b, a - b} {
			got[i] = append(got[i], x)
		}
	}
	for i, to := range []*spread{&chance, &gap, &more} {
		slices.Sort(got[i])
		for k, p := range [...]float64{0.025, 0.5, 0.975} {
			to[k] = stat.Quantile(p, stat.Empirical, got[i], nil)
		}
	}
	return chance, gap, more, used
}

// scoreShifts prints what predictions of shifts are worth.
func scoreShifts(w io.Writer, dir string) error {
	all, err := readShifts(dir)
	if err != nil {
		return err
	}
	fmt.Fprintln(w, "| late shifts | late, fine | area by chance | by gap error alone |\n|---|---|---|---|")
	kinds := []string{""}
	for _, x := range all {
		if x.Late && !slices.Contains(kinds, x.Kind) {
			kinds = append(kinds, x.Kind)
		}
	}
	for _, k := range kinds {
		chance, gap, yes, no := areas(all, k)
		if k == "" {
			k = "all"
		}
		fmt.Fprintf(w, "| %s | %d, %d | %.2f | %.2f |\n", k, yes, no, chance, gap)
	}
	chance, gap, more, used := resampled(all, 1)
	fmt.Fprintf(w, "\nWith bikes drawn again, median and 95 %% range: by chance %s, by gap error alone %s, the first less the second %s; %d of %d draws have both.\n", chance, gap, more, used, resamples)
	bikes, err := readShiftBikes(dir)
	if err != nil {
		return err
	}
	weighShifts(w, bikes)
	if os.Getenv("LIST") != "" {
		for _, x := range all {
			fmt.Fprintf(w, "%s %-8s %-6s late %-5t chance %.3f gap %.2f\n", x.Bike, x.Kind, x.Shift, x.Late, x.Chance, x.Gap)
		}
	}
	return nil
}
