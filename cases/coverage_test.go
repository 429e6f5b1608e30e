package cases

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/infer"
	"chainpath/sim/judge"
	"chainpath/sim/learn"
)

// simulated is a bicycle drawn as learning draws them, with the rates of every gear.
type simulated struct {
	set   []float64
	lines [3]float64
	rate  [][]float64 // by fault and gear
}

// simulate draws a bicycle by the prior, or of a kind with these common numbers, with its offsets, and
// what its gears do.
func simulate(l *learn.Learning, faults []sim.Concern, kind []float64, rng *rand.Rand) simulated {
	w := l.Judge(0)
	numbers := make([]float64, l.Model.Numbers)
	field := infer.NewField(l.Model.Places)
	for {
		for i := range numbers {
			numbers[i] = rng.NormFloat64()
		}
		infer.Join(kind, numbers)
		b, is := w.Of(numbers, nil)
		if !is {
			continue
		}
		s := simulated{set: append([]float64(nil), w.Set...)}
		s.lines[0], s.lines[1] = judge.MeanLine(b.Rings)-judge.MeanLine(l.Nominal.Rings), judge.MeanLine(b.Cogs)-judge.MeanLine(l.Nominal.Cogs)
		s.lines[2] = s.lines[0] - s.lines[1]
		for _, k := range faults {
			spread, normals := learn.SpreadOf(k), make([]float64, field.Len())
			for i := range normals {
				normals[i] = rng.NormFloat64()
			}
			off := make([]float64, len(w.All))
			field.Offsets(off, spread, normals)
			for g := range off {
				m := spread.Level(learn.Unsure(k, w.All[g][k])) - off[g] - math.Sqrt(spread.Own)*rng.NormFloat64()
				off[g] = infer.Normal(m / math.Sqrt(spread.Try))
			}
			s.rate = append(s.rate, off)
		}
		return s
	}
}

// learning is that of the learner, of which nothing was seen.
func learning(t *testing.T, sets [][]float64) *learn.Learning { return learningOf(t, learner, sets) }

func learningOf(t *testing.T, text string, sets [][]float64) *learn.Learning {
	source, err := mustParse(t, text).learner(nil)
	require.NoError(t, err)
	l, err := learn.New(source, sets, nil)
	require.NoError(t, err)
	return l
}

// Simulated bikes drawn as learning draws them, six gears tried ten times backwards and listened
// to, a word in twenty wrong: the 90 % interval of an unknown holds the true number about nine times
// of ten. Those are looked at that what was seen told of, and all together; and the gears that
// nothing was seen of are foretold better than by nothing.
func TestIntervalsHoldTheTruth(t *testing.T) {
	if testing.Short() {
		t.Skip("learns many times")
	}
	sets, err := shippedSets()
	require.NoError(t, err)
	l := learning(t, sets)
	faults := []sim.Concern{sim.NoiseRiding, sim.DropBackwards}
	rng := rand.New(rand.NewPCG(3, 90))
	held, asked, heldTold, askedTold := 0.0, 0.0, 0.0, 0.0
	loss := [2]float64{}
	bikes := few(20, 100)
	for range bikes {
		truth := simulate(l, faults, nil, rng)
		c := mustParse(t, learner)
		seen := []int{0, 2, 5, 8, 10, 11}
		for _, g := range seen {
			gear := countDrops(t, c, g, truth.rate[1][g], rng)
			what := "quiet"
			if (truth.rate[0][g] > 0.5) == (rng.Float64() < 0.95) {
				what = "noise"
			}
			require.NoError(t, c.AddSeen(Observation{Gears: gear, What: what}))
		}
		got, err := c.Learn("test", nil)
		require.NoError(t, err)
		for i, m := range got.Moves {
			var x float64
			switch j := i - len(freeNumbers); {
			case j < 0:
				x = freeNumbers[i].At(truth.set[i])
			case j == 2:
				x = truth.lines[2]
			default:
				continue
			}
			in := 0.0
			if x >= m.After[0]-1e-9 && x <= m.After[2]+1e-9 {
				in = 1
			}
			asked++
			held += in
			if m.Told() {
				askedTold++
				heldTold += in
			}
		}
		for _, g := range []int{1, 3, 4, 6, 7, 9} {
			for h, k := range faults {
				is := truth.rate[h][g] > learn.SpreadOf(k).Rate
				for i, p := range [...]float64{got.Before[g][k], got.After[g][k]} {
					if !is {
						p = 1 - p
					}
					loss[i] -= math.Log(p) / float64(12*bikes)
				}
			}
		}
	}
	t.Logf("%d bikes: %.0f of %.0f (%.3f) unknowns in their 90 %% interval; those told of: %.0f of %.0f (%.3f); log loss of gears not seen: %.3f before, %.3f after", bikes, held, asked, held/asked, heldTold, askedTold, heldTold/askedTold, loss[0], loss[1])
	assert.InDelta(t, 0.9, held/asked, 0.05)
	if askedTold > 200 {
		assert.InDelta(t, 0.9, heldTold/askedTold, 0.08)
	}
	assert.Less(t, loss[1], loss[0])
	if long { // of twenty bikes few have a fault
		assert.Less(t, loss[1], 0.8*loss[0])
	}
}

