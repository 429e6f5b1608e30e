package cases

import (
	"fmt"
	"math"
	"math/rand/v2"

	"chainpath/sim"
	"chainpath/sim/ensemble"
)

// Numbers of learning: candidates, the effective size that tempering keeps, how much of a
// shipped set a candidate keeps, and the random stream of its kernel.
const (
	candidates    = 2000
	learnedLeast  = 100
	learnedKeep   = 0.98
	renewalStream = 21
)

// Lesson holds what a case's observations change: chances, unknown numbers, and how well each
// observation fits the others.
type Lesson struct {
	Candidates   int
	Shop         string  // what it started from, where that was a shop's memory
	Size, Temper float64 // effective size, and the power of the likelihood that keeps it
	Moves        []Moved // the free numbers in their order, then the lines
	Seen         []Told
	Before       []sim.Chances // of every gear, by the shipped sets
	After        []sim.Chances // by the learned ones
	Case         *Case         // with the learned block
}

// Moved is an unknown before and after: its 5, 50 and 95 % points.
type Moved struct {
	Name, Unit    string
	Before, After [3]float64
}

// Told reports whether the observations told of it: its median moved by an eighth of its
// range from 5 to 95 %, or that range shrank by a quarter. Less can be chance with an
// effective size of a hundred.
func (m *Moved) Told() bool {
	wide := m.Before[2] - m.Before[0]
	return wide > 0 && (math.Abs(m.After[1]-m.Before[1]) >= wide/8 || m.After[2]-m.After[0] <= 0.75*wide)
}

// Told is an observation beside all the others.
type Told struct {
	Seen
	Before float64 // its chance before anything was seen
	Others float64 // its chance by what all the others teach
	Best   float64 // its chance under the candidate that has it likeliest
	Blind  float64 // its chance if nothing were known: 1/2, or 1/(tries+1)
}

// contrary is the share of an observation's blind chance below which the others speak
// against it (assumption).
const contrary = 0.2

// Contrary reports whether an observation does not fit the others.
func (j *Told) Contrary() bool { return j.Others < contrary*j.Blind }

// Impossible reports whether nothing in the model makes an observation.
func (j *Told) Impossible() bool { return j.Best < contrary*j.Blind }

// guess is a candidate: a set with its readings, and what it foretells.
type guess struct {
	start
	err   error
	all   []sim.Chances
	right []float64    // chance of each observation
	sums  [2][]float64 // of their logs, before each and from each on
	lines [2]float64
}

// Learn holds the case's observations and symptoms against renewed copies of the shipped
// sets, or of what a shop's memory has for a bike of its kind, each with its own draw of
// the readings. From may be nil; with it a case of which nothing was seen starts from the
// memory as it is. The version is written into the block.
// The same case gives the same bytes wherever Chances gives the same bits.
// Errors are *Error, wrap ErrSets, or come from package sim.
func (c *Case) Learn(version string, from *Memory) (*Lesson, error) {
	seen, err := c.Seen()
	if err != nil {
		return nil, err
	}
	if len(seen) == 0 && from == nil {
		what := "nothing to learn from"
		if len(c.SeenOfShifts()) > 0 {
			what = "of shifts alone: chainpath shifts and diagnose use them, and no chance of a gear is learned from them"
		}
		return nil, c.fail("observations", "%s, want at least one, such as {gears: %d/%d, direction: backwards, what: drop, off: 3, of: 10}", what, c.Front.Rings[0], c.Rear.Cogs[len(c.Rear.Cogs)-1])
	}
	plain := c.clone()
	plain.Learned = nil
	base, err := shippedSets()
	if err != nil {
		return nil, err
	}
	before, taught := renewed(base, candidates), ""
	sets := before
	if from != nil {
		k, err := from.For(plain)
		if err != nil {
			return nil, err
		}
		base, taught = nil, k.Name()
		for _, s := range k.starts {
			base = append(base, s.set)
		}
		sets = renewed(base, candidates)
	}
	all, err := plain.candidates(sets)
	if err != nil {
		return nil, err
	}
	logs := make([]float64, len(all))
	for k := range all {
		all[k].hold(seen)
		logs[k] = all[k].log(seen, -1)
	}
	w, err := ensemble.Weigh(logs, learnedLeast)
	if err != nil {
		return nil, c.fail("observations", "they leave too little to learn from: %s", err)
	}
	l := &Lesson{Candidates: len(all), Size: w.Size, Temper: w.Temper, Shop: taught, Moves: moves(all, before, w)}
	for i := range seen {
		if err := c.Stopped(); err != nil {
			return nil, err
		}
		j, err := judge(all, seen, i)
		if err != nil {
			return nil, c.fail("observations", "without %q: %s", seen[i].Text, err)
		}
		l.Seen = append(l.Seen, j)
	}
	var kept []start
	for _, k := range w.Draw(Sets) {
		kept = append(kept, all[k].start)
	}
	l.Case = plain.clone()
	l.Case.Learned = plain.learnedBlock(kept, version)
	l.Case.Learned.Shop = taught
	if l.Before, err = plain.Chances(nil); err != nil {
		return nil, err
	}
	l.After, err = l.Case.Chances(nil)
	return l, err
}

