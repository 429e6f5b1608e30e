package cases

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// along returns the chance of a drop backwards in the last gear with the rings moved outboard, mm, by what
// was learned.
func along(t *testing.T, l *Lesson, by float64) float64 {
	all, err := l.Case.ChancesAlong([]float64{by})
	require.NoError(t, err)
	return all[0][len(all[0])-1][sim.DropBackwards]
}

// What was seen with the chainrings moved is what would be seen of a bike that has them there.
func TestATriedChangeIsABikeOfItsOwn(t *testing.T) {
	exact := strings.NewReplacer("line: 52", "line: 52 ± 0", "line: 44.5", "line: 44.5 ± 0").Replace(learner)
	there := strings.Replace(exact, "line: 52", "line: 49", 1)
	tried := taught(t, exact, "32/51 backwards: off 2 of 10 moved -3", "32/44: quiet moved -3")
	own := taught(t, there, "32/51 backwards: off 2 of 10", "32/44: quiet")
	// Two clouds of 500 differ by some hundredths.
	assert.InDelta(t, along(t, own, 0), along(t, tried, -3), 0.05)
	assert.InDelta(t, along(t, own, 3), along(t, tried, 0), 0.05)
	for i := range own.Seen {
		assert.InDelta(t, own.Seen[i].Before, tried.Seen[i].Before, 0.01, own.Seen[i].Text)
		assert.InDelta(t, own.Seen[i].After, tried.Seen[i].After, 0.05, own.Seen[i].Text)
	}
	assert.Zero(t, tried.Rates[0].Of)
	for _, r := range tried.Rates {
		assert.Zero(t, r.Of, "what was counted elsewhere was not counted here")
	}
}

// A change that was tried and did not help makes the fault there likelier than one that did, and tells of the
// bike as it is too; the chain does drop in both.
func TestWhatDidNotHelpIsBelieved(t *testing.T) {
	text := strings.Replace(learner, "line: 52", "line: 54", 1)
	drops := "32/51 backwards: off 6 of 10"
	alone := taught(t, text, drops)
	cured := taught(t, text, drops, "32/51 backwards: off 0 of 20 moved -4")
	not := taught(t, text, drops, "32/51 backwards: off 9 of 20 moved -4")
	was := along(t, alone, -4)
	t.Logf("4 mm inboard: %.3f; cured %.3f, not %.3f", was, along(t, cured, -4), along(t, not, -4))
	assert.Less(t, along(t, cured, -4), 0.3)
	assert.Greater(t, along(t, not, -4), 0.9)
	for _, l := range []*Lesson{alone, cured, not} {
		assert.Greater(t, along(t, l, 0), 0.9)
	}
	assert.Equal(t, []Contrary(nil), contraryOf(t, cured.Case))
	b, err := not.Case.Bike()
	require.NoError(t, err)
	told, err := not.Case.Happened(b)
	require.NoError(t, err)
	assert.Len(t, told, 1, "of the bike as it is")
}

func contraryOf(t *testing.T, c *Case) []Contrary {
	list, err := c.Contrary()
	require.NoError(t, err)
	return list
}

// What was tried is written and read back, and refused where it cannot be.
func TestATriedChangeReadsBack(t *testing.T) {
	for text, want := range map[string]string{
		"32/51 backwards: off 0 of 20 moved -4":         "32/51 backwards: off 0 of 20 moved -4",
		"32/51: noise loud moved +1.5 mm sure 0.8":      "32/51 riding: noise loud moved 1.5 sure 0.8",
		"32/51: quiet moved -2mm":                       "32/51 riding: quiet moved -2",
		"32/51 backwards: drop 3 of 10  moved 0 sure 1": "32/51 backwards: off 3 of 10 moved 0 sure 1",
	} {
		o, err := ParseSeen(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, o.String())
	}
	c := mustParse(t, learner+"observations:\n  - {gears: 32/51, what: quiet, moved: -2 mm}\n")
	seen, err := c.Seen()
	require.NoError(t, err)
	assert.Equal(t, -2.0, seen[0].Moved)
	u, err := c.Uncertain()
	require.NoError(t, err)
	for _, in := range u.Inputs {
		assert.NotContains(t, in.Name, "observations", "no reading of the bike")
	}
	text, err := Format(c)
	require.NoError(t, err)
	assert.Contains(t, string(text), "moved: -2}")
	for _, line := range []string{"32/51: quiet moved", "32/51: quiet moved 2 inch"} {
		_, err := ParseSeen(line)
		assert.Error(t, err, line)
	}
	o, err := ParseSeen("32/51: quiet moved -31")
	require.NoError(t, err)
	require.ErrorContains(t, mustParse(t, learner).AddSeen(o), "moved -31 mm is out of range, want -30 to 30 mm")
	o, err = ParseSeen("32/19>17: late 1 of 3 moved -2")
	require.NoError(t, err)
	require.ErrorContains(t, mustParse(t, strings.Replace(learner, "18, 21", "17, 19, 21", 1)).AddSeen(o), "moved: chainrings moved when a shift was seen")
	_, err = Parse("bike.yaml", []byte(learner+"observations: [{gears: 32/51, what: quiet, moved: 31}]\n"))
	require.ErrorContains(t, err, "observations[0].moved")
}
