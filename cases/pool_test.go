package cases

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"sync/atomic"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/learn"
)

// invented returns bikes of one kind that share a true set of numbers, each with lines of
// its own read within their ±, and what is seen of some of their gears, by lot.
func invented(t testing.TB, n int, set []float64) (names []string, all []*Case) {
	rng := rand.New(rand.NewPCG(9, 5))
	for i := range n {
		text := strings.Replace(learner, "line: 52", fmt.Sprintf("line: %.1f ± 0.5 mm", 46+8*rng.Float64()), 1)
		text = strings.Replace(text, "line: 44.5", "line: 44.5 ± 0.5 mm", 1)
		c, err := Parse("bike.yaml", []byte(text))
		require.NoError(t, err)
		d, err := c.Draws()
		require.NoError(t, err)
		b, f, err := d.Bike(set, rng.Float64)
		require.NoError(t, err)
		truth := make([]sim.Chances, len(c.Rear.Cogs))
		links, err := d.Chain(b)
		require.NoError(t, err)
		require.NoError(t, new(sim.Odds).Gears(truth, b, f, links))
		for _, g := range []int{0, 2, 4, 7, 9, 10, 11} {
			gear := fmt.Sprintf("32/%d", c.Rear.Cogs[g])
			off := 0
			for range 5 {
				if rng.Float64() < truth[g][sim.DropBackwards] {
					off++
				}
			}
			require.NoError(t, c.AddSeen(Observation{Gears: gear, Direction: "backwards", What: "off", Off: off, Of: 5}))
			what := "quiet"
			if rng.Float64() < truth[g][sim.NoiseRiding] {
				what = "noise"
			}
			require.NoError(t, c.AddSeen(Observation{Gears: gear, What: what}))
		}
		names, all = append(names, fmt.Sprintf("bike %d", i)), append(all, c)
	}
	return names, all
}

func pool(t testing.TB, names []string, all []*Case) *Pooled {
	var done atomic.Int64
	p, err := Pool(names, all, "test", &done)
	require.NoError(t, err)
	assert.EqualValues(t, learn.Pools(len(all)), done.Load())
	return p
}

// Bikes that share all their unknown numbers, and differ from the model by nothing, are foretold by
// one another better than by the shipped sets, though a shop is taken to share half; rules of one
// number, fitted to bikes of that one kind, foretell them better still.
func TestAShopForetellsItsOwnBikes(t *testing.T) {
	if testing.Short() {
		t.Skip("learns from many bikes")
	}
	sets, err := shippedSets()
	require.NoError(t, err)
	var shop, shipped, rule, n float64
	for _, truth := range []int{7, 61, 133} {
		names, all := invented(t, 8, sets[truth])
		p := pool(t, names, all)
		for _, s := range p.Scores {
			if s.Concern == sim.NoiseRiding || s.Concern == sim.DropBackwards {
				k := float64(s.LeftOut.N)
				n += k
				shop += k * s.LeftOut.LogLoss
				shipped += k * s.Shipped.LogLoss
				rule += k * s.Rule.LogLoss
			}
		}
		for _, b := range p.Bikes {
			assert.True(t, b.OwnKind)
			assert.Equal(t, 14, b.Seen)
			assert.Equal(t, 14, b.Outcomes)
		}
		count := 0
		for _, b := range p.Bins {
			count += b.N
		}
		assert.Equal(t, 14*len(p.Bikes), count)
	}
	t.Logf("log loss: shop %.4f, shipped %.4f, rule of one number %.4f", shop/n, shipped/n, rule/n)
	assert.Less(t, shop, 0.9*shipped)
}

// Simulated shops whose eight bikes share half of their numbers' variance, each with offsets of its
// own: what the others teach is worth next to nothing, as most of a bike is its own, and costs nothing.
func TestAShopOfTheModelsOwnKind(t *testing.T) {
	if testing.Short() {
		t.Skip("learns from many bikes")
	}
	sets, err := shippedSets()
	require.NoError(t, err)
	l := learning(t, sets)
	rng := rand.New(rand.NewPCG(12, 4))
	var shop, shipped, n float64
	for range few(2, 10) {
		kind := make([]float64, len(freeNumbers))
		for i := range kind {
			kind[i] = rng.NormFloat64()
		}
		var names []string
		var all []*Case
		for i := range 8 {
			truth := simulate(l, []sim.Concern{sim.NoiseRiding, sim.DropBackwards}, kind, rng)
			c := mustParse(t, learner)
			for _, g := range []int{0, 2, 4, 7, 9, 10, 11} {
				gear := countDrops(t, c, g, truth.rate[1][g], rng)
				what := "quiet"
				if truth.rate[0][g] > 0.5 {
					what = "noise"
				}
				require.NoError(t, c.AddSeen(Observation{Gears: gear, What: what}))
			}
			names, all = append(names, fmt.Sprint(i)), append(all, c)
		}
		for _, b := range pool(t, names, all).Bikes {
			n++
			shop += b.LeftOut
			shipped += b.Shipped
		}
	}
	t.Logf("log loss: shop %.4f, shipped %.4f", shop/n, shipped/n)
	assert.Less(t, shop, 1.03*shipped)
}

