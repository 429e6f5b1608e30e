package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/ensemble"
	"chainpath/sim/score"
)

// The most frequent key, and of equals the least, whatever their order.
func TestTheMostFrequent(t *testing.T) {
	assert.Equal(t, 4, mostOf(map[int]int{1: 2, 4: 3, 7: 1}))
	assert.Equal(t, 1, mostOf(map[int]int{7: 3, 1: 3, 4: 3}))
	assert.Equal(t, 0, mostOf(map[int]int{}))
	assert.Equal(t, sim.MeetsLarger, mostOf(map[sim.Binding]int{sim.MeetsLarger: 1}))
}

// What an observation says of single gears: that each of several things did not happen, or that one
// did, of tries whether ever; nothing where it is of any of several.
func TestOutcomesOfAnObservation(t *testing.T) {
	s := Seen{Gears: []int{2, 5}, none: []sim.Concern{sim.NoiseRiding, sim.DropRiding}}
	assert.Equal(t, []outcome{
		{gear: 2, concern: sim.NoiseRiding, tries: 1}, {gear: 2, concern: sim.DropRiding, tries: 1},
		{gear: 5, concern: sim.NoiseRiding, tries: 1}, {gear: 5, concern: sim.DropRiding, tries: 1},
	}, s.outcomes())
	s = Seen{Gears: []int{1}, one: sim.DropBackwards}
	assert.Equal(t, []outcome{{gear: 1, concern: sim.DropBackwards, tries: 1, yes: true}}, s.outcomes())
	for off, yes := range map[int]bool{0: false, 1: true, 10: true} {
		s.Of, s.Off = 10, off
		assert.Equal(t, []outcome{{gear: 1, concern: sim.DropBackwards, tries: 10, yes: yes}}, s.outcomes())
	}
	s.isAny = true
	assert.Nil(t, s.outcomes())
	o := outcome{gear: 1, concern: sim.DropBackwards, tries: 3}
	all := []sim.Chances{{}, {sim.DropBackwards: 0.2}}
	assert.InDelta(t, 1-0.8*0.8*0.8, o.chance(all), 1e-12, "ever, in three tries")
}

// Chances of what was seen by hand: counts by the binomial law, several gears all or any, what did
// not happen in each; a chance of one set never nearer to 0 or 1 than reports err.
func TestChanceOfSeenByHand(t *testing.T) {
	all := make([]sim.Chances, 3)
	for g := range all {
		for k := range all[g] {
			all[g][k] = -1
		}
		all[g][sim.DropBackwards] = 0.1 * float64(g+1)
		all[g][sim.NoiseRiding] = 0.5
	}
	all[1][sim.RubsNextCog] = 0.25
	for _, c := range []struct {
		s    Seen
		want float64
	}{
		{Seen{Gears: []int{1}, one: sim.DropBackwards, Of: 3, Off: 1}, 3 * 0.2 * 0.64},
		{Seen{Gears: []int{1}, one: sim.DropBackwards, Of: 3, Off: 0}, 0.512},
		{Seen{Gears: []int{2}, one: sim.DropBackwards, Of: 4, Off: 4}, 0.0081},
		{Seen{Gears: []int{0, 2}, one: sim.DropBackwards}, 0.03},
		{Seen{Gears: []int{0, 2}, one: sim.DropBackwards, isAny: true}, 1 - 0.9*0.7},
		{Seen{Gears: []int{0, 1, 2}, one: sim.RubsNextCog}, 0.25},
		{Seen{Gears: []int{0, 1, 2}, one: sim.RubsNextCog, isAny: true}, 0.25},
		{Seen{Gears: []int{0, 2}, one: sim.RubsNextCog}, 1},
		{Seen{Gears: []int{1, 2}, none: []sim.Concern{sim.DropBackwards, sim.RubsNextCog}}, 0.8 * 0.75 * 0.7},
	} {
		assert.InDelta(t, c.want, c.s.Chance(all), 1e-12, "%+v", c.s)
	}
	for _, c := range []struct {
		k       sim.Concern
		p, want float64
	}{{sim.NoiseRiding, 0, 0.02}, {sim.NoiseRiding, 1, 0.98}, {sim.NoiseRiding, 0.021, 0.021}, {sim.DropRiding, 0, 0.005}, {sim.DropRiding, 1, 0.995}, {sim.DropRiding, 0.006, 0.006}, {sim.DropRiding, 0.99, 0.99}} {
		assert.InDelta(t, c.want, Unsure(c.k, c.p), 1e-15, "%+v", c)
	}
	yes, tries := Seen{Sure: 0.8}, Seen{Sure: 0.8, Of: 4}
	assert.InDelta(t, 0.7, yes.wrong(0.3), 1e-15)
	assert.InDelta(t, 0.2, tries.wrong(0.3), 1e-15)
	assert.InDelta(t, math.Log(0.8*0.3+0.2*0.7), yes.log(0.3), 1e-12)
	assert.InDelta(t, math.Log(0.8*0.3+0.2*0.2), tries.log(0.3), 1e-12)
}

