package learn

import (
	"cmp"
	"math"
	"slices"

	"chainpath/sim"
	"chainpath/sim/ensemble"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
)

// Lesson holds what observations of a bicycle change: rates, unknown numbers, and how well
// each observation fits all of them.
type Lesson struct {
	Particles int        // possible bicycles
	Stages    int        // powers of the likelihood up to 1
	Accepted  [2]float64 // share of the moves accepted at the last: of numbers, of offsets
	Ancestors int        // first bicycles that the last ones come from
	Evaluated int        // bicycles judged
	Moves     []Moved    // the free numbers' shares in their order, then the lines in mm
	Misread   [2]float64 // chances that front and rear line were misread
	Seen      []Told
	Rates     []Rate        // of every gear and fault that can be observed
	Faults    []sim.Concern // of which something was seen
	Readings  []string      // names of those that are drawn
	Kept      []Kept        // judge.Sets of the particles
}

// Moved is an unknown before and after: its 5, 50 and 95 % points.
type Moved struct {
	Name, Unit    string // of a line; those of a free number stand in its own table
	Before, After [3]float64
}

// Told reports whether the observations told of it: its median moved by an eighth of its
// range from 5 to 95 %, or that range shrank by a quarter. Less can be chance with a few hundred
// possible bicycles.
func (m *Moved) Told() bool {
	wide := m.Before[2] - m.Before[0]
	return wide > 0 && (math.Abs(m.After[1]-m.Before[1]) >= wide/8 || m.After[2]-m.After[0] <= 0.75*wide)
}

// Told is an observation beside all of them.
type Told struct {
	Seen
	Before, After float64 // its chance; of several gears, in the one where it is least likely
	Blind         float64 // its chance if nothing were known: 1/2, or 1/(tries+1)
}

// unlikely is the share of an observation's blind chance below which it stays unlikely by all
// that was seen (assumption).
const unlikely = 0.2

// Unlikely reports whether an observation stays unlikely by all that was seen, itself included.
func (j *Told) Unlikely() bool { return j.After < unlikely*j.Blind }

// Rate is the share of tries in which a fault happens in a gear.
type Rate struct {
	Gear        int // ring times the number of cogs and cog
	Concern     sim.Concern
	Off, Of     int     // what was counted there
	Mean        float64 // by all that was seen
	Least, Most int     // in how many of the next ten it happens, with a chance of 0.8
	InTen       float64 // chance that it happens more often than once in ten
}

// Numbers of a rate as it is told.
const (
	NextTries  = 10
	nextMiddle = 0.8
)

// MisreadFrom is the chance from which a line counts as misread (assumption); before anything was
// seen it is 0.1.
const MisreadFrom = 0.5

// Of draws possible bicycles by what was seen, each with its own readings and its own offsets from what
// the model says. Before are the chances of every gear by every set before anything was seen, as the bike
// is and after each of Changes. The same
// source gives the same bytes. Errors are those of its Fail and Stopped.
func (l *Learning) Of(seen []Seen, before [][][]sim.Chances, seed uint64) (*Lesson, error) {
	cloud, all, err := l.run(Particles, seed)
	if err != nil {
		return nil, err
	}
	lesson := &Lesson{Faults: l.faults, Readings: l.names}
	for _, k := range l.thinned(all) {
		lesson.Kept = append(lesson.Kept, all[k].kept(l))
	}
	lesson.Particles, lesson.Stages, lesson.Accepted = len(all), cloud.Stages, cloud.Accepted
	lesson.Ancestors, lesson.Evaluated = cloud.Ancestors, cloud.Evaluated
	lesson.Moves, lesson.Misread = l.moves(cloud, all), l.misread(all)
	lesson.Seen, lesson.Rates = l.told(seen, before, all)
	return lesson, nil
}

// thinned returns the numbers of the possible bicycles that are kept: evenly from the mildest to
// the worst, so that means change little.
func (l *Learning) thinned(all []learnt) (kept []int) {
	worse := make([]float64, len(all))
	order := make([]int, len(all))
	for i := range all {
		order[i], worse[i] = i, all[i].sum(l)
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(worse[a], worse[b]) })
	for k := range judge.Sets {
		kept = append(kept, order[(2*k+1)*len(all)/(2*judge.Sets)])
	}
	return kept
}

