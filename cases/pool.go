package cases

import (
	"cmp"
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"
	"sync/atomic"

	"chainpath/sim"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
	"chainpath/sim/score"
)

// Numbers of pooling: how many bikes of its kind a bike starts from, and not from the whole shop; in
// how many turns bikes are left out at most; possible bikes of each; chains and sweeps of what is
// common, for the memory and where bikes are left out; and the random streams of new bikes and of
// their readings.
const (
	leastOfAKind  = 2
	mostTurns     = 8
	pooledOfEach  = 120
	kindStream    = 22
	foretoldAlone = 23
)

var (
	kindChains = [2]int{40, 60}
	leftChains = [2]int{20, 24}
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
	tries   int // 0: a word
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
			out = append(out, outcome{gear: g, concern: k})
		}
		if s.none == nil {
			out = append(out, outcome{gear: g, concern: s.one, tries: s.Of, yes: s.Of == 0 || s.Off > 0})
		}
	}
	return out
}

// pooling is one bike on its way: what was seen of it, and what its outcomes are.
type pooling struct {
	name     string
	c        *Case
	seen     []Seen
	outcomes []outcome
	seed     uint64 // by what the case says, so that the order of bikes does not matter
	l        *learning
	member   infer.Member
}

// Pool learns from many cases at once what is common to the bikes of a kind, which is the
// chain's speeds: half of the variance of their unknown numbers. Each bike has its own readings and
// offsets. Names are for the reader, one a case. Done counts steps of all bikes. A bike of which
// nothing was seen is refused. Errors are *Error, or wrap ErrSets.
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
	shop := slices.Clone(bikes)
	slices.SortStableFunc(shop, func(a, b *pooling) int { return cmp.Compare(a.seed, b.seed) })
	for _, b := range shop {
		if err := b.alone(shipped); err != nil {
			return nil, err
		}
		done.Add(1)
	}
	p := &Pooled{}
	if p.Memory, err = remember(shop, version); err != nil {
		return nil, err
	}
	return p, p.leaveOut(bikes, shop, shipped, done)
}

// Pools returns how many steps Pool takes.
func Pools(bikes int) int { return 2 * bikes }

// alone learns from what was seen of the bike itself.
func (b *pooling) alone(shipped [][]float64) error {
	var err error
	if b.l, err = b.c.newLearning(shipped, b.seen, nil); err != nil {
		return err
	}
	b.member = infer.Member{Model: b.l.model}
	for i := range b.l.drawers {
		b.member.Eval = append(b.member.Eval, b.l.drawer(i).evaluate)
	}
	cloud, err := b.l.cloud(pooledOfEach, b.seed)
	if err == nil {
		b.member.Start = cloud.Particles
	}
	return err
}

