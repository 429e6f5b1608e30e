package show

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// What to check first, by hand: a test is worth its minutes that turns the choice in 5 % at least and
// avoids a fiftieth of the fault score, work counted with every change.
func TestWhatToCheckByHand(t *testing.T) {
	// Two options, ten sets alike: the change leaves 0.2, but 0.6 in two of the sets; as it is 0.5.
	choice := func() *decide.Choice {
		c := &decide.Choice{Trouble: make([][]float64, 2)}
		for k := range 10 {
			after := 0.2
			if k < 2 {
				after = 0.6
			}
			c.Weight, c.Trouble[0], c.Trouble[1] = append(c.Weight, 1), append(c.Trouble[0], 0.5), append(c.Trouble[1], after)
		}
		return c
	}
	tells := make(decide.Experiment, 2) // which of the two it is
	for k := range 10 {
		yes := 0.0
		if k < 2 {
			yes = 1
		}
		tells[0], tells[1] = append(tells[0], yes), append(tells[1], 1-yes)
	}
	d, err := FromTests("bike", choice(), []string{"as it is", "spacers"}, 0.05, []cases.Test{{Text: "look at nothing", Minutes: 1, Likely: decide.Experiment{{1, 1, 1, 1, 1, 1, 1, 1, 1, 1}}}, {Text: "try it", Minutes: 9, Likely: tells}})
	require.NoError(t, err)
	assert.Equal(t, "spacers", d.Best)
	assert.Equal(t, 0.5, d.Before)
	assert.Equal(t, 0.33, d.Trouble, "0.28 and the work")
	assert.Equal(t, []NextOption{{"as it is", 0.5}, {"spacers", 0.33}}, d.Options)
	// Known: 0.5 in two sets, 0.25 in eight.
	assert.Equal(t, []NextTest{{"try it", 9, 0.2, 0.03}, {"look at nothing", 1, 0, 0}}, d.Tests)
	assert.Equal(t, 0.03, d.Perfect)
	assert.False(t, d.Enough)
	assert.Equal(t, "First try it. The chance that this changes what you should do is 20 %. As things are known now, the best is spacers: fault score 0.33 with the work counted as 0.05, against 0.50 left alone.", d.Answer)
	for _, x := range []struct {
		turns, avoided float64
		worth          bool
	}{{0.05, 0.005, true}, {0.0499, 0.005, false}, {0.05, 0.0049, false}, {1, 0.03, true}} {
		d.Trouble = 0.25
		assert.Equal(t, x.worth, d.worthwhile(&NextTest{Turns: x.turns, Avoided: x.avoided}), "%+v", x)
	}
	left, err := FromTests("bike", choice(), []string{"as it is", "spacers"}, 0.4, nil)
	require.NoError(t, err)
	assert.Equal(t, "Nothing is left to check: no test is likely to change what you should do. As things are known now, leave it: fault score 0.50.", left.Answer)
	_, err = FromTests("bike", choice(), []string{"as it is", "spacers"}, 0, []cases.Test{{Text: "bad", Likely: decide.Experiment{{1}}}})
	assert.ErrorContains(t, err, "bad: ")
}

// bestOf is a combination.
func bestOf(price, left, avoided float64, changes ...string) PartsBest {
	sure := 0.994
	return PartsBest{Changes: changes, Price: price, Avoided: avoided, Surer: &sure, PartsScore: PartsScore{Left: left}}
}