func TestAMemoryIsReadBackAndRefused(t *testing.T) {
	ofNumbers(t)
	sets, err := shippedSets()
	require.NoError(t, err)
	names, all := invented(t, 2, sets[7])
	p := pool(t, names, all)
	text, err := p.Memory.Text()
	require.NoError(t, err)
	m, err := ParseMemory("shop.yaml", text)
	require.NoError(t, err)
	require.Len(t, m.Kinds, 2) // the whole shop, and the one kind
	for i := range m.Kinds {
		assert.Equal(t, p.Memory.Kinds[i].starts, m.Kinds[i].starts)
	}

	// The order of the bikes does not matter.
	names[0], names[1], all[0], all[1] = names[1], names[0], all[1], all[0]
	again, err := pool(t, names, all).Memory.Text()
	require.NoError(t, err)
	assert.Equal(t, string(text), string(again))

	// A bike of the kind starts from its kind, another from the whole shop, and nothing
	// needs to be seen of it.
	bike := mustParse(t, learner)
	l, err := bike.Learn("test", m)
	require.NoError(t, err)
	assert.Equal(t, "2 bikes of 12 speeds, 28 observations", l.Shop)
	assert.Empty(t, l.Seen)
	assert.NotEqual(t, l.Before, l.After)
	assert.Equal(t, l.Shop, l.Case.Learned.Shop)
	other := mustParse(t, strings.Replace(learner, "speeds: 12", "speeds: 11", 1))
	l, err = other.Learn("test", m)
	require.NoError(t, err)
	assert.Equal(t, "2 bikes of the whole shop, 28 observations", l.Shop)

	first := m.Kinds[0].Sets[0]
	for from, to := range map[string]string{
		first:                  "B" + first[1:],
		m.From:                 "0123456789abcdef",
		"chainpath_shop: 2":    "chainpath_shop: 1",
		"    observations: 28": "    observations: 0",
	} {
		_, err := ParseMemory("shop.yaml", []byte(strings.Replace(string(text), from, to, 1)))
		var e *Error
		require.ErrorAs(t, err, &e, from)
		assert.Positive(t, e.Line)
	}
	_, err = ParseMemory("shop.yaml", []byte(learner))
	assert.ErrorContains(t, err, "this is a case, want a shop's memory")
	_, err = Parse("bike.yaml", text)
	assert.ErrorContains(t, err, "this is a shop's memory")
}

func TestAShopRefusesABikeOfWhichNothingWasSeen(t *testing.T) {
	var done atomic.Int64
	_, err := Pool([]string{"a", "b"}, []*Case{mustParse(t, learner), mustParse(t, learner)}, "test", &done)
	var e *Error
	require.ErrorAs(t, err, &e)
	assert.Equal(t, "bike.yaml", e.File)
	assert.Contains(t, e.Problem, "nothing was seen of this bike")
}

func BenchmarkPoolThirty(b *testing.B) {
	sets, err := shippedSets()
	require.NoError(b, err)
	names, all := invented(b, 30, sets[7])
	b.ReportAllocs()
	for b.Loop() {
		pool(b, names, all)
	}
}

// Of bikes whose riders only say that it happens in some gear there is nothing to score: no bins, no
// concern, and no loss; the memory is made of them all the same.
func TestAShopOfComplaintsAlone(t *testing.T) {
	ofNumbers(t)
	one := mustParse(t, learner+"symptoms: [{what: drop, direction: backwards}]\n")
	p := pool(t, []string{"a", "b"}, []*Case{one, one})
	assert.Empty(t, p.Bins)
	assert.Empty(t, p.Scores)
	require.Len(t, p.Bikes, 2)
	assert.Equal(t, learn.PooledBike{Name: "a", Speeds: 12, Seen: 1}, p.Bikes[0])
	assert.Len(t, p.Memory.Kinds, 2)
}
