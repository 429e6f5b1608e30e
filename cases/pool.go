package cases

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"sync/atomic"

	"chainpath/sim"
	"chainpath/sim/elementary"
	"chainpath/sim/ensemble"
	"chainpath/sim/score"
)

// Numbers of pooling: how often each bike's readings are drawn for every candidate, so that
// none is judged by one lucky reading, and how many other bikes of its kind there must be
// before a bike starts from them alone and not from the whole shop.
const (
	pooledReadings = 4
	leastOfAKind   = 2
)

// Pooled is what many bikes teach together, and how well each would have been foretold
// by the others.
type Pooled struct {
	Memory *Memory
	Bikes  []PooledBike
	Scores []PooledScore // of the concerns that something was seen of
	Bins   []score.Bin   // how often what was given a chance happened, all concerns together
}

// PooledBike is one bike, with the mean log loss of what was seen of it.
type PooledBike struct {
	Name     string
	Speeds   int
	Seen     int     // observations
	Outcomes int     // yes or no of one gear; of some observations none
	OwnKind  bool    // left out it starts from its kind, else from the whole shop
	Shipped  float64 // by the shipped sets
	LeftOut  float64 // by the other bikes
}

// PooledScore is how one concern is foretold: by the shipped sets, by the other bikes of the
// shop, and by a rule of one number and the base rate, fitted to the other bikes.
type PooledScore struct {
	Concern                      sim.Concern
	Shipped, LeftOut, Rule, Rate score.Tally
}

// outcome is what was seen of one concern in one gear: yes or no, or in tries whether ever.
type outcome struct {
	gear    int
	concern sim.Concern
	tries   int
	yes     bool
	number  float64
}

// outcomes returns what an observation says of single gears; nothing where it is of any of
// several.
func (s *Seen) outcomes() (out []outcome) {
	if s.isAny {
		return nil
	}
	for _, g := range s.Gears {
		for _, k := range s.none {
			out = append(out, outcome{gear: g, concern: k, tries: 1})
		}
		if s.none == nil {
			out = append(out, outcome{gear: g, concern: s.one, tries: max(1, s.Of), yes: s.Of == 0 || s.Off > 0})
		}
	}
	return out
}

// pooling is one bike on its way: its log likelihood under every candidate, and the chance
// of every outcome, means over its readings.
type pooling struct {
	name     string
	c        *Case
	nominal  *sim.Bike
	seen     []Seen
	outcomes []outcome
	seed     uint64 // of its readings, by what the case says, so that the order of bikes does not matter
	log      []float64
	chance   [][]float32 // by candidate, then outcome
}

// Pool learns from many cases at once what is common to the bikes of a kind, which is the
// chain's speeds; each bike has its own readings, drawn along. Names are for the reader,
// one a case. Done counts candidates of all bikes. A bike of which nothing was seen is
// refused. Errors are *Error, or wrap ErrSets.
func Pool(names []string, all []*Case, version string, done *atomic.Int64) (*Pooled, error) {
	shipped, err := shippedSets()
	if err != nil {
		return nil, err
	}
	bikes := make([]*pooling, len(all))
	for i, c := range all {
		if bikes[i], err = newPooling(names[i], c); err != nil {
			return nil, err
		}
	}
	sets := renewed(shipped, candidates)
	for _, b := range bikes {
		if err := b.foretell(sets, done); err != nil {
			return nil, err
		}
	}
	p := &Pooled{}
	if p.Memory, err = remember(bikes, sets, version); err != nil {
		return nil, err
	}
	return p, p.leaveOut(bikes)
}

// Pools returns how many steps Pool takes.
func Pools(bikes int) int { return bikes * candidates }

// renewed draws candidates around sets, as they can be written down.
func renewed(sets [][]float64, n int) [][]float64 {
	r := ensemble.NewRenewal(sets, learnedKeep)
	out := make([][]float64, n)
	for k := range out {
		out[k] = r.Set(k, rand.New(rand.NewPCG(uint64(k), renewalStream)))
		for i := range out[k] {
			out[k][i] = math.Round(out[k][i]*255) / 255
		}
	}
	return out
}

func newPooling(name string, c *Case) (*pooling, error) {
	b := &pooling{name: name, c: c.clone()}
	b.c.Learned = nil
	var err error
	if b.seen, err = c.Seen(); err != nil {
		return nil, err
	}
	if len(b.seen) == 0 {
		return nil, c.fail("observations", "nothing was seen of this bike, want at least one of observations or symptoms")
	}
	text, err := plainText(b.c)
	if err != nil {
		return nil, err
	}
	h := fnv.New64a()
	h.Write(text)
	b.seed = h.Sum64()
	if b.nominal, err = c.Bike(); err != nil {
		return nil, err
	}
	r, err := b.nominal.Evaluate()
	if err != nil {
		return nil, c.Explain(err)
	}
	known, err := b.c.Chances(nil)
	if err != nil {
		return nil, err
	}
	for i := range b.seen {
		for _, o := range b.seen[i].outcomes() {
			if known[o.gear].Is(o.concern) {
				o.number = r.Gears[o.gear].OneNumber(o.concern)
				b.outcomes = append(b.outcomes, o)
			}
		}
	}
	return b, nil
}

// foretell fills what every candidate says of the bike.
func (b *pooling) foretell(sets [][]float64, done *atomic.Int64) error {
	b.log, b.chance = make([]float64, len(sets)), make([][]float32, len(sets))
	return b.c.eachOf(len(sets), func(d *Drawn) func(k int) {
		o := new(sim.Odds)
		return func(k int) {
			b.one(d, o, sets[k], k)
			done.Add(1)
		}
	})
}