// The best combination, a cheaper one that avoids half as much, and the best free one, by hand.
func TestWordsOfCombinations(t *testing.T) {
	before := &cases.Expected{Judged: decide.Judged{Left: 0.4, Harm: 0.1}}
	before.Trouble.By[sim.NoiseRiding], before.Trouble.By[sim.DropBackwards] = 0.3, 0.2
	w := &decide.Weights{}
	w[sim.NoiseRiding], w[sim.DropBackwards] = 1, 2
	words := func(priced bool, list ...PartsBest) string { return PartsWords(&Parts{Best: list}, before, w, priced) }
	top := bestOf(100, 0.1, 0.4, "ring", "cage")
	asItIs := PartsBest{Changes: []string{}, PartsScore: PartsScore{Left: 0.5}}
	const best = "Best: ring + cage, for 100.00. The fault score falls from 0.50 to 0.10, on 99 of 100 versions of the bike."
	assert.Equal(t, best, words(true, top, asItIs))
	assert.Equal(t, "Best: ring + cage. The fault score falls from 0.50 to 0.10, on 99 of 100 versions of the bike.", words(false, top, asItIs))
	assert.Equal(t, best+" Cheaper: ring, for 60.00 (0.30).", words(true, top, bestOf(60, 0.3, 0.2, "ring"), asItIs))
	assert.Equal(t, best, words(true, top, bestOf(60, 0.31, 0.19, "ring"), asItIs), "it avoids less than half")
	assert.Equal(t, best, words(true, top, bestOf(100, 0.1, 0.4, "other")), "it costs the same")
	assert.Equal(t, best+" Cheaper: bolts, for 30.00 (0.28).", words(true, top, bestOf(60, 0.3, 0.2, "ring"), bestOf(30, 0.28, 0.22, "bolts"), asItIs))
	assert.Equal(t, best+" Free: spacers (0.40).", words(true, top, bestOf(0, 0.4, 0.1, "spacers"), bestOf(0, 0.45, 0.05, "washers"), asItIs))
	assert.Equal(t, best+" Free: spacers (0.30).", words(true, top, bestOf(0, 0.3, 0.2, "spacers"), asItIs), "the cheaper one is the free one")
	assert.Equal(t, best+" Cheaper: ring, for 60.00 (0.30). Free: spacers (0.40).", words(true, top, bestOf(60, 0.3, 0.2, "ring"), bestOf(0, 0.4, 0.1, "spacers"), asItIs))
	assert.Equal(t, "Leave it: no change helps by more than the model can resolve (fault score 0.50, mostly chain drop when back-pedalling).", words(true, asItIs, top))
	assert.Empty(t, words(true))

	for surer, want := range map[float64]string{1: "99", 0: "1", 0.994: "99", 0.5: "50"} {
		top.Surer = &surer
		assert.Equal(t, want, top.Sure())
	}
	top.Surer = nil
	assert.Equal(t, "-", top.Sure())
	assert.Equal(t, "as it is", asItIs.Name())
	assert.Equal(t, "-", asItIs.Harms())
	for n, more := range map[int]string{1: "", 2: ", 1 more", 4: ", 3 more"} {
		top.Worse = make([]Changed, n)
		top.Worse[0] = Changed{RingTeeth: 32, CogTeeth: 10, First: 0.1, Chance: 0.194, concern: sim.NoiseRiding}
		assert.Equal(t, "noise 32/10 +9 %"+more, top.Harms())
	}
	top.Worse = append(top.Worse[:1:1], make([]Changed, 3)...)
	assert.Contains(t, words(false, top), "versions of the bike. Side effect: more noise 32/10 +9 %, 3 more.")
	late := func(x float64) *PartsScore { return &PartsScore{AnyLate: &x} }
	for x, want := range map[float64]string{0.05: "", 0.0999: "", 0.1: " (some shift late: 10 %, as it is 5 %)", 0.5: " (some shift late: 50 %, as it is 5 %)"} {
		b := PartsBest{PartsScore: *late(x)}
		assert.Equal(t, want, b.shiftWords(late(0.05)))
		assert.Empty(t, b.shiftWords(&PartsScore{}))
		assert.Empty(t, (&PartsBest{}).shiftWords(late(x)))
	}
}