// The logarithm of a mean, far below what numbers hold.
func TestLogMean(t *testing.T) {
	assert.InDelta(t, math.Log(2), logMean([]float64{math.Log(1), math.Log(3)}), 1e-12)
	assert.InDelta(t, -2000+math.Log(2), logMean([]float64{-2000, -2000 + math.Log(3)}), 1e-9)
	assert.InDelta(t, -5-math.Log(2), logMean([]float64{-5, math.Inf(-1)}), 1e-12)
}

// Candidates are weighted by the bikes that count: all of the shop, or those of a kind.
func TestWeighedBikes(t *testing.T) {
	bike := func(speeds int, at float64) *pooling {
		b := &pooling{c: &Case{Speeds: speeds}, log: make([]float64, candidates)}
		for k := range b.log {
			b.log[k] = -at * math.Abs(float64(k)/candidates-0.5)
		}
		return b
	}
	bikes := []*pooling{bike(11, 1), bike(12, 2), bike(12, 3)}
	for speeds, want := range map[int][2]float64{0: {3, 6}, 12: {2, 5}, 11: {1, 1}, 10: {0, 0}} {
		w, n, err := weighed(bikes, ofKind(speeds))
		require.NoError(t, err)
		assert.Equal(t, int(want[0]), n)
		// The weights' ratio is that of the likelihoods, which are as mild that none is tempered.
		assert.InDelta(t, 1, w.Temper, 1e-9)
		assert.InDelta(t, want[1]*0.25, math.Log(w.Weight[candidates/2]/w.Weight[candidates/4]), 1e-9)
	}
}

// The mean chance of an outcome leaves out candidates that cannot be, and is kept off the ends.
func TestMeanOfAnOutcome(t *testing.T) {
	b := &pooling{log: []float64{-1, math.Inf(-1), -2}, chance: [][]float32{{0.25, 0}, {1, 1}, {0.75, 0}}}
	w := &ensemble.Weighted{Weight: []float64{1, 5, 3}}
	assert.InDelta(t, OffTheEnds((0.25+3*0.75)/4), b.mean(w, 0), 1e-12)
	assert.InDelta(t, OffTheEnds(0), b.mean(w, 1), 1e-12)
}

// Scores are of concerns that were seen of two bikes at least.
func TestScoresNeedTwoBikes(t *testing.T) {
	of := func(names ...string) (out []score.Prediction) {
		for i, n := range names {
			out = append(out, score.Prediction{P: 0.3, Happened: i%2 == 0, Group: n, X: float64(i)})
		}
		return out
	}
	p := &Pooled{}
	require.NoError(t, p.add(sim.NoiseRiding, of("a", "a"), of("a", "a")))
	require.NoError(t, p.add(sim.NoiseRiding, nil, nil))
	assert.Empty(t, p.Scores)
	require.NoError(t, p.add(sim.DropRiding, of("a", "b"), of("a", "b")))
	require.Len(t, p.Scores, 1)
	assert.Equal(t, sim.DropRiding, p.Scores[0].Concern)
	assert.Equal(t, 3*candidates, Pools(3))
}

