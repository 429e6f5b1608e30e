package cases

import (
	"math"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// At a limit the bike with that very number has every fault below the chance, but those that were above it; a little
// beyond the one that is named is above. A surer chance lies nearer, a likelier one farther.
func TestLimitsAreThoseOfTheBikeItself(t *testing.T) {
	ofNumbers(t)
	told := 0
	for _, x := range []struct {
		path  string
		level float64
		side  int
		by    sim.Concern
	}{
		{"front.line", 0.35, 0, sim.MeetsStay}, {"front.line", 0.2, 1, sim.DropRiding}, {"rear.line", 0.35, 1, sim.MeetsDropout}, {"tyre.width", 0.35, 1, sim.RubsTyreAt},
	} {
		c, err := Load("trail", nil)
		require.NoError(t, err)
		c.Symptoms = nil
		l, err := c.HowFar(x.path, x.level, 0)
		require.NoError(t, err)
		e := l.Ends[x.side]
		require.False(t, e.Open, x.path)
		assert.Equal(t, x.by, e.By.Concern, x.path)
		assert.GreaterOrEqual(t, e.By.Chance, x.level)
		already := map[sim.Concern]bool{}
		for _, a := range l.Already {
			already[a.Concern] = true
			assert.GreaterOrEqual(t, a.Chance, x.level)
		}
		out := math.Copysign(0.02, float64(x.side)-0.5)
		at := func(v float64, of func(k sim.Concern) bool) (most float64) {
			n, err := c.Set(x.path, strconv.FormatFloat(v, 'f', 6, 64))
			require.NoError(t, err)
			gears, err := n.Chances()
			require.NoError(t, err)
			for g := range gears {
				for k, p := range gears[g] {
					if of(sim.Concern(k)) {
						most = max(most, p)
					}
				}
			}
			return most
		}
		any := func(k sim.Concern) bool { return !already[k] }
		assert.Less(t, at(e.At, any), x.level+0.03, x.path) // the number itself is exact then, and was read with doubt
		assert.Greater(t, at(e.At+out, any), x.level-0.03, x.path)
		toward := float64(2*x.side - 1)
		own := func(k sim.Concern) bool { return k == x.by }
		for i, p := range []float64{0.1, 0.65} { // a surer chance lies nearer, a likelier one farther
			between := e.Between[i]
			if math.IsNaN(between) {
				continue
			}
			told++
			assert.InDelta(t, p, at(between+out, own), 0.04, "%s %g", x.path, p)
			assert.Equal(t, p > x.level, toward*(between-e.At) > 0, x.path)
			assert.Greater(t, toward*(between-l.Today), 0.0, x.path)
		}
		assert.LessOrEqual(t, toward*(e.At-e.Looked), 0.0)
	}
	assert.GreaterOrEqual(t, told, 4)
}

// Whole numbers stay whole, what cannot be ends a side with its reason, and a side that nothing ends is open; what
// cannot be asked for is refused.
func TestLimitsOfWholeNumbersAndMistakes(t *testing.T) {
	ofNumbers(t)
	c, err := Load("trail", nil)
	require.NoError(t, err)
	l, err := c.HowFar("rear.cogs[11]", 0.35, 0)
	require.NoError(t, err)
	assert.Equal(t, 45.0, l.Ends[0].At, "the next smaller cog has 44")
	assert.Contains(t, l.Ends[0].Cannot, "want the smallest first")
	assert.Equal(t, math.Trunc(l.Ends[1].At), l.Ends[1].At)
	l, err = c.HowFar("front.rings[0]", 0.35, 40) // every other number cannot be: narrow-wide
	require.NoError(t, err)
	assert.Equal(t, 10.0, l.Ends[0].At, "9 teeth cannot be narrow-wide, and fewer no chainring")
	assert.Greater(t, l.Ends[1].At, 40.0)
	assert.Zero(t, math.Mod(l.Ends[1].At, 2))
	far, err := c.HowFar("front.rings[0]", 0.35, 47) // and how far is looked changes nothing that is nearer
	require.NoError(t, err)
	assert.Equal(t, l.Ends[1].At, far.Ends[1].At)
	assert.Equal(t, l.Ends[1].By, far.Ends[1].By)
	l, err = c.HowFar("tensioner.cage", 0.02, 40) // where pulleys meet no chance is told
	require.NoError(t, err)
	for _, x := range l.Ends[0].Between {
		assert.True(t, math.IsNaN(x) || x > 58, "%g", x)
	}
	_, err = c.HowFar("chain.links", 0.35, 0)
	assert.ErrorContains(t, err, "chain.links: not a number that the case gives")
	l, err = c.HowFar("chain.slack", 0.5, 0.1)
	require.NoError(t, err)
	for i, to := range []float64{0.7, 0.9} {
		assert.True(t, l.Ends[i].Open)
		assert.InDelta(t, to, l.Ends[i].Looked, 1e-9)
	}
	for _, path := range []string{"front.lines", "tensioner.actuation"} {
		_, err := c.HowFar(path, 0.35, 0)
		assert.ErrorContains(t, err, path+": not a number that the case or a default gives")
	}
	for _, level := range []float64{0, 1, -1, math.NaN()} {
		_, err := c.HowFar("front.line", level, 0)
		assert.ErrorContains(t, err, "out of range")
	}
	_, err = c.HowFar("front.line", 0.35, math.NaN())
	assert.ErrorContains(t, err, "out of range")
}

// An end between two values is told in few digits, and still between them.
func TestEndsAreTold(t *testing.T) {
	for _, v := range []struct{ x, tolerance, want float64 }{{57.67089843750001, 0.0014, 57.6709}, {57.67089843750001, 0.014, 57.671}, {12345.678, 30, 12350}, {0.000123456, 1e-6, 0.0001235}} {
		got := shortly(v.x, v.tolerance)
		assert.Equal(t, v.want, got)
		assert.LessOrEqual(t, math.Abs(got-v.x), v.tolerance/2)
	}
}
