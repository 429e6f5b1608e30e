package cases

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/ensemble"
)

// Two hundred simulated bikes, or some of them, with numbers and readings drawn as the candidates are, six
// gears tried ten times backwards and listened to: the 90 % interval of an unknown holds
// the true number about nine times of ten. Those are looked at that what was seen told of,
// and all together.
func TestIntervalsHoldTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("many candidates")
	}
	bikes := few(60, 200)
	c := mustParse(t, learner)
	shipped, err := shippedSets()
	require.NoError(t, err)
	sets := renewed(shipped, candidates+bikes)
	all, err := c.candidates(sets)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(3, 90))
	all, truths := all[:candidates], all[candidates:]
	held, asked, heldTold, askedTold := 0, 0, 0, 0
	temper := 0.0
	for i := range truths {
		truth := &truths[i]
		require.NoError(t, truth.err)
		c := mustParse(t, learner)
		for _, g := range []int{0, 2, 5, 8, 10, 11} {
			off := 0
			for range 10 {
				if rng.Float64() < truth.all[g][sim.DropBackwards] {
					off++
				}
			}
			gear := fmt.Sprintf("32/%d", c.Rear.Cogs[g])
			require.NoError(t, c.AddSeen(Observation{Gears: gear, Direction: "backwards", What: "off", Off: off, Of: 10}))
			what := "quiet"
			if (rng.Float64() < truth.all[g][sim.NoiseRiding]) == (rng.Float64() < surely) { // heard right
				what = "noise"
			}
			require.NoError(t, c.AddSeen(Observation{Gears: gear, What: what}))
		}
		seen, err := c.Seen()
		require.NoError(t, err)
		logs := make([]float64, len(all))
		for k := range all {
			all[k].hold(seen)
			logs[k] = all[k].log(seen, -1)
		}
		w, err := ensemble.Weigh(logs, learnedLeast)
		require.NoError(t, err)
		temper += w.Temper / float64(bikes)
		for _, m := range moves(all, sets, w) {
			x, ok := truthOf(m.Name, truth)
			if !ok {
				continue
			}
			in := x >= m.After[0]-1e-9 && x <= m.After[2]+1e-9
			asked++
			if in {
				held++
			}
			if m.Told() {
				askedTold++
				if in {
					heldTold++
				}
			}
		}
	}
	t.Logf("all: %d of %d (%.3f); those told of: %d of %d (%.3f); mean temper %.2f", held, asked, float64(held)/float64(asked), heldTold, askedTold, float64(heldTold)/float64(askedTold), temper)
	for _, share := range []float64{float64(held) / float64(asked), float64(heldTold) / float64(askedTold)} {
		assert.GreaterOrEqual(t, share, 0.85)
		assert.LessOrEqual(t, share, 0.95)
	}
	assert.Greater(t, askedTold, bikes)
}

func truthOf(name string, k *guess) (float64, bool) {
	for i := range freeNumbers {
		if freeNumbers[i].Name == name {
			return freeNumbers[i].At(k.set[i]), true
		}
	}
	if name == "front less rear, off" {
		return k.lines[0] - k.lines[1], true
	}
	return 0, false
}

// A surely seen observation raises the mean chance of itself, whatever was seen before.
func TestACertainObservationNeverLowersItself(t *testing.T) {
	all := []string{"32/51 backwards: off 3 of 10", "32/10: noise", "32/44: quiet", "32/21: fine", "32/51: noise", "32/44 backwards: fine"}
	base := mustParse(t, learner)
	shipped, err := shippedSets()
	require.NoError(t, err)
	cands, err := base.candidates(renewed(shipped, candidates))
	require.NoError(t, err)
	c := mustParse(t, learner)
	for _, text := range all {
		o, err := ParseSeen(text + " sure 0.99")
		require.NoError(t, err)
		require.NoError(t, c.AddSeen(o))
	}
	seen, err := c.Seen()
	require.NoError(t, err)
	chance := func(seen []Seen, of *Seen) float64 {
		logs := make([]float64, len(cands))
		for k := range cands {
			cands[k].hold(seen)
			logs[k] = cands[k].log(seen, -1)
		}
		w, err := ensemble.Weigh(logs, 1) // untempered
		require.NoError(t, err)
		sum := 0.0
		for k := range cands {
			sum += w.Weight[k] * of.Chance(cands[k].all)
		}
		return sum
	}
	for i := range seen {
		rest := append(append([]Seen{}, seen[:i]...), seen[i+1:]...)
		assert.GreaterOrEqual(t, chance(seen, &seen[i]), chance(rest, &seen[i]), seen[i].Text)
	}
}

func BenchmarkLearnTwelve(b *testing.B) {
	c, err := Parse("bike.yaml", []byte(learner))
	require.NoError(b, err)
	for _, cog := range c.Rear.Cogs {
		what := "quiet"
		if cog >= 44 {
			what = "noise"
		}
		require.NoError(b, c.AddSeen(Observation{Gears: fmt.Sprintf("32/%d", cog), What: what}))
	}
	b.ReportAllocs()
	for b.Loop() {
		_, err := c.Learn("test", nil)
		require.NoError(b, err)
	}
}
