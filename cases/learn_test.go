package cases

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

const learner = `chainpath: 1
title: "learner"
speeds: 12
frame: {stay: 438, drop: 30}
front: {line: 52, rings: [32]}
rear: {line: 44.5, cogs: [10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 51]}
tensioner: {cage: 93}
`

func mustParse(t *testing.T, text string) *Case {
	c, err := Parse("bike.yaml", []byte(text))
	require.NoError(t, err)
	return c
}

func taught(t *testing.T, text string, seen ...string) *Lesson {
	c := mustParse(t, text)
	for _, s := range seen {
		o, err := ParseSeen(s)
		require.NoError(t, err)
		require.NoError(t, c.AddSeen(o))
	}
	l, err := c.Learn("test", nil)
	require.NoError(t, err)
	return l
}

func TestLearningMovesChancesTheWayItWasSeen(t *testing.T) {
	off := taught(t, learner, "32/51 backwards: off 10 of 10", "32/44: noise")
	fine := taught(t, learner, "32/51 backwards: off 0 of 10", "32/44: quiet")
	last := len(off.Before) - 1
	assert.Greater(t, off.After[last][sim.DropBackwards], off.Before[last][sim.DropBackwards])
	assert.Less(t, fine.After[last][sim.DropBackwards], fine.Before[last][sim.DropBackwards])
	assert.Greater(t, off.After[last-1][sim.NoiseRiding], fine.After[last-1][sim.NoiseRiding])
}

func TestOrderDoesNotMatter(t *testing.T) {
	a := taught(t, learner, "32/51 backwards: off 3 of 10", "32/10: noise")
	b := taught(t, learner, "32/10: noise", "32/51 backwards: off 3 of 10")
	assert.Equal(t, a.Case.Learned.Sets, b.Case.Learned.Sets)
}

// A chain on a nearly straight gear that comes off stays unlikely beside gears that are
// fine all about it, whatever was seen.
func TestTheObservationThatStaysUnlikelyIsNamed(t *testing.T) {
	l := taught(t, learner, "32/18: off", "32/16: fine", "32/21: fine", "32/14: fine", "32/24: fine", "32/51 backwards: off 9 of 10")
	assert.True(t, l.Seen[0].Unlikely())
	for i := range l.Seen[1:] {
		assert.False(t, l.Seen[1+i].Unlikely(), l.Seen[1+i].Text)
	}
}

func TestLearnedBlockIsReadBackAndRefused(t *testing.T) {
	l := taught(t, learner, "32/51 backwards: off 3 of 10")
	text, err := Format(l.Case)
	require.NoError(t, err)
	again := mustParse(t, string(text))
	got, err := again.Chances()
	require.NoError(t, err)
	assert.Equal(t, l.After, got)

	first := l.Case.Learned.Sets[0]
	bad := strings.Replace(string(text), first, "A"+first[1:], 1)
	if bad == string(text) {
		bad = strings.Replace(string(text), first, "B"+first[1:], 1)
	}
	for from, to := range map[string]string{first: "", l.Case.Learned.From: "0123456789abcdef", "of: 10": "of: 11"} {
		b := bad
		if to != "" {
			b = strings.Replace(string(text), from, to, 1)
		}
		_, err := Parse("bike.yaml", []byte(b))
		var e *Error
		require.ErrorAs(t, err, &e)
		assert.Positive(t, e.Line)
		assert.Contains(t, e.Problem, "run chainpath learn bike.yaml --write bike.yaml")
	}
}

