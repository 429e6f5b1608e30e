package cases

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/learn"
)

// wideLine is a bicycle whose chainring sits far outboard, so that noise and drops are likely on
// the 51; its numbers are invented.
var wideLine = strings.Replace(learner, "line: 52", "line: 53.5", 1)

// learnBy learns with a random seed of its own.
func learnBy(t *testing.T, seed int, text string, lines ...string) *Lesson {
	c := mustParse(t, text)
	for _, s := range lines {
		o, err := ParseSeen(s)
		require.NoError(t, err)
		require.NoError(t, c.AddSeen(o))
	}
	seen, err := c.Seen()
	require.NoError(t, err)
	l, err := c.learnSeen(seen, "test", nil, uint64(seed))
	require.NoError(t, err)
	return l
}

// back returns chances before and after of a drop in a gear of one chainring.
func (l *Lesson) back(g int) [2]float64 {
	return [2]float64{l.Before[g][sim.DropBackwards], l.After[g][sim.DropBackwards]}
}

func (l *Lesson) rate(t *testing.T, g int, k sim.Concern) learn.Rate {
	for _, r := range l.Rates {
		if r.Gear == g && r.Concern == k {
			return r
		}
	}
	t.Fatal("no rate")
	return learn.Rate{}
}

// A bicycle that is good in every gear is told so, whatever the model says of it: twelve times
// quiet, twelve times none of ten tries.
func TestAGoodBikeIsBelieved(t *testing.T) {
	for seed := range few(2, 10) {
		var seen []string
		for _, cog := range mustParse(t, wideLine).Rear.Cogs {
			seen = append(seen, fmt.Sprintf("32/%d: quiet", cog), fmt.Sprintf("32/%d backwards: off 0 of 10", cog))
		}
		l := learnBy(t, seed, wideLine, seen...)
		last := len(l.After) - 1
		t.Logf("seed %d: noise %.2f to %.3f, drop %.2f to %.3f, rate %.3f", seed, l.Before[last][sim.NoiseRiding], l.After[last][sim.NoiseRiding], l.back(last)[0], l.back(last)[1], l.rate(t, last, sim.DropBackwards).Mean)
		assert.Greater(t, l.Before[last][sim.NoiseRiding], 0.7)
		assert.Greater(t, l.back(last)[0], 0.8)
		for g := range l.After {
			assert.Less(t, l.After[g][sim.NoiseRiding], 0.1)
			assert.Less(t, l.back(g)[1], 0.1)
		}
		for i := range l.Seen {
			assert.False(t, l.Seen[i].Unlikely(), l.Seen[i].Text)
		}
	}
}

// Tries are counted: none of eighty leaves little of a drop, and none of ten, of a bicycle that
// is said to drop its chain, does not exclude one in ten. Three of ten are a rate, which is no more than that, so that the next gears are better than
// was thought; ten of ten on the 38 make gears worse on both sides of it. None of them contradicts
// anything, and no line is called misread for it.
func TestTriesAreARate(t *testing.T) {
	ofNumbers(t)
	const last, next, at38 = 11, 10, 9
	for seed := range few(2, 10) {
		many := learnBy(t, seed, wideLine, "32/51 backwards: off 0 of 80")
		often := learnBy(t, seed, wideLine, strings.Split(strings.Repeat("32/51 backwards: off 0 of 10;", 8), ";")[:8]...)
		once := learnBy(t, seed, wideLine, "32/51 backwards: off 0 of 10", "32/51 backwards: off")
		three := learnBy(t, seed, wideLine, "32/51 backwards: off 3 of 10")
		ten := learnBy(t, seed, learner, "32/38 backwards: off 10 of 10")
		t.Logf("seed %d: 0 of 80 %.3f, eight times 0 of 10 %.4f, 0 of 10 %.2f at a rate of %.3f, 3 of 10 %.2f at %.2f, the 44 %.2f to %.2f; ten of ten: the 32 %.2f to %.2f", seed,
			many.back(last)[1], often.back(last)[1], once.back(last)[1], once.rate(t, last, sim.DropBackwards).Mean, three.back(last)[1], three.rate(t, last, sim.DropBackwards).Mean, three.back(next)[0], three.back(next)[1], ten.back(8)[0], ten.back(8)[1])
		assert.Less(t, many.back(last)[1], 0.1)
		assert.Less(t, often.back(last)[1], 0.01)
		assert.InDelta(t, 0.55, once.back(last)[1], 0.2)
		assert.Greater(t, once.rate(t, last, sim.DropBackwards).InTen, 0.3)
		r := three.rate(t, last, sim.DropBackwards)
		assert.InDelta(t, 0.35, r.Mean, 0.05)
		assert.Equal(t, [2]int{3, 10}, [2]int{r.Off, r.Of})
		assert.True(t, r.Least >= 1 && r.Most <= 7, "%+v", r)
		assert.Greater(t, three.back(last)[1], 0.9)
		assert.Less(t, three.back(next)[1], three.back(next)[0]-0.1)
		assert.Less(t, three.back(at38)[1], three.back(at38)[0])
		assert.Greater(t, ten.back(8)[1], ten.back(8)[0]+0.3)
		assert.Greater(t, ten.back(last)[1], 0.95)
		for _, l := range []*Lesson{many, often, once, three, ten} {
			for i := range l.Seen {
				assert.False(t, l.Seen[i].Unlikely())
			}
			assert.Less(t, math.Max(l.Misread[0], l.Misread[1]), learn.MisreadFrom)
			assert.Greater(t, l.Ancestors, 30)
		}
	}
}

