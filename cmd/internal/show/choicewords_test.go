package show

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"

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
