package learn

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
	"chainpath/sim/score"
)

// Likelihoods by hand: of tries the binomial's, of a list of gears the product, of any of them
// what is left of none, and of nothing that can be, one.
func TestChanceOfWhatWasSeen(t *testing.T) {
	all := make([]sim.Chances, 3)
	for g := range all {
		for k := range all[g] {
			all[g][k] = 0.3
		}
		all[g][sim.RubsTyreAt] = -1
	}
	all[1][sim.NoiseRiding], all[2][sim.NoiseRiding] = 0.6, 0.9
	all[2][sim.DropRiding] = 1
	for _, c := range []struct {
		name string
		s    Seen
		want float64
	}{
		{"3 of 5 of a chance of 0.3", Seen{Gears: []int{0}, Of: 5, Off: 3, One: sim.DropBackwards}, 10 * 0.027 * 0.49},
		{"none of 4", Seen{Gears: []int{0}, Of: 4, One: sim.DropBackwards}, math.Pow(0.7, 4)},
		{"all of 4", Seen{Gears: []int{0}, Of: 4, Off: 4, One: sim.DropBackwards}, math.Pow(0.3, 4)},
		{"noise in two gears", Seen{Gears: []int{1, 2}, One: sim.NoiseRiding}, 0.6 * 0.9},
		{"noise in one of two", Seen{Gears: []int{1, 2}, One: sim.NoiseRiding, Any: true}, 1 - 0.4*0.1},
		{"quiet in two", Seen{Gears: []int{1, 2}, One: sim.NoiseRiding, None: []sim.Concern{sim.NoiseRiding}}, 0.4 * 0.1},
		{"fine", Seen{Gears: []int{0}, None: []sim.Concern{sim.NoiseRiding, sim.DropRiding, sim.RubsTyreAt}}, 0.7 * 0.7},
		{"what cannot be", Seen{Gears: []int{0}, One: sim.RubsTyreAt}, 1},
		{"surely off", Seen{Gears: []int{2}, One: sim.DropRiding}, 0.995},
		{"surely off, and was not", Seen{Gears: []int{2}, None: []sim.Concern{sim.DropRiding}}, 0.005},
	} {
		assert.InDelta(t, c.want, c.s.Chance(all), 1e-12, c.name)
	}
	// All the counts of a chance add up to one.
	sum := 0.0
	for n := range 8 {
		s := Seen{Gears: []int{0}, Of: 7, Off: n, One: sim.DropBackwards}
		sum += s.Chance(all)
	}
	assert.InDelta(t, 1, sum, 1e-12)
	for p, want := range map[float64]float64{0: 0.005, 0.004: 0.005, 0.5: 0.5, 0.996: 0.995, 1: 0.995} {
		assert.InDelta(t, want, Unsure(sim.DropRiding, p), 1e-15)
	}
	for p, want := range map[float64]float64{0: 0.02, 0.5: 0.5, 1: 0.98} {
		assert.InDelta(t, want, Unsure(sim.NoiseRiding, p), 1e-15)
	}
}

// What an observation says of single gears: that each of several things did not happen, or that one
// did, of tries whether ever; nothing where it is of any of several.
func TestOutcomesOfAnObservation(t *testing.T) {
	s := Seen{Gears: []int{2, 5}, None: []sim.Concern{sim.NoiseRiding, sim.DropRiding}}
	assert.Equal(t, []outcome{
		{gear: 2, concern: sim.NoiseRiding}, {gear: 2, concern: sim.DropRiding},
		{gear: 5, concern: sim.NoiseRiding}, {gear: 5, concern: sim.DropRiding},
	}, s.outcomes())
	s = Seen{Gears: []int{1}, One: sim.DropBackwards}
	assert.Equal(t, []outcome{{gear: 1, concern: sim.DropBackwards, yes: true}}, s.outcomes())
	for off, yes := range map[int]bool{0: false, 1: true, 10: true} {
		s.Of, s.Off = 10, off
		assert.Equal(t, []outcome{{gear: 1, concern: sim.DropBackwards, tries: 10, yes: yes}}, s.outcomes())
	}
	s.Any = true
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
		{Seen{Gears: []int{1}, One: sim.DropBackwards, Of: 3, Off: 1}, 3 * 0.2 * 0.64},
		{Seen{Gears: []int{1}, One: sim.DropBackwards, Of: 3, Off: 0}, 0.512},
		{Seen{Gears: []int{2}, One: sim.DropBackwards, Of: 4, Off: 4}, 0.0081},
		{Seen{Gears: []int{0, 2}, One: sim.DropBackwards}, 0.03},
		{Seen{Gears: []int{0, 2}, One: sim.DropBackwards, Any: true}, 1 - 0.9*0.7},
		{Seen{Gears: []int{0, 1, 2}, One: sim.RubsNextCog}, 0.25},
		{Seen{Gears: []int{0, 1, 2}, One: sim.RubsNextCog, Any: true}, 0.25},
		{Seen{Gears: []int{0, 2}, One: sim.RubsNextCog}, 1},
		{Seen{Gears: []int{1, 2}, None: []sim.Concern{sim.DropBackwards, sim.RubsNextCog}}, 0.8 * 0.75 * 0.7},
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
	assert.InDelta(t, 0.7, yes.Wrong(0.3), 1e-15)
	assert.InDelta(t, 0.2, tries.Wrong(0.3), 1e-15)
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
}
