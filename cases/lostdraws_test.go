package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
)

// A cage so short that in some of the draws its pulleys would touch: those draws are left out of
// everything, and counted nowhere.
func TestDrawsThatCannotBeAreLeftOut(t *testing.T) {
	c := mustParse(t, strings.Replace(learner, "cage: 93", "cage: 59 ± 3", 1)+"observations:\n  - {gears: 32/51, direction: backwards, what: off, off: 3, of: 10}\n")
	draws, err := c.draw([]float64{0})
	require.NoError(t, err)
	good := 0
	var sum sim.Chances
	for _, d := range draws {
		if d.Err == nil {
			good++
			for k, p := range d.Chances[0][11] {
				sum[k] += p
			}
		}
	}
	require.True(t, good > judge.Sets/2 && good < judge.Sets*9/10, "%d of %d can be", good, judge.Sets)
	all, err := c.Chances()
	require.NoError(t, err)
	for k, s := range sum {
		assert.InDelta(t, judge.Settled(sim.Concern(k), s/float64(good)), all[11][k], 1e-12, sim.Concern(k).String())
	}
	o, err := c.Outlook([]float64{0})
	require.NoError(t, err)
	assert.Len(t, o.Sets(), good)
	choice, err := o.Choice(&decide.Usual)
	require.NoError(t, err)
	for k, d := range draws {
		if d.Err != nil {
			assert.Zero(t, choice.Weight[k])
			assert.Zero(t, choice.Trouble[0][k])
		} else {
			assert.Equal(t, 1.0, choice.Weight[k])
			assert.Positive(t, choice.Trouble[0][k])
		}
	}
	seen, err := c.Foresee()
	require.NoError(t, err)
	assert.Equal(t, all[11], seen[11].Chances)
	windows, err := c.Windows()
	require.NoError(t, err)
	for _, w := range windows {
		assert.True(t, w.From[0] <= w.From[1] && w.From[2] < w.To[0] && w.To[1] <= w.To[2], "%+v", w)
	}
	bent, err := c.bentBySet()
	require.NoError(t, err)
	for k := range bent {
		assert.Equal(t, draws[k].Err == nil, bent[k] != nil)
	}
	l, err := c.Learn("v", nil)
	require.NoError(t, err)
	sets, err := c.starts()
	require.NoError(t, err)
	assert.Len(t, sets, judge.Sets)
	assert.Greater(t, l.Seen[0].After, l.Seen[0].Before)
}

// A set whose readings cannot be is left out of what a shop foretells.
func TestReadingsThatCannotBeAreLeftOut(t *testing.T) {
	c := mustParse(t, strings.Replace(learner, "cage: 93", "cage: 57.8 ± 3", 1)+"observations:\n  - {gears: 32/51, direction: backwards, what: off, off: 3, of: 10}\n")
	got := pool(t, []string{"a"}, []*Case{c}).Bikes[0]
	require.Equal(t, 1, got.Outcomes)
	assert.Equal(t, got.Shipped, got.LeftOut, "of no other bike")
	assert.True(t, got.Shipped > -math.Log(0.99) && got.Shipped < -math.Log(0.3), "%g", got.Shipped)
}

// Where more than half of the draws cannot be, every door says so, with how many and the last reason, and
// answers nothing: here tips come out thicker than teeth, or the cage's pulleys touch.
func TestTooManyLostDrawsAreTold(t *testing.T) {
	c := mustParse(t, strings.NewReplacer("cage: 93", "cage: 57.8 ± 3", "44, 51]", "44, 51], tooth: {tip_thickness: 1.6 ± 0.1, thickness: 1.6 ± 0.1}").Replace(learner))
	for name, d := range doors {
		if !d.drawn || name == "windows" {
			continue
		}
		got, err := d.ask(c)
		var e *Error
		require.ErrorAs(t, err, &e, name)
		assert.ErrorContains(t, err, "bike.yaml", name)
		assert.Empty(t, got, name)
	}
	_, err := c.Windows()
	require.Error(t, err)
	c.Observations = []Observation{{Gears: "32/51", What: "quiet"}}
	_, err = c.Learn("v", nil)
	require.Error(t, err)
}
