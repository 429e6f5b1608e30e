package learn

import (
	"cmp"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"sync/atomic"

	"chainpath/sim"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
	"chainpath/sim/score"
)

// LeastOfAKind is how many bikes of its kind a bike starts from, and not from the whole shop.
const LeastOfAKind = 2

// Numbers of pooling: in how many turns bikes are left out at most; possible bikes of each; chains and
// sweeps of what is common, for the memory and where bikes are left out; and the random streams of new
// bikes and of their readings.
const (
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
	Kinds  []Kind // the whole shop first
	Bikes  []PooledBike
	Scores []PooledScore // of the concerns that something was seen of
	Bins   []score.Bin   // how often what was given a chance happened, all concerns together
}

// Kind is what the bikes of one kind have in common.
type Kind struct {
	Speeds int // of the chain; 0: the whole shop
	Bikes  int
	Seen   int         // observations of them
	Sets   [][]float64 // of a new bike's free numbers
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

// Pooling is one bike of a shop.
type Pooling struct {
	Source
	Name   string // for the reader
	Speeds int    // of its chain, which is its kind
	Seed   uint64 // by what the bike is, so that the order of bikes does not matter
	Seen   []Seen

	learning *Learning
	outcomes []outcome
	member   infer.Member
}

// Pool learns from many bikes at once what is common to those of a kind, which is the chain's speeds:
// half of the variance of their unknown numbers. Each bike has its own readings and offsets. Known are
// the chances of each bike's gears by shipped sets. Done counts steps of all bikes. Errors are those of
// the bikes' sources.
func Pool(bikes []*Pooling, known [][]sim.Chances, shipped [][]float64, done *atomic.Int64) (*Pooled, error) {
	for i, b := range bikes {
		if err := b.tell(known[i]); err != nil {
			return nil, err
		}
	}
	shop := slices.Clone(bikes)
	slices.SortStableFunc(shop, func(a, b *Pooling) int { return cmp.Compare(a.Seed, b.Seed) })
	for _, b := range shop {
		if err := b.alone(shipped); err != nil {
			return nil, err
		}
		done.Add(1)
	}
	p := &Pooled{}
	if err := p.remember(shop); err != nil {
		return nil, err
	}
	return p, p.leaveOut(bikes, shop, shipped, done)
}

// Pools returns how many steps Pool takes.
func Pools(bikes int) int { return 2 * bikes }

// alone learns from what was seen of the bike itself.
func (b *Pooling) alone(shipped [][]float64) error {
	var err error
	if b.learning, err = New(b.Source, shipped, b.Seen); err != nil {
		return err
	}
	b.member = infer.Member{Model: b.learning.Model}
	for i := range b.learning.drawers {
		b.member.Eval = append(b.member.Eval, b.learning.Judge(i).evaluate)
	}
	cloud, err := b.learning.cloud(pooledOfEach, b.Seed)
	if err == nil {
		b.member.Start = cloud.Particles
	}
	return err
}

// remember finds what the bikes of every kind have in common, and those of the whole shop.
func (p *Pooled) remember(bikes []*Pooling) error {
	kinds := []int{0}
	for _, b := range bikes {
		if !slices.Contains(kinds, b.Speeds) {
			kinds = append(kinds, b.Speeds)
		}
	}
	slices.Sort(kinds)
	for _, speeds := range kinds {
		of := kindWithout(bikes, -1, 1, speeds)
		k := Kind{Speeds: speeds, Bikes: len(of)}
		for _, b := range of {
			k.Seen += len(b.Seen)
		}
		switch {
		case speeds > 0 && len(of) < LeastOfAKind:
			continue
		case speeds > 0 && len(of) == len(bikes):
			k.Sets = p.Kinds[0].Sets
		default:
			var err error
			if k.Sets, err = common(of, kindChains); err != nil {
				return err
			}
		}
		p.Kinds = append(p.Kinds, k)
	}
	return nil
}

// common returns sets of a new bike of the kind of some bikes.
func common(bikes []*Pooling, size [2]int) ([][]float64, error) {
	var members []infer.Member
	for _, b := range bikes {
		members = append(members, b.member)
	}
	first := bikes[0]
	draws, err := infer.LearnKind(members, len(first.Branch), size[0], size[1], 0, first.Stopped)
	if err != nil {
		return nil, err
	}
	sets := make([][]float64, judge.Sets)
	own := make([]float64, len(first.Branch))
	for k := range sets {
		rng := rand.New(rand.NewPCG(uint64(k), kindStream))
		for j := range own {
			own[j] = rng.NormFloat64()
		}
		infer.Join(draws[(2*k+1)*len(draws)/(2*judge.Sets)], own)
		sets[k] = make([]float64, len(first.Branch))
		first.learning.prior.set(sets[k], own)
		for i, u := range sets[k] { // as it is written down
			sets[k][i] = math.Round(u*255) / 255
		}
	}
	return sets, nil
}

// tell sorts what was seen into outcomes of single gears, each with the one number that a rule goes by.
func (b *Pooling) tell(known []sim.Chances) error {
	r, err := b.Nominal.Evaluate()
	if err != nil {
		return b.Explain(err)
	}
	for i := range b.Seen {
		for _, o := range b.Seen[i].outcomes() {
			if known[o.gear].Is(o.concern) {
				o.number = r.Gears[o.gear].OneNumber(o.concern)
				b.outcomes = append(b.outcomes, o)
			}
		}
	}
	return nil
}

// foretell returns the chance of every outcome by sets, a draw of the readings with each: of ever,
// in several tries. It is kept off 0 and 1.
func (b *Pooling) foretell(sets [][]float64) ([]float64, error) {
	all := make([][]sim.Chances, len(sets))
	misread := len(b.Readings) - 2 // where the deviates of misread lines begin
	err := judge.Each(len(sets), b.Stopped, func() (func(k int), error) {
		d, err := b.Drawer()
		o := new(sim.Odds)
		return func(k int) {
			rng := rand.New(rand.NewPCG(b.Seed+uint64(k), foretoldAlone))
			x, f, err := d.Deviated(sets[k], func(i int) float64 {
				if i >= misread {
					return 0
				}
				return rng.Float64()
			})
			if err != nil {
				return
			}
			links, err := d.Chain(x)
			chances := make([]sim.Chances, len(x.Rings)*len(x.Cogs))
			if err == nil && o.Gears(chances, x, f, links) == nil {
				all[k] = chances
			}
		}, err
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

// ofKind says which bikes count for a kind; 0 is the whole shop.
func ofKind(speeds int) func(b *Pooling) bool {
	return func(b *Pooling) bool { return speeds == 0 || b.Speeds == speeds }
}

// turn is the bikes that are left out together, of one kind.
type turn struct{ number, speeds int }

// leaveOut foretells each bike by the others, in up to mostTurns turns: of few bikes each alone is
// left out, of many some together.
func (p *Pooled) leaveOut(bikes, shop []*Pooling, shipped [][]float64, done *atomic.Int64) error {
	turns := min(len(shop), mostTurns)
	sets := map[turn][][]float64{}
	byConcern := make([][2][]score.Prediction, sim.NumConcerns)
	var all []score.Prediction
	for _, b := range bikes {
		left := PooledBike{Name: b.Name, Speeds: b.Speeds, Seen: len(b.Seen), Outcomes: len(b.outcomes)}
		number := slices.Index(shop, b) % turns
		others := kindWithout(shop, number, turns, b.Speeds)
		at := turn{number, b.Speeds}
		if left.OwnKind = len(others) >= LeastOfAKind; !left.OwnKind {
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
				byConcern[o.concern][i] = append(byConcern[o.concern][i], score.Prediction{P: c, Happened: o.yes, Group: b.Name, X: o.number})
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
func kindWithout(shop []*Pooling, number, turns, speeds int) (others []*Pooling) {
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