// Set-ups side by side, by hand: chances that differ by 5 % in the same gear, the most first; gears that
// may well have a fault; which set-up is told best.
func TestSetUpsByHand(t *testing.T) {
	setUp := func(gears ...[3]float64) *SetUp { // cog, noise, drop riding
		s := &SetUp{Result: &sim.Result{}}
		for _, g := range gears {
			var c sim.Chances
			for k := range c {
				c[k] = -1
			}
			c[sim.NoiseRiding], c[sim.DropRiding] = g[1], g[2]
			s.Result.Gears = append(s.Result.Gears, sim.Gear{RingTeeth: 32, CogTeeth: int(g[0]), Fit: sim.Fit{Closes: true}, Top: sim.Span{Bend: sim.Radians(g[0] / 10)}, Bottom: sim.Span{Bend: sim.Radians(g[0] / 20)}})
			s.Chances = append(s.Chances, c)
		}
		return s
	}
	first, other := setUp([3]float64{12, 0.25, 0}, [3]float64{14, 0.5, 0.2}, [3]float64{16, 0.5, -1}), setUp([3]float64{14, 0.25, 0.26}, [3]float64{12, 0.3125, 0.04}, [3]float64{18, 1, 1})
	got := other.changes(first)
	var list []string
	for _, c := range got {
		list = append(list, fmt.Sprintf("%d %s %g %g", c.CogTeeth, c.Concern, c.First, c.Chance))
	}
	assert.Equal(t, []string{"14 noise_riding 0.5 0.25", "12 noise_riding 0.25 0.3125", "14 drop_riding 0.2 0.26"}, list)
	assert.Empty(t, first.changes(first))

	s := setUp([3]float64{12, 0.34, 0.35}, [3]float64{14, 0.35, 0.1}, [3]float64{16, 0.1, 0.1}, [3]float64{30, -1, -1})
	s.Chances[2][sim.RubsTyreAt], s.Chances[3][sim.DoesNotClose], s.Chances[0][sim.DropBackwards] = 0.35, 0.35, 0.9
	assert.Equal(t, Summary{Gears: 4, QuietBothWays: 0, MayClimbRiding: 1, MayClimbBack: 1, Rubs: 1, CannotClose: 1, WorstTopBend: 3, WorstBottomBend: 1.5}, s.summary())
	s.Chances[1][sim.NoiseRiding], s.Chances[2][sim.RubsTyreAt], s.Chances[3][sim.DoesNotClose] = 0.34, 0.34, 0.34
	assert.Equal(t, 3, s.summary().QuietBothWays)
	assert.Equal(t, "D?/D", marks(&s.Chances[0]))
	assert.Equal(t, "-/-", marks(&s.Chances[1]))

	sets := []SetUp{{Name: "one"}, {Name: "two"}, {Name: "three"}}
	troubles := func(sums ...float64) (list []decide.Trouble) {
		for _, x := range sums {
			list = append(list, decide.Trouble{Sum: x})
		}
		return list
	}
	for want, sums := range map[string][]float64{
		"Best: two, fault score 0.20 against 0.50 for one.":                                                 {0.5, 0.2},
		"Best: one, fault score 0.20 against 0.50 for two.":                                                 {0.2, 0.5},
		"Best: three, fault score 0.10 against 0.50 for one.":                                               {0.5, 0.2, 0.1},
		"No other set-up helps by more than the model can resolve: fault score 0.49 at best, 0.50 for one.": {0.5, 0.49},
		"No other set-up helps by more than the model can resolve: fault score 0.20 at best, 0.20 for one.": {0.2, 0.5, 0.5},
		"No other set-up helps by more than the model can resolve: fault score 0.50 at best, 0.50 for one.": {0.5, 0.5},
	} {
		assert.Equal(t, want, comparedWords(sets[:len(sums)], troubles(sums...)))
	}
}

// Six changes of a set-up are listed and the others counted; of none there is no list.
func TestListOfChanges(t *testing.T) {
	said := func(n int) []string {
		s := &ComparedSetUp{}
		for i := range n {
			s.Changes = append(s.Changes, Changed{RingTeeth: 32, CogTeeth: 10 + i, First: 0.5, Chance: 0.25, concern: sim.NoiseRiding})
		}
		return lines(func(p *printer) { s.changeLines(p, 2) })
	}
	assert.Equal(t, []string{""}, said(0))
	got := said(1)
	assert.Equal(t, "What 2 changes against 1", got[1])
	assert.Regexp(t, `^32/10 +noise +50 % +25 %$`, got[3])
	assert.Len(t, said(6), 9)
	assert.Equal(t, "and 1 more, all in --format json", said(7)[9])
}