// moves returns every unknown before and after.
func (l *Learning) moves(cloud *infer.Cloud, all []learnt) (out []Moved) {
	set := make([]float64, len(l.Branch))
	before := make([][]float64, len(l.Branch))
	for _, numbers := range cloud.Prior {
		l.prior.set(set, numbers)
		for i, u := range set {
			before[i] = append(before[i], u)
		}
	}
	for i := range before {
		var after []float64
		for k := range all {
			after = append(after, all[k].set[i])
		}
		out = append(out, Moved{Before: middles(before[i]), After: middles(after)})
	}
	for i, name := range lineNames {
		var was, is []float64
		for _, extra := range cloud.Extra {
			was = append(was, extra[i])
		}
		for k := range all {
			is = append(is, all[k].Levels[len(all[k].Levels)-len(lineNames)+i])
		}
		out = append(out, Moved{name, "mm", middles(was), middles(is)})
	}
	return out
}

// middles returns the 5, 50 and 95 % points of values.
func middles(values []float64) [3]float64 {
	even := &ensemble.Weighted{Weight: make([]float64, len(values))}
	for i := range even.Weight {
		even.Weight[i] = 1 / float64(len(values))
	}
	return [3]float64(even.Quantiles(values, 0.05, 0.5, 0.95))
}

// misread returns the chances that front and rear line were misread.
func (l *Learning) misread(all []learnt) (out [2]float64) {
	for i := range all {
		z := all[i].Numbers[len(all[i].Numbers)-2:]
		for j := range out {
			if infer.Normal(z[j]) > 1-Misread {
				out[j] += 1 / float64(len(all))
			}
		}
	}
	return out
}

// spot is a fault in a gear, with a change that was tried or, 0, none.
type spot struct {
	tried int
	k     sim.Concern
	g     int
}

// told returns how likely each observation is before and after, and the rates of all gears. Before are
// the chances by change, set and gear.
func (l *Learning) told(seen []Seen, before [][][]sim.Chances, all []learnt) (out []Told, rates []Rate) {
	was, is := map[spot]*infer.Rates{}, map[spot]*infer.Rates{}
	for tried := range before {
		for g, wanted := range l.want(tried) {
			for _, k := range sim.Concerns(func(h *sim.Hazard) bool { return h.Seen != "" }) {
				if !before[0][0][g].Is(k) || tried > 0 && !(wanted && slices.Contains(l.faults, k)) {
					continue
				}
				at := spot{tried, k, g}
				if r := l.rates(all, tried, k, g); r != nil {
					if is[at] = r; tried == 0 {
						rates = append(rates, rateOf(r, k, g, seen))
					}
				}
				c := SpreadOf(k).Counter(false)
				for i := range before[tried] {
					c.Add(0, SpreadOf(k).Level(before[tried][i][g][k]))
				}
				was[at] = c.Rates()
			}
		}
	}
	for _, s := range seen {
		out = append(out, l.likely(&s, was, is))
	}
	return out, rates
}

// rateOf tells a rate, with what was counted in the gear.
func rateOf(r *infer.Rates, k sim.Concern, g int, seen []Seen) Rate {
	x := Rate{Gear: g, Concern: k, Mean: r.Mean(), InTen: r.Above(0.1)}
	x.Least, x.Most = r.Next(NextTries, nextMiddle)
	for i := range seen {
		if s := &seen[i]; s.One == k && s.Of > 0 && s.Gears[0] == g && s.Moved == 0 {
			x.Off, x.Of = x.Off+s.Off, x.Of+s.Of
		}
	}
	return x
}

// likely returns how likely an observation is before and after.
func (l *Learning) likely(s *Seen, was, is map[spot]*infer.Rates) Told {
	j := Told{Seen: *s, Before: 1, After: 1, Blind: 0.5}
	if s.Of > 0 {
		j.Blind = 1 / float64(s.Of+1)
	}
	kinds := s.None
	if kinds == nil {
		kinds = []sim.Concern{s.One}
	}
	if s.Any {
		j.Before, j.After = 0, 0
	}
	for _, g := range s.Gears {
		for _, k := range kinds {
			at := spot{l.tried(s), k, g}
			a, b := was[at], is[at]
			if a == nil || b == nil {
				continue
			}
			x, y := a.Fault(), b.Fault()
			switch {
			case s.Of > 0:
				x, y = a.Count(s.Off, s.Of), b.Count(s.Off, s.Of)
			case s.None != nil:
				x, y = 1-x, 1-y
			}
			if s.Any {
				j.Before, j.After = max(j.Before, x), max(j.After, y)
			} else {
				j.Before, j.After = min(j.Before, x), min(j.After, y)
			}
		}
	}
	return j
}
