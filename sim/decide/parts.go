package decide

import (
	"context"
	"errors"
	"fmt"
	"math"
	"sort"
	"sync/atomic"

	"chainpath/sim/await"
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

// Effect is what one combination does.
type Effect struct {
	Index int     // of the combination, 0 is no change
	Picks []int   // options
	Price float64 // together
	Judged
}

// Judged is what is to be expected of a combination: of trouble, the weighted sum of
// Expect, what is left of the complaint, and by how much all other concerns together grow.
type Judged struct {
	Left, Harm float64
	Links      int // chain length
}

// Sum is what is to be small.
func (j *Judged) Sum() float64 { return j.Left + j.Harm }

// Judge evaluates one combination of changes, or returns an error if it cannot be built. One
// goroutine each.
type Judge func(picks []int) (Judged, error)

// ErrStopped reports a search that was stopped early; what it found by then is
// returned with it.
var ErrStopped = errors.New("decide: stopped early")

// Search judges every combination of a plan that goes together, on so many workers, and
// returns the outcomes in the order of their index. Combinations that cannot be are left
// out; their number is failed. done, when not nil, counts the combinations looked at.
// The result does not depend on the number of workers. When ctx ends first, the outcomes
// so far come with ErrStopped.
func Search(ctx context.Context, p *Plan, newJudge func() Judge, workers int, done *atomic.Int64) (out []Effect, failed int, err error) {
	n, err := p.Size(math.MaxInt32)
	if err != nil {
		return nil, 0, err
	}
	results := make([]*Effect, n)
	var next, bad atomic.Int64
	var wg await.Group
	for range max(workers, 1) {
		judge := newJudge()
		wg.Go(func() {
			var picks []int
			for ctx.Err() == nil {
				k := int(next.Add(1)) - 1
				if k >= n {
					return
				}
				var ok bool
				if picks, ok = p.picks(k, picks); ok {
					if j, err := judge(picks); err == nil {
						results[k] = p.outcome(k, picks, j)
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

func (p *Plan) outcome(k int, picks []int, j Judged) *Effect {
	o := &Effect{Index: k, Picks: append([]int(nil), picks...), Judged: j}
	for _, i := range picks {
		o.Price += p.Options[i].Price
	}
	return o
}

// Shortlist returns the outcomes that are worth a closer look: no change, those that none
// beats in trouble, price and number of changes, and besides the best, most in all, in
// the order of trouble.
func Shortlist(out []Effect, most int) []Effect {
	ranked := append([]Effect(nil), out...)
	sort.SliceStable(ranked, func(i, j int) bool { return ranked[i].Sum() < ranked[j].Sum() })
	take := make([]bool, len(ranked))
	n := 0
	pick := func(i int) {
		if !take[i] && n < most {
			take[i] = true
			n++
		}
	}
	type cost struct {
		changes int
		price   float64
	}
	var front []cost
	for i := range ranked {
		c := cost{len(ranked[i].Picks), ranked[i].Price}
		beaten := false
		for _, f := range front {
			beaten = beaten || f.changes <= c.changes && f.price <= c.price
		}
		if ranked[i].Index == 0 {
			pick(i)
		}
		if !beaten {
			front = append(front, c)
			pick(i)
		}
	}
	for i := range ranked {
		pick(i)
	}
	var list []Effect
	for i, ok := range take {
		if ok {
			list = append(list, ranked[i])
		}
	}
	return list
}

// Best returns the outcomes that are worth their price and changes, the least trouble
// first: one goes when another that costs no more and changes no more has less trouble,
// or as little within what chances can tell.
func Best(out []Effect) []Effect {
	order := append([]Effect(nil), out...)
	sort.SliceStable(order, func(i, j int) bool {
		a, b := &order[i], &order[j]
		switch {
		case len(a.Picks) != len(b.Picks):
			return len(a.Picks) < len(b.Picks)
		case a.Price != b.Price:
			return a.Price < b.Price
		case a.Sum() != b.Sum():
			return a.Sum() < b.Sum()
		}
		return a.Index < b.Index
	})
	var best []Effect
	for i := range order {
		o := &order[i]
		hidden := false
		for j := range best {
			b := &best[j] // no more changes: it came before
			hidden = hidden || b.Price <= o.Price && asGood(b.Sum(), o.Sum())
		}
		if !hidden {
			best = append(best, *o)
		}
	}
	sort.SliceStable(best, func(i, j int) bool { return best[i].Sum() < best[j].Sum() })
	return best
}
