package show

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

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
		"Best: two, fault score 0.20 against 0.50 for one.":                                                                      {0.5, 0.2},
		"Best: one, fault score 0.20 against 0.50 for two.":                                                                      {0.2, 0.5},
		"Best: three, fault score 0.10 against 0.50 for one.":                                                                    {0.5, 0.2, 0.1},
		"No other set-up helps by more than the model can resolve: fault score 0.50 for the first, at best 0.49 for the others.": {0.5, 0.49},
		"No other set-up helps by more than the model can resolve: fault score 0.20 for the first, at best 0.50 for the others.": {0.2, 0.5, 0.5},
		"No other set-up helps by more than the model can resolve: fault score 0.50 for the first, at best 0.50 for the others.": {0.5, 0.5},
	} {
		assert.Equal(t, want, comparedWords(sets[:len(sums)], troubles(sums...)))
	}
}

// Of a list's combinations that one stands first which is worth most beyond its price; the one with the fewest faults
// and what is free stand beside it.
func TestWhatIsWorthItsPriceStandsFirst(t *testing.T) {
	of := func(left, price float64, names ...string) PartsBest {
		return PartsBest{Changes: names, Price: price, Avoided: 0.5 - left, PartsScore: PartsScore{Left: left}}
	}
	dear, cheap, free, leave := of(0.1, 200, "dear"), of(0.2, 30, "cheap"), of(0.4, 0, "free"), of(0.5, 0)
	said := func(worth float64, priced bool, best ...PartsBest) string {
		return PartsWords(&Parts{Best: best}, &cases.Expected{}, &decide.Usual, priced, worth)
	}
	assert.Equal(t, "Best: cheap, for 30.00. The fault score falls from 0.50 to 0.20. Fewest faults: dear, for 200.00 (0.10). Free: free (0.40).", said(400, true, dear, cheap, free, leave))
	assert.Equal(t, "Best: dear, for 200.00. The fault score falls from 0.50 to 0.10. Free: free (0.40).", said(40000, true, dear, of(0.3, 30, "cheap"), free, leave))
	assert.Equal(t, "Best: dear, for 200.00. The fault score falls from 0.50 to 0.10. Half of them: cheap, for 30.00 (0.20). Free: free (0.40).", said(4000, true, dear, cheap, free, leave))
	assert.Equal(t, "Best: free, for nothing. The fault score falls from 0.50 to 0.40. Fewest faults: dear, for 200.00 (0.10). Half of them: cheap, for 30.00 (0.20).", said(1, true, dear, cheap, free, leave))
	assert.Equal(t, "Leave it: what helps costs more than it is worth. Fewest faults: dear, for 200.00 (0.10). Half of them: cheap, for 30.00 (0.20).", said(1, true, dear, cheap, leave))
	assert.Equal(t, "Best: dear. The fault score falls from 0.50 to 0.10.", said(1, false, dear, cheap, leave))
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

// Tests before a choice by hand: to leave it is 0.6 of trouble, a change with its effort 0.2 or 0.8. A test that tells
// which saves (0.2 + 0.6) / 2 for 0.5, and turns the choice half of the time; one that tells nothing is worth nothing.
func TestTestsBeforeAChoiceByHand(t *testing.T) {
	sure := cases.Test{Text: "look", Minutes: 2, Likely: decide.Experiment{{1, 0}, {0, 1}}}
	idle := cases.Test{Text: "guess", Minutes: 1, Likely: decide.Experiment{{0.5, 0.5}, {0.5, 0.5}}}
	of := func(tests ...cases.Test) *Next {
		c := &decide.Choice{Trouble: [][]float64{{0.6, 0.6}, {0.1, 0.7}}, Weight: []float64{1, 1}}
		d, err := FromTests("a bike", c, []string{"as it is", "spacer"}, []string{"leave it", "fit the spacer"}, 0.1, tests)
		require.NoError(t, err)
		return d
	}
	d := of(idle, sure)
	assert.Equal(t, []NextOption{{"as it is", 0.6}, {"spacer", 0.5}}, d.Options)
	assert.Equal(t, [3]float64{0.5, 0.6, 0.1}, [3]float64{d.Trouble, d.Before, d.Perfect})
	assert.Equal(t, "spacer", d.Best)
	require.Len(t, d.Tests, 2)
	assert.Equal(t, [2]any{"look", "guess"}, [2]any{d.Tests[0].Text, d.Tests[1].Text})
	assert.Equal(t, [2]float64{0.1, 0.5}, [2]float64{d.Tests[0].Avoided, d.Tests[0].Turns})
	assert.Equal(t, [2]float64{0, 0}, [2]float64{d.Tests[1].Avoided, d.Tests[1].Turns})
	assert.False(t, d.Enough)
	assert.Equal(t, []string{"look", "2", "0.5", "0.1"}, d.Rows()[0])
	assert.Contains(t, d.Answer, "look")
	var b strings.Builder
	require.NoError(t, NextTable(&b, d, 6, ""))
	assert.Contains(t, b.String(), "0.100")
	assert.NotContains(t, b.String(), "guess", "what is worth nothing is no row")

	d = of(idle)
	assert.True(t, d.Enough)
	b.Reset()
	require.NoError(t, NextTable(&b, d, 6, ""))
	assert.NotContains(t, b.String(), "guess")

	bad := sure
	bad.Likely = decide.Experiment{{1, 1}, {1, 0}}
	_, err := FromTests("a bike", &decide.Choice{Trouble: [][]float64{{1, 1}, {0, 1}}, Weight: []float64{1, 1}}, []string{"a", "b"}, []string{"a", "b"}, 0, []cases.Test{bad})
	assert.ErrorIs(t, err, decide.ErrChoice)
	assert.ErrorContains(t, err, "look: ")

	d = &Next{Trouble: 2}
	for x, want := range map[NextTest]bool{{Turns: 0.05, Avoided: 0.04}: true, {Turns: 0.0499, Avoided: 1}: false, {Turns: 1, Avoided: 0.0399}: false} {
		assert.Equal(t, want, d.worthwhile(&x), "%+v", x)
	}
}
