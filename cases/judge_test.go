package cases

import (
	"context"
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
	chances, err := c.Chances()
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
	assert.ErrorIs(t, err, ErrTouches)
	_, err = j.Expect([]int{1})
	assert.ErrorIs(t, err, ErrTouches)
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

// A screen finds of every combination what is found of it alone and in full, whatever was
// screened before it.
func TestScreenFindsWhatExpectFinds(t *testing.T) {
	ofNumbers(t)
	_, k := partsOf(t, `  - {name: ring, group: line, steps: {path: front.line, from: -6, to: 6, step: 2}}
  - {name: hub, group: hub, steps: {path: rear.line, from: -1.5, to: 1.5, step: 1}}
  - {name: bigger, group: ring, set: {front.rings: [36]}}
`)
	j, err := k.Judging(whatever, &decide.Usual)
	require.NoError(t, err)
	screened, _, err := decide.Search(context.Background(), k.Plan, j.Screen, 2, nil)
	require.NoError(t, err)
	require.Greater(t, len(screened), 20)
	for i := len(screened) - 1; i >= 0; i-- {
		x, err := j.Expect(screened[i].Picks)
		require.NoError(t, err)
		assert.InDelta(t, x.Judged.Left, screened[i].Left, 1e-3)
		assert.InDelta(t, x.Judged.Harm, screened[i].Harm, 1e-3)
		assert.Equal(t, x.Judged.Links, screened[i].Links)
		fresh, err := j.Screen()(screened[i].Picks)
		require.NoError(t, err)
		assert.Equal(t, screened[i].Judged, fresh)
	}
}

// A change must not make parts touch that did not, in any gear; parts that touch already may do so
// as much as before.
func TestTouchesByHand(t *testing.T) {
	at := func(stay, tyre float64) []sim.Chances {
		out := make([]sim.Chances, 2)
		out[1][sim.MeetsStay], out[0][sim.RubsTyreAt], out[0][sim.MeetsWheel] = stay, tyre, -1
		return out
	}
	assert.False(t, touches(at(0.01, 0.01), at(0.05, 0.05)))
	assert.True(t, touches(at(0.01, 0.01), at(0.0501, 0)))
	assert.True(t, touches(at(0.01, 0.01), at(0, 0.0501)))
	assert.False(t, touches(at(0.4, 0.01), at(0.4, 0)))
	assert.True(t, touches(at(0.4, 0.01), at(0.41, 0)))
}

func carriedOf(t *testing.T, c *Case) *decide.Carried {
	k, err := c.Carried()
	require.NoError(t, err)
	return k
}
