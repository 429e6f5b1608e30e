package cases

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/elementary"
)

// redrawStream is the random stream of redraws.
const redrawStream = 0x616476696365

// nearly is how much of the faults' chances a change may leave to be tried in a redraw: it is no cure
// of the bike as it was read.
const nearly = 0.75

// mostShortOfWorth is by how much a change may be from paying, money, to be tried in redraws.
const mostShortOfWorth = 100.0

// mostTried is how many changes are tried in a redraw.
const mostTried = 5

// stable draws lines and weights anew and counts in how many draws the verdict is the same; a change
// that does not hold in enough of them becomes MeasureLine.
func (w *adviser) stable(a *Advice) error {
	if a.Same = 1; a.Verdict == PutRight {
		return nil
	}
	off := [2]float64{w.lineWithin("front.line", &w.c.Front.Line), w.lineWithin("rear.line", &w.c.Rear.Line)}
	var tried []option // when they are first asked for
	same := 0
	for n := range redraws {
		if err := w.c.Stopped(); err != nil {
			return err
		}
		rng := rand.New(rand.NewPCG(redrawStream, uint64(n)))
		by := [2]float64{off[0] * (2*rng.Float64() - 1), off[1] * (2*rng.Float64() - 1)}
		rule := w.rule
		for k := range rule.Weights {
			rule.Weights[k] *= elementary.Pow(2, 2*rng.Float64()-1)
		}
		v, err := w.again(a, rule, by, &tried)
		if err == nil && v == a.Verdict {
			same++
		}
	}
	a.Same = float64(same) / redraws
	if a.Verdict == MakeChange && a.Same < leastSame {
		a.Verdict, a.Measure = MeasureLine, "front.line"
		if off[1] > off[0] {
			a.Measure = "rear.line"
		}
	}
	return nil
}

// tried are the changes that a redraw looks at, the likeliest cures first.
func (w *adviser) tried(a *Advice) []option {
	out := []option{}
	faults := a.Faults
	if len(faults) == 0 {
		faults = w.rule.Faults(&w.before, w.carried())
		for i := range a.Complaints {
			if a.Complaints[i].Fault.Of >= 0 && a.Complaints[i].Fault.Most > 0.1 {
				faults = append(faults, a.Complaints[i].Fault)
			}
		}
	}
	type near struct {
		o    option
		left float64
	}
	var list []near
	for _, o := range w.options {
		for i := range faults {
			if a.Do != nil && o.pick == a.Do.Pick || (&Advised{Known: w.kept(o.result)}).touches() {
				continue
			}
			x, _ := w.rule.Cure(&w.before, &o.is, faults[i:i+1], w.carried(), w.remedyCost(o), o.result.Surer)
			if x.Left <= nearly && x.Net > -mostShortOfWorth {
				list = append(list, near{o, x.Left})
				break
			}
		}
	}
	slices.SortStableFunc(list, func(a, b near) int { return cmp.Compare(a.left, b.left) })
	if a.Do != nil {
		i := slices.IndexFunc(w.options, func(o option) bool { return o.pick == a.Do.Pick })
		out = append(out, w.options[i])
	}
	for i := range list[:min(len(list), mostTried)] {
		out = append(out, list[i].o)
	}
	return out
}

func (w *adviser) remedyCost(o option) decide.Cost {
	return decide.Cost{Price: w.cand.Plan.Options[o.pick].Price, Minutes: w.cand.opts[o.pick].change.Minutes.Or(usualMinutes)}
}

// again is the verdict with lines that are off and other weights.
func (w *adviser) again(a *Advice, rule decide.Rule, by [2]float64, among *[]option) (Verdict, error) {
	was, err := w.displaced(nil, by, w.before.Share)
	if err != nil {
		return 0, err
	}
	var told []decide.Named
	for i := range a.Complaints {
		if f, ok := rule.Explained(&was, w.carried(), a.Complaints[i].Behind, a.Complaints[i].Gears, i); ok {
			told = append(told, f)
		}
	}
	var kept []*decide.Design
	v, _ := w.verdict(&was, told, len(a.Complaints) > 0, rule, func(faults []decide.Named) bool {
		if *among == nil {
			w.judge()
			*among = w.tried(a)
		}
		if kept == nil {
			kept = make([]*decide.Design, len(*among))
		}
		spared := faults[0].Told && w.spared(faults)
		for i, o := range *among {
			r := Advised{Cost: w.remedyCost(o)}
			if spared && !r.free() {
				continue
			}
			if kept[i] == nil {
				d, err := w.displaced([]int{o.pick}, by, o.is.Share)
				if err != nil {
					d = decide.Design{}
				}
				kept[i] = &d
			}
			if _, ok := rule.Cure(&was, kept[i], faults, w.carried(), r.Cost, o.result.Surer); ok {
				return true
			}
		}
		return false
	})
	return v, nil
}

// displaced judges the bike with changes and its lines off by so much, mm outboard.
func (w *adviser) displaced(picks []int, by [2]float64, share []float64) (d decide.Design, err error) {
	c, b, err := w.cand.build(picks)
	if err != nil {
		return d, err
	}
	v, design, err := w.judging.bikes.of(c, b, picks)
	if err != nil {
		return d, err
	}
	design.Bike = readOff(b, by)
	all, err := v.Means([]sim.Design{design})
	if err != nil {
		return d, err
	}
	return decide.Design{Chances: all[0], Share: share}, nil
}

// readOff returns a bike whose lines are off by so much from what was read; what was measured from
// chainring and cogs goes along.
func readOff(b *sim.Bike, by [2]float64) *sim.Bike {
	n := *b
	n.Rings, n.Cogs = slices.Clone(b.Rings), slices.Clone(b.Cogs)
	for i := range n.Rings {
		n.Rings[i].Line += by[0]
	}
	for i := range n.Cogs {
		n.Cogs[i].Line += by[1]
	}
	ring, cog := b.RingFace(), b.CogFace()
	if b.Stay != nil {
		s := *b.Stay
		n.Stay = &s
	}
	if b.Dropout != nil {
		d := *b.Dropout
		n.Dropout = &d
	}
	follow(&n, ring, cog)
	return &n
}

// lineWithin is how far a line may be off, mm.
func (w *adviser) lineWithin(path string, q *Quantity) float64 {
	if len(w.c.ownLines(path)) > 0 {
		return doubtful
	}
	line, err := w.c.asLine(path)
	if err != nil {
		return doubtful
	}
	in, ok, err := w.c.input(path, &line)
	switch {
	case err != nil || !ok && !line.Given:
		return doubtful
	case !ok:
		return 0
	}
	if line.Spread > 0 || line.Instrument != "" || len(line.Readings) > 0 { // its own, be it a guess
		return math.Sqrt(3) * in.U
	}
	return min(doubtful, math.Sqrt(3)*in.U)
}