// common returns sets of a new bike of the kind of some bikes.
func common(bikes []*pooling, size [2]int) ([][]float64, error) {
	var members []infer.Member
	for _, b := range bikes {
		members = append(members, b.member)
	}
	first := bikes[0]
	draws, err := infer.LearnKind(members, len(freeNumbers), size[0], size[1], 0, first.c.Stopped)
	if err != nil {
		return nil, err
	}
	sets := make([][]float64, judge.Sets)
	own := make([]float64, len(freeNumbers))
	for k := range sets {
		rng := rand.New(rand.NewPCG(uint64(k), kindStream))
		for j := range own {
			own[j] = rng.NormFloat64()
		}
		infer.Join(draws[(2*k+1)*len(draws)/(2*judge.Sets)], own)
		sets[k] = make([]float64, len(freeNumbers))
		first.l.prior.set(sets[k], own)
		for i, u := range sets[k] { // as it is written down
			sets[k][i] = math.Round(u*255) / 255
		}
	}
	return sets, nil
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
	nominal, err := c.Bike()
	if err != nil {
		return nil, err
	}
	r, err := nominal.Evaluate()
	if err != nil {
		return nil, c.Explain(err)
	}
	known, err := b.c.Chances()
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

// foretell returns the chance of every outcome by sets, a draw of the readings with each: of ever,
// in several tries. It is kept off 0 and 1.
func (b *pooling) foretell(sets [][]float64) ([]float64, error) {
	all := make([][]sim.Chances, len(sets))
	err := b.c.eachOf(len(sets), func(d *Drawn) func(k int) {
		o := new(sim.Odds)
		return func(k int) {
			x, f, err := d.Bike(sets[k], rand.New(rand.NewPCG(b.seed+uint64(k), foretoldAlone)).Float64)
			if err != nil {
				return
			}
			links, err := d.Chain(x)
			chances := make([]sim.Chances, len(x.Rings)*len(x.Cogs))
			if err == nil && o.Gears(chances, x, f, links) == nil {
				all[k] = chances
			}
		}
	})
	if err != nil {
		return nil, err
	}
	out := make([]float64, len(b.outcomes))
	for j := range b.outcomes {
		out[j] = b.outcomes[j].chance(all)
	}
	return out, nil
}

// chance returns the chance of yes by what every set gives; nil of one that cannot be.
func (o *outcome) chance(all [][]sim.Chances) float64 {
	s := spreadOf(o.concern)
	c := s.Counter(false)
	for _, gears := range all {
		if gears != nil && gears[o.gear].Is(o.concern) {
			c.Add(0, s.Level(Unsure(o.concern, gears[o.gear][o.concern])))
		}
	}
	if r := c.Rates(); o.tries > 0 {
		return judge.OffTheEnds(1 - r.Count(0, o.tries))
	} else {
		return judge.OffTheEnds(r.Fault())
	}
}

// ofKind says which bikes count for a kind; 0 is the whole shop.
func ofKind(speeds int) func(b *pooling) bool {
	return func(b *pooling) bool { return speeds == 0 || b.c.Speeds == speeds }
}

// turn is the bikes that are left out together, of one kind.
type turn struct{ number, speeds int }

// leaveOut foretells each bike by the others, in up to mostTurns turns: of few bikes each alone is
// left out, of many some together.
func (p *Pooled) leaveOut(bikes, shop []*pooling, shipped [][]float64, done *atomic.Int64) error {
	turns := min(len(shop), mostTurns)
	sets := map[turn][][]float64{}
	byConcern := make([][2][]score.Prediction, sim.NumConcerns)
	var all []score.Prediction
	for _, b := range bikes {
		left := PooledBike{Name: b.name, Speeds: b.c.Speeds, Seen: len(b.seen), Outcomes: len(b.outcomes)}
		number := slices.Index(shop, b) % turns
		others := kindWithout(shop, number, turns, b.c.Speeds)
		at := turn{number, b.c.Speeds}
		if left.OwnKind = len(others) >= leastOfAKind; !left.OwnKind {
			at.speeds, others = 0, kindWithout(shop, number, turns, 0)
		}
		if len(others) == 0 { // of one bike alone
			sets[at] = shipped
		} else if sets[at] == nil {
			var err error
			if sets[at], err = common(others, leftChains); err != nil {
				return err
			}
		}
		was, err := b.foretell(shipped)
		if err != nil {
			return err
		}
		is, err := b.foretell(sets[at])
		if err != nil {
			return err
		}
		for j, o := range b.outcomes {
			left.Shipped += score.LogLoss(was[j], o.yes) / float64(len(b.outcomes))
			left.LeftOut += score.LogLoss(is[j], o.yes) / float64(len(b.outcomes))
			for i, c := range [...]float64{was[j], is[j]} {
				byConcern[o.concern][i] = append(byConcern[o.concern][i], score.Prediction{P: c, Happened: o.yes, Group: b.name, X: o.number})
			}
			all = append(all, score.Prediction{P: is[j], Happened: o.yes})
		}
		p.Bikes = append(p.Bikes, left)
		done.Add(1)
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

// kindWithout returns the bikes of a kind, 0 for the whole shop, but those of a turn.
func kindWithout(shop []*pooling, number, turns, speeds int) (others []*pooling) {
	for i, b := range shop {
		if i%turns != number && ofKind(speeds)(b) {
			others = append(others, b)
		}
	}
	return others
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
