package cases

import (
	"context"
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// partsOf returns a case with a catalogue of these changes.
func partsOf(t testing.TB, changes string) (*Case, *Candidates) {
	c, err := Load("trail", nil)
	require.NoError(t, err)
	cat, err := ParseCatalogue("parts.yaml", []byte("chainpath_parts: 1\ntitle: changes\nchanges:\n"+changes))
	require.NoError(t, err)
	k, err := cat.For(c)
	require.NoError(t, err)
	return c, k
}

func whatever(sim.Concern) bool { return true }

// The bike as it is is judged as Chances has it; a ring further inboard has less trouble,
// by the screen too, and one in the chainstay is refused by both.
func TestJudging(t *testing.T) {
	c, k := partsOf(t, "  - {name: ring in, set: {front.line: 51 mm}}\n  - {name: ring in the stay, set: {front.line: 46 mm}}\n")
	j, err := k.Judging(whatever, &decide.Usual)
	require.NoError(t, err)
	b, err := c.Bike()
	require.NoError(t, err)
	chances, err := c.Chances(nil)
	require.NoError(t, err)
	share, err := c.Shares(b)
	require.NoError(t, err)
	want, err := decide.Expect(chances, share, &decide.Usual, carriedOf(t, c))
	require.NoError(t, err)
	assert.Equal(t, want, j.Before().Trouble)
	assert.InDelta(t, want.Sum, j.Before().Judged.Sum(), 1e-12)

	screen := j.Screen()
	was, err := screen(nil)
	require.NoError(t, err)
	in, err := screen([]int{0})
	require.NoError(t, err)
	assert.Less(t, in.Sum(), was.Sum())
	e, err := j.Expect([]int{0})
	require.NoError(t, err)
	assert.Less(t, e.Judged.Sum(), 0.8*j.Before().Judged.Sum())
	assert.Greater(t, e.Surer, 0.9)

	_, err = screen([]int{1})
	assert.ErrorIs(t, err, ErrMeetsStay)
	_, err = j.Expect([]int{1})
	assert.ErrorIs(t, err, ErrMeetsStay)
}

// What is not of the complaint counts only by what it grows.
func TestJudgingOfAComplaint(t *testing.T) {
	_, k := partsOf(t, "  - {name: ring far out, set: {front.line: 62 mm}}\n")
	tyre := func(c sim.Concern) bool { return c == sim.RubsTyreAt }
	j, err := k.Judging(tyre, &decide.Usual)
	require.NoError(t, err)
	assert.InDelta(t, decide.Usual[sim.RubsTyreAt]*j.Before().Trouble.Over[sim.RubsTyreAt], j.Before().Judged.Left, 1e-12)
	assert.Zero(t, j.Before().Judged.Harm)
	e, err := j.Expect([]int{0})
	require.NoError(t, err)
	assert.Greater(t, e.Judged.Harm, 0.3)
	assert.Less(t, e.Surer, 0.1)
}

func BenchmarkScreen(b *testing.B) {
	_, k := partsOf(b, "  - {name: ring in, set: {front.line: 51 mm}}\n")
	j, err := k.Judging(whatever, &decide.Usual)
	require.NoError(b, err)
	screen := j.Screen()
	b.ReportAllocs()
	for b.Loop() {
		if _, err := screen([]int{0}); err != nil {
			b.Fatal(err)
		}
	}
}

// The best by all sets is among those that the screen of one set hands on: every
// combination of a small catalogue is judged in full.
func TestScreenHandsOnTheBest(t *testing.T) {
	_, k := partsOf(t, `  - {name: ring, group: line, steps: {path: front.line, from: -6, to: 6, step: 2}}
  - {name: hub, group: hub, steps: {path: rear.line, from: -1.5, to: 1.5, step: 1}}
  - {name: bigger, group: ring, set: {front.rings: [36]}}
`)
	j, err := k.Judging(whatever, &decide.Usual)
	require.NoError(t, err)
	screened, _, err := decide.Search(context.Background(), k.Plan, j.Screen, 2, nil)
	require.NoError(t, err)
	require.Greater(t, len(screened), 50)
	best, handed := math.Inf(1), math.Inf(1)
	on := map[int]bool{}
	for _, e := range decide.Shortlist(screened, len(screened)/8) {
		on[e.Index] = true
	}
	for _, e := range screened {
		x, err := j.Expect(e.Picks)
		if errors.Is(err, ErrMeetsStay) {
			continue
		}
		require.NoError(t, err)
		best = math.Min(best, x.Judged.Sum())
		if on[e.Index] {
			handed = math.Min(handed, x.Judged.Sum())
		}
	}
	assert.InEpsilon(t, best, handed, 0.1, "as well as chances can tell")
	t.Logf("%d combinations, best %.4f, handed on %.4f", len(screened), best, handed)
}

func carriedOf(t *testing.T, c *Case) *decide.Carried {
	k, err := c.Carried()
	require.NoError(t, err)
	return k
}
