package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
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
		{gear: 2, concern: sim.NoiseRiding}, {gear: 2, concern: sim.DropRiding},
		{gear: 5, concern: sim.NoiseRiding}, {gear: 5, concern: sim.DropRiding},
	}, s.outcomes())
	s = Seen{Gears: []int{1}, one: sim.DropBackwards}
	assert.Equal(t, []outcome{{gear: 1, concern: sim.DropBackwards, yes: true}}, s.outcomes())
	for off, yes := range map[int]bool{0: false, 1: true, 10: true} {
		s.Of, s.Off = 10, off
		assert.Equal(t, []outcome{{gear: 1, concern: sim.DropBackwards, tries: 10, yes: yes}}, s.outcomes())
	}
	s.isAny = true
	assert.Nil(t, s.outcomes())
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
}

// The chance of an outcome leaves out sets that cannot be, and is kept off the ends; of several tries
// it is that of ever, which is less than if tries were independent.
func TestChanceOfAnOutcome(t *testing.T) {
	gear := func(p float64) []sim.Chances {
		c := make([]sim.Chances, 1)
		c[0][sim.DropBackwards], c[0][sim.NoiseRiding] = p, -1
		return c
	}
	all := [][]sim.Chances{gear(0.25), nil, gear(0.75)}
	o := outcome{concern: sim.DropBackwards}
	assert.InDelta(t, judge.OffTheEnds(0.5), o.chance(all), 0.01)
	once := outcome{concern: sim.DropBackwards, tries: 1}
	ten := outcome{concern: sim.DropBackwards, tries: 10}
	assert.Greater(t, ten.chance(all), once.chance(all)+0.05)
	assert.Less(t, ten.chance(all), 1-math.Pow(1-once.chance(all), 10)-0.1)
	assert.Less(t, once.chance(all), o.chance(all), "a fault shows in more than one of ten tries, not in each")
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
	assert.Equal(t, 6, Pools(3))
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
	before := []judge.Draw{{Chances: at(0.5, 0.1)}, {Chances: at(0.5, 0.1)}, {Chances: at(0.5, 0.1)}, {Chances: at(0.5, 0.1)}, {Err: ErrSets}}
	after := []judge.Draw{{Chances: at(0.3, 0.1)}, {Chances: at(0.3, 0.3)}, {Chances: at(0.5, 0.1)}, {Err: ErrSets}, {Chances: at(0, 0)}, {Chances: at(0, 0)}}
	even := start{set: make([]float64, len(freeNumbers))} // no bumps but the least
	j := &Judging{weights: &w, complaint: noise, before: &Expected{mounts: []bool{true}}, sets: []start{even, even, even, even, even, even}}
	j.start(before)
	e := &Expected{mounts: []bool{true}}
	e.compare(j, after)
	require.Len(t, e.bySet, 6)
	const told = judge.Sets / (judge.Sets + 0.4) // as means are kept off the ends
	assert.InDelta(t, 0.3*told, e.bySet[0], 1e-12)
	assert.InDelta(t, (0.3+2*0.2)*told, e.bySet[1], 1e-12, "new harm counts")
	assert.InDelta(t, 0.5*told, e.bySet[2], 1e-12)
	for _, k := range []int{3, 4, 5} {
		assert.True(t, math.IsNaN(e.bySet[k]), "set %d: one of both cannot be", k)
	}
	assert.InDelta(t, 1./3, e.Surer, 1e-12, "the first of three")
}
