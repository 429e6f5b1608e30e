package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
)

// Wheels stand where their own lines say, whatever the pitches.
func TestWheelsHaveTheirOwnLines(t *testing.T) {
	c := mustParse(t, `chainpath: 1
front: {rings: [30, 44], ring_lines: [41.2, 49.9]}
rear: {cogs: [11, 13, 16, 20], cog_lines: [51.1, 47.0, 43.3, 38.2]}
`)
	b, err := c.Bike()
	require.NoError(t, err)
	for i, want := range []float64{41.2, 49.9} {
		assert.Equal(t, want, b.Rings[i].Line)
	}
	for i, want := range []float64{51.1, 47.0, 43.3, 38.2} {
		assert.Equal(t, want, b.Cogs[i].Line)
	}
	front, err := c.FrontLine()
	require.NoError(t, err)
	assert.InDelta(t, (41.2+49.9)/2, front, 1e-12)
	rear, err := c.RearLine()
	require.NoError(t, err)
	assert.InDelta(t, (51.1+38.2)/2, rear, 1e-12)
	assert.Equal(t, 45.55, b.FrontLine())
	assert.Equal(t, 44.65, b.RearLine())
}

const ownLines = `chainpath: 1
front: {rings: [30, 44], ring_lines: [41.2 ± 0.3, 49.9 ± 0.3]}
rear: {cogs: [11, 13, 16, 20], cog_lines: [51.1, 47.0, 43.3, 38.2]}
`

// Whichever door a line is moved by, wheels with lines of their own move along together: an
// edit of the page, a catalogue that sets or adds, a sweep.
func TestEveryDoorMovesOwnLinesAlike(t *testing.T) {
	base := mustParse(t, ownLines)
	var bikes []*sim.Bike
	c, err := base.Set("front.line", "47.05")
	require.NoError(t, err)
	c, err = c.Set("rear.line", "44")
	require.NoError(t, err)
	assert.True(t, c.Front.Lines[0].Spread > 0, "a tolerance is kept")
	text, err := Format(c)
	require.NoError(t, err)
	_, err = Parse("again.yaml", text)
	require.NoError(t, err, "what an edit writes the reader accepts")
	b, err := c.Bike()
	require.NoError(t, err)
	bikes = append(bikes, b)

	for _, change := range []string{"set: {front.line: 47.05, rear.line: 44}", "add: {front.line: 1.5, rear.line: -0.65}"} {
		cat, err := ParseCatalogue("parts.yaml", []byte("chainpath_parts: 1\nchanges:\n  - {name: moved, "+change+"}\n"))
		require.NoError(t, err)
		k, err := cat.For(base)
		require.NoError(t, err)
		_, b, err := k.build([]int{0})
		require.NoError(t, err)
		bikes = append(bikes, b)
	}
	p, err := ParseSweep("plan.yaml", []byte("chainpath_sweep: 1\nvary:\n  - {path: front.line, values: [40, 47.05]}\n  - {path: rear.line, values: [44]}\n"))
	require.NoError(t, err)
	s, err := p.For(base)
	require.NoError(t, err)
	d := s.Designer()
	_, err = d.Bike([]float64{40, 44})
	require.NoError(t, err)
	b, err = d.Bike([]float64{47.05, 44})
	require.NoError(t, err)
	bikes = append(bikes, b)
	for _, b := range bikes {
		for i, want := range []float64{42.7, 51.4} {
			assert.InDelta(t, want, b.Rings[i].Line, 1e-9)
		}
		for i, want := range []float64{50.45, 46.35, 42.65, 37.55} {
			assert.InDelta(t, want, b.Cogs[i].Line, 1e-9)
		}
	}
	first, err := base.Bike()
	require.NoError(t, err)
	assert.Equal(t, 41.2, first.Rings[0].Line, "the case itself stays")
}

// A line that was measured keeps its doubt when it moves: by hand, half of the tube's, half of
// each reading's.
func TestAMovedLineKeepsItsDoubt(t *testing.T) {
	c := mustParse(t, `chainpath: 1
front: {rings: [30, 44], measured: {tube_width: 34 ± 0.4, readings: [23.0 ± 0.3, 30.5 ± 0.6]}}
rear: {cogs: [11, 13, 16, 20], measured: {dropouts: 130 ± 0.2, stack: 20 ± 0.2, gap: 4 ± 0.3}}
`)
	front, err := c.asLine("front.line")
	require.NoError(t, err)
	assert.InDelta(t, math.Sqrt(0.2*0.2+0.15*0.15+0.3*0.3), front.Spread, 1e-12)
	rear, err := c.asLine("rear.line")
	require.NoError(t, err)
	assert.InDelta(t, math.Sqrt(0.1*0.1+0.1*0.1+0.3*0.3), rear.Spread, 1e-12)
	moved, err := c.Set("front.line", "45")
	require.NoError(t, err)
	assert.Equal(t, 45.0, moved.Front.Line.Value)
	assert.InDelta(t, front.Spread, moved.Front.Line.Spread, 1e-12)
	surer, err := c.Set("front.line", "45 ± 0.1")
	require.NoError(t, err)
	assert.Equal(t, 0.1, surer.Front.Line.Spread)
}

// A line that is set takes a gap to the dropout along where there is one, and makes none.
func TestASetLineMakesNoGap(t *testing.T) {
	c := mustParse(t, learner)
	n, err := c.Set("rear.line", "45.5")
	require.NoError(t, err)
	assert.False(t, n.Rear.Dropout.Given)
	assert.Equal(t, 45.5, n.Rear.Line.Value)
	c = mustParse(t, strings.Replace(learner, "line: 44.5,", "line: 44.5, dropout_gap: 4,", 1))
	n, err = c.Set("rear.line", "45.5")
	require.NoError(t, err)
	assert.True(t, n.Rear.Dropout.Given)
	assert.InDelta(t, 3, n.Rear.Dropout.Value, 1e-12, "a cassette farther out leaves less")
}

// One chainring and one cog have lines of their own too.
func TestOneWheelsOwnLine(t *testing.T) {
	c := mustParse(t, "chainpath: 1\nspeeds: 1\nframe: {stay: 405}\nfront: {ring_lines: [44.5], rings: [44]}\nrear: {cog_lines: [42.5], cogs: [17]}\n")
	front, err := c.FrontLine()
	require.NoError(t, err)
	rear, err := c.RearLine()
	require.NoError(t, err)
	b, err := c.Bike()
	require.NoError(t, err)
	assert.Equal(t, [4]float64{44.5, 42.5, 44.5, 42.5}, [4]float64{front, rear, b.Rings[0].Line, b.Cogs[0].Line})
}

// A chainline at the end itself of what can be is believed, one beyond is not.
func TestLinesAtTheEndsOfWhatCanBe(t *testing.T) {
	for _, x := range []struct {
		front, rear string
		conflicts   int
	}{{"28", "44", 0}, {"27.9", "44", 1}, {"120", "44", 0}, {"120.1", "44", 1}, {"50", "18", 0}, {"50", "17.9", 1}, {"50", "120", 0}, {"50", "120.1", 1}, {"27.9", "17.9", 2}} {
		c := mustParse(t, strings.NewReplacer("line: 52,", "line: "+x.front+",", "line: 44.5,", "line: "+x.rear+",").Replace(learner))
		assert.Len(t, c.Conflicts(), x.conflicts, "%+v: %v", x, c.Conflicts())
	}
}