// What a bike starts from: its kind where two of it taught, else the whole shop; said in words.
func TestWhatABikeStartsFrom(t *testing.T) {
	m := &Memory{Kinds: []MemoryOfKind{{Speeds: 11, Bikes: 1, Seen: 4}, {Speeds: 12, Bikes: 2, Seen: 9}, {Speeds: 0, Bikes: 3, Seen: 13}}}
	for speeds, want := range map[int]string{
		12: "2 bikes of 12 speeds, 9 observations", 11: "3 bikes of the whole shop, 13 observations", 9: "3 bikes of the whole shop, 13 observations",
	} {
		k, err := m.For(&Case{Speeds: speeds})
		require.NoError(t, err)
		assert.Equal(t, want, k.Name())
	}
	assert.Equal(t, "1 bike of 11 speeds, 4 observations", m.Kinds[0].Name())
	m.Kinds = m.Kinds[:1]
	_, err := m.For(&Case{Speeds: 11})
	require.ErrorContains(t, err, "kinds: neither 11 speeds nor the whole shop: run chainpath learn --shop again")
}

// The choice between combinations that were judged: every set's trouble of each; a set under which
// one cannot be weighs nothing.
func TestChoiceBetweenCombinations(t *testing.T) {
	c := Choice([]*Expected{{bySet: []float64{1, 2, math.NaN(), 4}}, {bySet: []float64{5, math.NaN(), 7, 8}}})
	assert.Equal(t, []float64{1, 0, 0, 1}, c.Weight)
	assert.Equal(t, [][]float64{{1, 2, 0, 4}, {5, 0, 7, 8}}, c.Trouble)
}

// Which sets have less trouble than with the bike as it is, counted by hand; ties and sets that
// cannot be are not.
func TestSurerIsCounted(t *testing.T) {
	w := decide.Weights{sim.NoiseRiding: 1, sim.DropRiding: 2}
	noise := func(k sim.Concern) bool { return k == sim.NoiseRiding }
	at := func(p, q float64) [][]sim.Chances {
		return [][]sim.Chances{{{sim.NoiseRiding: p, sim.DropRiding: q}}}
	}
	before := []drawn{{chances: at(0.5, 0.1)}, {chances: at(0.5, 0.1)}, {chances: at(0.5, 0.1)}, {chances: at(0.5, 0.1)}, {err: ErrSets}}
	after := []drawn{{chances: at(0.3, 0.1)}, {chances: at(0.3, 0.3)}, {chances: at(0.5, 0.1)}, {err: ErrSets}, {chances: at(0, 0)}, {chances: at(0, 0)}}
	even := start{set: make([]float64, len(freeNumbers))} // no bumps but the least
	j := &Judging{weights: &w, complaint: noise, before: &Expected{mounts: []bool{true}}, sets: []start{even, even, even, even, even, even}}
	j.start(before)
	e := &Expected{mounts: []bool{true}}
	e.compare(j, after)
	require.Len(t, e.bySet, 6)
	const told = Sets / (Sets + 0.4) // as means are kept off the ends
	assert.InDelta(t, 0.3*told, e.bySet[0], 1e-12)
	assert.InDelta(t, (0.3+2*0.2)*told, e.bySet[1], 1e-12, "new harm counts")
	assert.InDelta(t, 0.5*told, e.bySet[2], 1e-12)
	for _, k := range []int{3, 4, 5} {
		assert.True(t, math.IsNaN(e.bySet[k]), "set %d: one of both cannot be", k)
	}
	assert.InDelta(t, 1./3, e.Surer, 1e-12, "the first of three")
}