func TestObservationsAreReadStrictly(t *testing.T) {
	for add, want := range map[string]string{
		"{gears: 32/52, what: off}":                         "names no gear of this bicycle",
		"{gears: 32/51, what: squeak}":                      "want one of quiet",
		"{gears: 32/51, what: off, off: 4, of: 3}":          "at most all of them",
		"{gears: '*', what: off, off: 1, of: 3}":            "want one where tries are counted",
		"{gears: '*', what: off, off: 1, of: 1}":            "want one where tries are counted",
		"{gears: 32/51, what: quiet, direction: backwards}": "want riding",
		"{gears: 32/51, what: rubs_next_cog}":               "has no next larger one",
		"{gears: 32/51, what: rubs_tyre}":                   "the case has no tyre",
		"{gears: 32/51, what: off, sure: 1}":                "out of range",
		"{gears: 32/51, what: off, loudness: loud}":         "want it of noise alone",
	} {
		_, err := Parse("bike.yaml", []byte(learner+"observations:\n  - "+add+"\n"))
		var e *Error
		require.ErrorAs(t, err, &e, add)
		assert.Contains(t, e.Problem, want)
		assert.Equal(t, 9, e.Line)
	}
	_, err := ParseSeen("32/51 sideways off")
	assert.Error(t, err)
}

func TestSymptomsTeachToo(t *testing.T) {
	seen, err := mustParse(t, learner+"symptoms: [{what: drop, direction: backwards, cogs: [51]}, {what: skips}]\n").Seen()
	require.NoError(t, err)
	require.Len(t, seen, 1)
	assert.Equal(t, []int{11}, seen[0].Gears)
}

// Invented bikes with a set drawn from the shipped ones, whose chance is the rate, without any
// offset from it: tries of some gears are made by lot, and learning has to foretell how often the
// chain comes off in all the other gears, and whether they are noisy, better.
func TestLearningForetellsOtherGears(t *testing.T) {
	if testing.Short() {
		t.Skip("learns twenty times")
	}
	base := mustParse(t, learner)
	d, err := base.Draws()
	require.NoError(t, err)
	sets, err := shippedSets()
	require.NoError(t, err)
	var before, after float64
	better, bikes := 0, few(6, 20)
	for bike := range bikes {
		rng := rand.New(rand.NewPCG(uint64(bike), 77))
		b, f, err := d.Bike(sets[rng.IntN(len(sets))], rng.Float64)
		require.NoError(t, err)
		truth := make([]sim.Chances, 12)
		var o sim.Odds
		links, err := d.Chain(b)
		require.NoError(t, err)
		require.NoError(t, o.Gears(truth, b, f, links))
		c := base.clone()
		for _, g := range []int{1, 3, 9, 11} {
			off := 0
			for range 10 {
				if rng.Float64() < truth[g][sim.DropBackwards] {
					off++
				}
			}
			gear := "32/" + listed([]int{c.Rear.Cogs[g]})
			require.NoError(t, c.AddSeen(Observation{Gears: gear, Direction: "backwards", What: "off", Off: off, Of: 10}))
			what := "quiet"
			if truth[g][sim.NoiseRiding] > 0.5 {
				what = "noise"
			}
			require.NoError(t, c.AddSeen(Observation{Gears: gear, What: what}))
		}
		l, err := c.Learn("test", nil)
		require.NoError(t, err)
		x, y := 0.0, 0.0
		for _, g := range []int{0, 2, 4, 5, 6, 7, 8, 10} {
			score := func(truth, p float64) float64 { return (truth*math.Log(p) + (1-truth)*math.Log(1-p)) / 16 }
			rate := min(max(l.rate(t, g, sim.DropBackwards).Mean, 0.001), 0.999)
			x += score(truth[g][sim.DropBackwards], l.Before[g][sim.DropBackwards])
			y += score(truth[g][sim.DropBackwards], rate)
			noisy := math.Round(truth[g][sim.NoiseRiding])
			x += score(noisy, l.Before[g][sim.NoiseRiding])
			y += score(noisy, l.After[g][sim.NoiseRiding])
		}
		before += x / float64(bikes)
		after += y / float64(bikes)
		if y > x {
			better++
		}
	}
	t.Logf("mean log score of the other gears: %.4f without, %.4f with learning; better on %d of %d", before, after, better, bikes)
	assert.Greater(t, after, before)
}
