package cases

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// The most frequent key, and of equals the least, whatever their order.
func TestTheMostFrequent(t *testing.T) {
	assert.Equal(t, 4, mostOf(map[int]int{1: 2, 4: 3, 7: 1}))
	assert.Equal(t, 1, mostOf(map[int]int{7: 3, 1: 3, 4: 3}))
	assert.Equal(t, 0, mostOf(map[int]int{}))
	assert.Equal(t, sim.MeetsLarger, mostOf(map[sim.Binding]int{sim.MeetsLarger: 1}))
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
