package decide

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sort"
	"sync"
	"sync/atomic"

	"chainpath/sim"
)

// Option is one candidate change.
type Option struct {
	Name     string
	Price    float64 // 0 for one that is on the shelf or has no price
	Needs    []int   // options that must be picked with it
	Excludes []int   // options that must not
}

// Plan is the choice: of each group of options at most one is picked.
type Plan struct {
	Options []Option
	Groups  [][]int // indices into Options
}

// Size returns the number of combinations, the empty one included, or an error
// when it passes most.
func (p *Plan) Size(most int) (int, error) {
	n := 1
	for _, g := range p.Groups {
		n *= len(g) + 1
		if n > most {
			return 0, fmt.Errorf("decide: more than %d combinations", most)
		}
	}
	return n, nil
}

// picks returns the options of combination k, and whether they go together.
func (p *Plan) picks(k int, to []int) ([]int, bool) {
	to = to[:0]
	for _, g := range p.Groups {
		if i := k % (len(g) + 1); i > 0 {
			to = append(to, g[i-1])
		}
		k /= len(g) + 1
	}
	has := func(i int) bool {
		for _, x := range to {
			if x == i {
				return true
			}
		}
		return false
	}
	for _, x := range to {
		for _, n := range p.Options[x].Needs {
			if !has(n) {
				return to, false
			}
		}
		for _, n := range p.Options[x].Excludes {
			if has(n) {
				return to, false
			}
		}
	}
	return to, true
}

// Outcome is what one combination does.
type Outcome struct {
	Index     int     // of the combination, 0 is no change
	Picks     []int   // options
	Price     float64 // together
	Links     int     // chain length
	Complaint int     // gear and risk pairs of the complaint that are wrong
	Breaks    int     // pairs of any safe risk that are wrong and were not before
	Quiet     int     // gears and directions that are not quiet
}

// Safe are the risks that a complaint is about unless it names others: all but
// quiet.
func Safe(r Risk) bool { return r.Kind != sim.ToQuiet }

// Builder returns the bike of a combination; each is for one goroutine.
type Builder func(picks []int) (*sim.Bike, error)

// ErrStopped reports a search that was stopped early; what it found by then is
// returned with it.
var ErrStopped = errors.New("decide: stopped early")

// Search evaluates every combination of a plan that goes together, on so many
// workers, and returns the outcomes in the order of their index. Combinations
// whose bike cannot be are left out; their number is failed. A complaint tells
// the risks that are to be cured. done, when not nil, counts the combinations
// looked at. The result does not depend on the number of workers. When ctx ends
// first, the outcomes so far come with ErrStopped.
func Search(ctx context.Context, p *Plan, newBuilder func() Builder, complaint func(Risk) bool, workers int, done *atomic.Int64) (out []Outcome, failed int, err error) {
	n, err := p.Size(math.MaxInt32)
	if err != nil {
		return nil, 0, err
	}
	base, err := newBuilder()(nil)
	if err != nil {
		return nil, 0, err
	}
	var e sim.Evaluator
	before, _, err := faults(&e, base)
	if err != nil {
		return nil, 0, err
	}
	results := make([]*Outcome, n)
	var next, bad atomic.Int64
	var wg sync.WaitGroup
	for range max(workers, 1) {
		build := newBuilder()
		wg.Go(func() {
			var e sim.Evaluator
			var picks []int
			for ctx.Err() == nil {
				k := int(next.Add(1)) - 1
				if k >= n {
					return
				}
				var ok bool
				if picks, ok = p.picks(k, picks); ok {
					if o, err := p.outcome(&e, build, k, picks, before, complaint); err == nil {
						results[k] = o
					} else {
						bad.Add(1)
					}
				}
				if done != nil {
					done.Add(1)
				}
			}
		})
	}
	wg.Wait()
	for _, o := range results {
		if o != nil {
			out = append(out, *o)
		}
	}
	if ctx.Err() != nil && int(next.Load()) < n {
		err = ErrStopped
	}
	return out, int(bad.Load()), err
}

func (p *Plan) outcome(e *sim.Evaluator, build Builder, k int, picks []int, before fault, complaint func(Risk) bool) (*Outcome, error) {
	b, err := build(picks)
	if err != nil {
		return nil, err
	}
	now, links, err := faults(e, b)
	if err != nil {
		return nil, err
	}
	o := &Outcome{Index: k, Picks: append([]int(nil), picks...), Links: links}
	for _, i := range picks {
		o.Price += p.Options[i].Price
	}
	for r, risk := range Risks {
		n := now.count(r)
		if complaint(risk) {
			o.Complaint += n
		}
		if Safe(risk) {
			o.Breaks += now.fresh(before, r)
		} else {
			o.Quiet += n
		}
	}
	return o, nil
}

// fault holds for each gear a bit for each of Risks that is wrong.
type fault []uint16

func (f fault) count(risk int) (n int) {
	for _, g := range f {
		n += int(g >> risk & 1)
	}
	return n
}

// fresh counts the gears in which a risk is wrong that was right before; with
// another number of gears, by how many more it is wrong.
func (f fault) fresh(before fault, risk int) (n int) {
	if len(f) != len(before) {
		return max(0, f.count(risk)-before.count(risk))
	}
	for i := range f {
		n += int(f[i] &^ before[i] >> risk & 1)
	}
	return n
}

// faults finds what is wrong with a bike.
func faults(e *sim.Evaluator, b *sim.Bike) (fault, int, error) {
	if err := b.Validate(); err != nil {
		return nil, 0, err
	}
	links, err := b.ChooseLinks()
	if err != nil {
		return nil, 0, err
	}
	f := make(fault, 0, len(b.Rings)*len(b.Cogs))
	var ms []sim.Margin
	for ring := range b.Rings {
		for cog := range b.Cogs {
			if ms, err = e.Gear(ms[:0], b, ring, cog, links); err != nil {
				return nil, 0, err
			}
			var bits uint16
			for r, risk := range Risks {
				for _, m := range ms {
					if m.Value < 0 && m.Kind == risk.Kind && m.Direction == risk.Direction {
						bits |= 1 << r
					}
				}
			}
			f = append(f, bits)
		}
	}
	return f, links, nil
}

// Rank sorts outcomes: what is left of the complaint, what breaks, number of
// changes, price, what is not quiet, index.
func Rank(out []Outcome) {
	sort.SliceStable(out, func(i, j int) bool {
		a, b := out[i].goals(), out[j].goals()
		for k := range a {
			if a[k] != b[k] {
				return a[k] < b[k]
			}
		}
		return out[i].Index < out[j].Index
	})
}

// goals are what is to be small, in the order of ranking.
func (o *Outcome) goals() [5]float64 {
	return [5]float64{float64(o.Complaint), float64(o.Breaks), float64(len(o.Picks)), o.Price, float64(o.Quiet)}
}

// Best returns the ranked outcomes that no other dominates: none is as good in
// every goal and better in one.
func Best(out []Outcome) []Outcome {
	ranked := append([]Outcome(nil), out...)
	Rank(ranked)
	var best []Outcome
	for i := range ranked {
		g := ranked[i].goals()
		dominated := false
		for j := range best {
			dominated = dominated || dominates(best[j].goals(), g)
		}
		// Ranked before means not worse in the first goal that differs, so that
		// only earlier outcomes can dominate.
		if !dominated {
			best = append(best, ranked[i])
		}
	}
	return best
}

func dominates(a, b [5]float64) bool {
	better := false
	for i := range a {
		if a[i] > b[i] {
			return false
		}
		better = better || a[i] < b[i]
	}
	return better
}