// Where nothing was seen, chances stay what they are by the shipped sets, within what a few hundred
// versions, and correlations that were shrunk, leave in doubt.
func TestNothingSeenMovesNoChance(t *testing.T) {
	for _, text := range []string{learner, wideLine} {
		l := learnBy(t, 1, text)
		sum, n := 0.0, 0.0
		for g := range l.Before {
			for k := range sim.NumConcerns {
				if l.Before[g].Is(sim.Concern(k)) {
					d := l.After[g][k] - l.Before[g][k]
					assert.InDelta(t, 0, d, 0.08, "gear %d, %s", g, sim.Concern(k))
					sum, n = sum+d*d, n+1
				}
			}
		}
		t.Logf("r.m.s. %.4f", math.Sqrt(sum/n))
		assert.Less(t, math.Sqrt(sum/n), 0.015)
	}
}

// A set of learned offsets that cannot tell anything changes no chance, exactly, over what offsets
// may be.
func TestOffsetsLeaveTheMeanAlone(t *testing.T) {
	for _, k := range []sim.Concern{sim.NoiseRiding, sim.DropBackwards, sim.RubsNextCog} {
		s := learn.SpreadOf(k)
		assert.InDelta(t, 1, s.Common+s.Near+s.Own+s.Try, 1e-12)
		const n = 20000
		for _, p := range []float64{0.03, 0.4, 0.9} {
			sum := 0.0
			for i := range n {
				z := math.Sqrt2 * math.Erfinv(2*(float64(i)+0.5)/n-1)
				form := &learnedForm{faults: []sim.Concern{k}, rings: 1, cogs: 1}
				x := start{own: &learnedOf{form: form, offsets: [][]float64{{math.Sqrt(s.Common+s.Near) * z}}}}
				c := make([]sim.Chances, 1)
				c[0][k] = p
				x.shift(c, 1)
				sum += c[0][k] / n
			}
			assert.InDelta(t, p, sum, 1e-4, "%s at %g", k, p)
		}
	}
}

// Of a cassette with other cogs each has the offset of the place that it comes nearest to, ends at
// ends.
func TestOffsetsGoByPlace(t *testing.T) {
	f := &learnedForm{rings: 1, cogs: 12}
	assert.Equal(t, 7, f.place(7, 1, 12))
	assert.Equal(t, []int{0, 11}, []int{f.place(0, 1, 9), f.place(8, 1, 9)})
	assert.Equal(t, 6, f.place(4, 1, 9))
	assert.Equal(t, 3, f.place(15, 2, 12), "a second chainring has the first's")
	f = &learnedForm{rings: 2, cogs: 3}
	assert.Equal(t, 0, f.place(0, 1, 3))
	assert.Equal(t, 5, f.place(8, 3, 3))
}
