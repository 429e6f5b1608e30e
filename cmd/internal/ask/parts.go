package ask

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"sort"
	"sync/atomic"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// closely is how many combinations are looked at with every set.
const closely = 40

// ErrTooMany reports a catalogue of more combinations than are wanted.
var ErrTooMany = errors.New("put changes that exclude each other into one group")

// Screened are the combinations of a catalogue, each looked at with one set.
type Screened struct {
	Plan    *decide.Plan
	Judging *cases.Judging
	Size    int
	Found   []decide.Effect
	Failed  int
	Partial bool // stopped before all were looked at
	LeftOut []cases.LeftOut
}

// Screen looks at every combination of a catalogue's changes of a case. Watch is called with
// how many there are before it begins, and what it returns at the end; it may be nil. The
// error wraps ErrTooMany, or is as of Candidates, Judging or Search.
func Screen(ctx context.Context, c *cases.Case, cat *cases.Catalogue, complains func(sim.Concern) bool, w *decide.Weights, most int, watch func(n int, done *atomic.Int64) func()) (s Screened, err error) {
	cand, err := cat.For(c)
	if err != nil {
		return s, err
	}
	s.Plan, s.LeftOut = cand.Plan, cand.LeftOut
	if s.Size, err = s.Plan.Size(most); err != nil {
		return s, fmt.Errorf("%w; %w", err, ErrTooMany)
	}
	if s.Judging, err = cand.Judging(complains, w); err != nil {
		return s, c.Explain(err)
	}
	var done atomic.Int64
	if watch != nil {
		defer watch(s.Size, &done)()
	}
	s.Found, s.Failed, err = decide.Search(ctx, s.Plan, s.Judging.Screen, runtime.NumCPU(), &done)
	if s.Partial = errors.Is(err, decide.ErrStopped); s.Partial {
		err = nil
	}
	return s, c.Explain(err)
}

// Looked are combinations judged with every set, the best first.
type Looked struct {
	Best     []decide.Effect
	Expected map[int]*cases.Expected // by the combination's index
	Of       int
}

// Look judges the shortlist with every set and keeps the best. What cannot be falls out.
func (s *Screened) Look() Looked {
	list := decide.Shortlist(s.Found, closely)
	l := Looked{Expected: map[int]*cases.Expected{}, Of: len(list)}
	var good []decide.Effect
	for _, x := range list {
		e, err := s.Judging.Expect(x.Picks)
		if errors.Is(err, context.Canceled) {
			break
		}
		if err != nil || math.IsNaN(e.Judged.Sum()) {
			continue
		}
		x.Judged = e.Judged
		l.Expected[x.Index] = e
		good = append(good, x)
	}
	l.Best = decide.Best(good)
	return l
}

// Effort is what trouble a change must avoid to be worth its work, where nothing else is said.
const Effort = 0.05

// LookAtEach judges every option alone and the bike as it is with every set, the best first
// when each change costs an Effort: for changes without prices, of which none stands for
// another. What cannot be falls out.
func LookAtEach(c *cases.Case, cat *cases.Catalogue, w *decide.Weights) (*Screened, *Looked, error) {
	cand, err := cat.For(c)
	if err != nil {
		return nil, nil, err
	}
	s := &Screened{Plan: cand.Plan}
	if s.Judging, err = cand.Judging(func(sim.Concern) bool { return true }, w); err != nil {
		return nil, nil, c.Explain(err)
	}
	l := &Looked{Expected: map[int]*cases.Expected{0: s.Judging.Before()}, Of: 1 + len(s.Plan.Options)}
	l.Best = []decide.Effect{{Judged: s.Judging.Before().Judged}}
	for i := range s.Plan.Options {
		e, err := s.Judging.Expect([]int{i})
		if errors.Is(err, context.Canceled) {
			break
		}
		if err != nil || math.IsNaN(e.Judged.Sum()) {
			continue
		}
		l.Expected[1+i] = e
		l.Best = append(l.Best, decide.Effect{Index: 1 + i, Picks: []int{i}, Judged: e.Judged})
	}
	worth := func(e *decide.Effect) float64 { return e.Judged.Sum() + Effort*float64(len(e.Picks)) }
	sort.SliceStable(l.Best, func(i, j int) bool { return worth(&l.Best[i]) < worth(&l.Best[j]) })
	return s, l, nil
}

// Doc returns the document of one of the best, by its rank.
func (l *Looked) Doc(s *Screened, rank int) show.PartsBest {
	x := &l.Best[rank]
	return show.BestOf(s.Plan, x, l.Expected[x.Index], s.Judging.Before())
}