// one fills what candidate k says. Its likelihood is the mean over the readings.
func (b *pooling) one(d *Drawn, o *sim.Odds, set []float64, k int) {
	b.chance[k] = make([]float32, len(b.outcomes))
	var logs []float64
	for n := range uint64(pooledReadings) {
		g := guess{start: start{set, b.seed + uint64(k*pooledReadings) + n}}
		if g.foretell(d, o, b.nominal); g.err != nil {
			continue
		}
		g.hold(b.seen)
		logs = append(logs, g.log(b.seen, -1))
		for j := range b.outcomes {
			b.chance[k][j] += float32(b.outcomes[j].chance(g.all))
		}
	}
	b.log[k] = math.Inf(-1)
	if len(logs) > 0 {
		b.log[k] = logMean(logs)
		for j := range b.chance[k] {
			b.chance[k][j] /= float32(len(logs))
		}
	}
}

// chance returns the chance of yes: of ever, in several tries.
func (o *outcome) chance(all []sim.Chances) float64 {
	return 1 - math.Pow(1-Unsure(o.concern, all[o.gear][o.concern]), float64(o.tries))
}

// logMean returns the logarithm of the mean of what logarithms are given of.
func logMean(logs []float64) float64 {
	most, sum := math.Inf(-1), 0.0
	for _, l := range logs {
		most = math.Max(most, l)
	}
	for _, l := range logs {
		sum += elementary.Exp(l - most)
	}
	return most + math.Log(sum/float64(len(logs)))
}

// weighed returns candidates weighted by the bikes that keep says count.
func weighed(bikes []*pooling, keep func(b *pooling) bool) (*ensemble.Weighted, int, error) {
	logs := make([]float64, candidates)
	n := 0
	for _, b := range bikes {
		if keep(b) {
			n++
			for k, l := range b.log {
				logs[k] += l
			}
		}
	}
	w, err := ensemble.Weigh(logs, learnedLeast)
	return w, n, err
}

// ofKind says which bikes count for a kind; 0 is the whole shop.
func ofKind(speeds int) func(b *pooling) bool {
	return func(b *pooling) bool { return speeds == 0 || b.c.Speeds == speeds }
}

// leaveOut foretells each bike by the others.
func (p *Pooled) leaveOut(bikes []*pooling) error {
	byConcern := make([][2][]score.Prediction, sim.NumConcerns)
	var all []score.Prediction
	even := &ensemble.Weighted{Weight: make([]float64, candidates)}
	for _, b := range bikes {
		left := PooledBike{Name: b.name, Speeds: b.c.Speeds, Seen: len(b.seen), Outcomes: len(b.outcomes)}
		same := func(o *pooling) bool { return o != b && o.c.Speeds == b.c.Speeds }
		w, n, err := weighed(bikes, same)
		if left.OwnKind = n >= leastOfAKind; !left.OwnKind {
			w, n, err = weighed(bikes, func(o *pooling) bool { return o != b })
		}
		if err != nil {
			return b.c.fail("observations", "the other %d bikes leave too little to learn from: %s", n, err)
		}
		for k, l := range b.log {
			if even.Weight[k] = 1; math.IsInf(l, -1) {
				even.Weight[k] = 0
			}
		}
		for j, o := range b.outcomes {
			was, is := b.mean(even, j), b.mean(w, j)
			left.Shipped += score.LogLoss(was, o.yes) / float64(len(b.outcomes))
			left.LeftOut += score.LogLoss(is, o.yes) / float64(len(b.outcomes))
			for i, c := range [...]float64{was, is} {
				byConcern[o.concern][i] = append(byConcern[o.concern][i], score.Prediction{P: c, Happened: o.yes, Group: b.name, X: o.number})
			}
			all = append(all, score.Prediction{P: is, Happened: o.yes})
		}
		p.Bikes = append(p.Bikes, left)
	}
	for k, o := range byConcern {
		if err := p.add(sim.Concern(k), o[0], o[1]); err != nil {
			return err
		}
	}
	var err error
	if len(all) > 0 {
		p.Bins, err = score.Reliability(all, []float64{0, 0.02, 0.1, 0.35, 0.65, 1})
	}
	return err
}

// mean returns the mean chance of an outcome under weights, kept off 0 and 1.
func (b *pooling) mean(w *ensemble.Weighted, j int) float64 {
	sum, all := 0.0, 0.0
	for k, x := range w.Weight {
		if !math.IsInf(b.log[k], -1) {
			sum += x * float64(b.chance[k][j])
			all += x
		}
	}
	return OffTheEnds(sum / all)
}

// add appends the scores of a concern that was seen of more than one bike.
func (p *Pooled) add(k sim.Concern, shipped, out []score.Prediction) error {
	groups := map[string]bool{}
	for _, o := range out {
		groups[o.Group] = true
	}
	if len(groups) < 2 {
		return nil
	}
	s := PooledScore{Concern: k}
	var err error
	if s.Shipped, err = score.Count(shipped, score.Cut); err != nil {
		return err
	}
	if s.LeftOut, err = score.Count(out, score.Cut); err != nil {
		return err
	}
	r, err := score.RivalsOf(out)
	if err != nil {
		return fmt.Errorf("%s: %w", k, err)
	}
	s.Rule, s.Rate = r.RuleOut, r.RateOut
	p.Scores = append(p.Scores, s)
	return nil
}