// log returns the log likelihood of all observations but one; of none at all where the
// candidate cannot be.
func (k *guess) log(seen []Seen, but int) float64 {
	if k.err != nil {
		return math.Inf(-1)
	}
	sum := 0.0
	for i := range seen {
		if i != but {
			sum += seen[i].log(k.right[i])
		}
	}
	return sum
}

// without returns the log likelihood of all observations but one. The sums before each and
// from each on are made once, so that asking for all takes no longer than twice one.
func (k *guess) without(seen []Seen, i int) float64 {
	if k.err != nil {
		return math.Inf(-1)
	}
	n := len(seen)
	if len(k.sums[0]) != n+1 {
		k.sums = [2][]float64{make([]float64, n+1), make([]float64, n+1)}
		for j := range seen {
			k.sums[0][j+1] = k.sums[0][j] + seen[j].log(k.right[j])
		}
		for j := n - 1; j >= 0; j-- {
			k.sums[1][j] = k.sums[1][j+1] + seen[j].log(k.right[j])
		}
	}
	return k.sums[0][i] + k.sums[1][i+1]
}

// candidates returns sets, each with a draw of the readings, and what they foretell.
func (c *Case) candidates(sets [][]float64) ([]guess, error) {
	nominal, err := c.Bike()
	if err != nil {
		return nil, err
	}
	out := make([]guess, len(sets))
	return out, c.eachOf(len(out), func(d *Drawn) func(k int) {
		o := new(sim.Odds)
		return func(k int) {
			out[k].start = start{sets[k], uint64(k)}
			out[k].foretell(d, o, nominal)
		}
	})
}

// foretell computes the chances of every gear by the candidate.
func (k *guess) foretell(d *Drawn, o *sim.Odds, nominal *sim.Bike) {
	rng := rand.New(rand.NewPCG(k.seed, readingStream))
	b, f, err := d.Bike(k.set, rng.Float64)
	if err != nil {
		k.err = err
		return
	}
	k.all = make([]sim.Chances, len(b.Rings)*len(b.Cogs))
	links, err := d.Chain(b)
	if err != nil {
		k.err = err
		return
	}
	if k.err = o.Gears(k.all, b, f, links); k.err != nil {
		return
	}
	k.lines = [2]float64{meanLine(b.Rings) - meanLine(nominal.Rings), meanLine(b.Cogs) - meanLine(nominal.Cogs)}
}

// hold computes what the candidate says of what was seen.
func (k *guess) hold(seen []Seen) {
	if k.right = nil; k.err != nil {
		return
	}
	for i := range seen {
		k.right = append(k.right, seen[i].Chance(k.all))
	}
}

func meanLine(w []sim.Wheel) float64 {
	sum := 0.0
	for i := range w {
		sum += w[i].Line
	}
	return sum / float64(len(w))
}

// moves returns every unknown before and after; before are the renewed shipped sets.
func moves(all []guess, before [][]float64, w *ensemble.Weighted) (out []Moved) {
	even := &ensemble.Weighted{Weight: make([]float64, len(all))}
	made := 0
	for k := range all {
		if all[k].err == nil {
			made++
		}
	}
	for k := range all {
		if all[k].err == nil {
			even.Weight[k] = 1 / float64(made)
		}
	}
	add := func(name, unit string, was, is func(k int) float64) {
		m, x, y := Moved{Name: name, Unit: unit}, make([]float64, len(all)), make([]float64, len(all))
		for k := range all {
			x[k], y[k] = was(k), is(k)
		}
		m.Before, m.After = [3]float64(even.Quantiles(x, 0.05, 0.5, 0.95)), [3]float64(w.Quantiles(y, 0.05, 0.5, 0.95))
		out = append(out, m)
	}
	for i := range freeNumbers {
		f := &freeNumbers[i]
		add(f.Name, f.Unit, func(k int) float64 { return f.At(before[k][i]) }, func(k int) float64 { return f.At(all[k].set[i]) })
	}
	for _, l := range []struct {
		name string
		of   func(k int) float64
	}{
		{"front line off the case's", func(k int) float64 { return all[k].lines[0] }},
		{"rear line off the case's", func(k int) float64 { return all[k].lines[1] }},
		{"front less rear, off", func(k int) float64 { return all[k].lines[0] - all[k].lines[1] }},
	} {
		add(l.name, "mm", l.of, l.of)
	}
	return out
}

// judge holds one observation against what all the others teach.
func judge(all []guess, seen []Seen, i int) (Told, error) {
	j := Told{Seen: seen[i], Blind: seen[i].wrong(0.5)}
	logs := make([]float64, len(all))
	made := 0
	for k := range all {
		logs[k] = all[k].without(seen, i)
		if all[k].err == nil {
			made++
			j.Before += all[k].right[i]
			j.Best = math.Max(j.Best, all[k].right[i])
		}
	}
	j.Before /= math.Max(1, float64(made))
	w, err := ensemble.Weigh(logs, learnedLeast)
	if err != nil {
		return j, fmt.Errorf("nothing to hold it against: %w", err)
	}
	for k := range all {
		if all[k].err == nil {
			j.Others += w.Weight[k] * all[k].right[i]
		}
	}
	return j, nil
}