// Simulated bikes that are not as the file says, or are told with a word in ten wrong: 90 % intervals hold free
// numbers in 85 to 95 %, and the gears that nothing was seen of are foretold better than by nothing. How often
// that of the lines holds 1.5 mm is printed: what is seen hardly tells of a line, so that it is how wide a
// line's doubt was before, and 1.5 mm is more than that.
func TestIntervalsHoldOtherTruths(t *testing.T) {
	if testing.Short() {
		t.Skip("learns many times")
	}
	sets, err := shippedSets()
	require.NoError(t, err)
	faults := []sim.Concern{sim.NoiseRiding, sim.DropBackwards}
	for _, c := range []struct {
		name, text string // of the bike as it is
		off, wrong float64
	}{
		{"front line 1.5 mm farther outboard", strings.NewReplacer("line: 52", "line: 53.5 ± 0", "line: 44.5", "line: 44.5 ± 0").Replace(learner), 1.5, 0.05},
		{"front line 1.5 mm farther inboard", strings.NewReplacer("line: 52", "line: 50.5 ± 0", "line: 44.5", "line: 44.5 ± 0").Replace(learner), -1.5, 0.05},
		{"a word in ten wrong", learner, math.NaN(), 0.1},
	} {
		l := learningOf(t, c.text, sets)
		rng := rand.New(rand.NewPCG(8, 29))
		bikes := few(8, 50)
		line, before, held, asked, loss := 0, 0, 0.0, 0.0, [2]float64{}
		for range bikes {
			truth := simulate(l, faults, nil, rng)
			told := mustParse(t, learner)
			for _, g := range []int{0, 2, 5, 8, 10, 11} {
				gear := countDrops(t, told, g, truth.rate[1][g], rng)
				what := "quiet"
				if (truth.rate[0][g] > 0.5) == (rng.Float64() >= c.wrong) {
					what = "noise"
				}
				require.NoError(t, told.AddSeen(Observation{Gears: gear, What: what}))
			}
			got, err := told.Learn("test", nil)
			require.NoError(t, err)
			for i := range freeNumbers {
				m := &got.Moves[i]
				if x := freeNumbers[i].At(truth.set[i]); x >= m.After[0]-1e-9 && x <= m.After[2]+1e-9 {
					held++
				}
				asked++
			}
			m := &got.Moves[len(got.Moves)-1]
			if m.After[0] <= c.off && c.off <= m.After[2] {
				line++
			}
			if m.Before[0] <= c.off && c.off <= m.Before[2] {
				before++
			}
			for _, g := range []int{1, 3, 4, 6, 7, 9} {
				for h, k := range faults {
					for i, p := range [...]float64{got.Before[g][k], got.After[g][k]} {
						if truth.rate[h][g] <= learn.SpreadOf(k).Rate {
							p = 1 - p
						}
						loss[i] -= math.Log(p) / float64(12*bikes)
					}
				}
			}
		}
		t.Logf("%s: of %d bikes the line is in its interval in %d (before anything was seen in %d); free numbers %.3f; log loss of gears not seen %.3f before, %.3f after", c.name, bikes, line, before, held/asked, loss[0], loss[1])
		assert.InDelta(t, 0.9, held/asked, 0.05, c.name)
		assert.Less(t, loss[1], loss[0], c.name)
	}
}

// What was surely seen gets no less likely by being seen, whatever else was.
func TestACertainObservationNeverLowersItself(t *testing.T) {
	ofNumbers(t)
	all := []string{"32/51 backwards: off 3 of 10", "32/10: noise", "32/44: quiet", "32/51: noise", "32/44 backwards: fine"}
	for i := range all {
		told := append(append([]string{}, all[:i]...), all[i+1:]...)
		without := taught(t, learner, told...)
		with := taught(t, learner, append(told, all[i]+" sure 0.99")...)
		x := with.Seen[len(told)]
		k, g := x.One, x.Gears[0]
		if x.None != nil {
			assert.LessOrEqual(t, with.After[g][k], without.After[g][k]+0.02, all[i])
		} else {
			assert.GreaterOrEqual(t, with.After[g][k], without.After[g][k]-0.02, all[i])
		}
	}
}

// seenOf returns so many observations of one bike: noise and tries by turns over the gears.
func seenOf(t testing.TB, n int) *Case {
	c, err := Parse("bike.yaml", []byte(learner))
	require.NoError(t, err)
	for i := range n {
		cog := c.Rear.Cogs[i/2%len(c.Rear.Cogs)]
		o := Observation{Gears: fmt.Sprintf("32/%d", cog), What: "quiet"}
		switch {
		case i%2 == 1:
			o.Direction, o.What, o.Of = "backwards", "off", 10
			if cog > 40 {
				o.Off = 4
			}
		case cog > 40:
			o.What = "noise"
		}
		require.NoError(t, c.AddSeen(o))
	}
	return c
}

func BenchmarkLearn(b *testing.B) {
	for _, n := range []int{1, 12, 24, 100, 1000} {
		c := seenOf(b, n)
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				_, err := c.Learn("test", nil)
				require.NoError(b, err)
			}
		})
	}
}

// countDrops has ten back-pedals in a gear of the learner counted, of which each drops the chain with a chance, and
// returns the gear's name.
func countDrops(t *testing.T, c *Case, g int, chance float64, rng *rand.Rand) string {
	off := 0
	for range 10 {
		if rng.Float64() < chance {
			off++
		}
	}
	gear := fmt.Sprintf("32/%d", c.Rear.Cogs[g])
	require.NoError(t, c.AddSeen(Observation{Gears: gear, Direction: "backwards", What: "off", Off: off, Of: 10}))
	return gear
}
