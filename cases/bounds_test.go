package cases

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/judge"
)

// A hub between flat faces is as wide as its name to a millimetre either way; one whose ends sit in
// the dropouts is up to 3.5 mm narrower at each.
func TestAxleWidthsAreOfTwoKinds(t *testing.T) {
	flat, deep := 0, 0
	for i, a := range axleWidths {
		switch [2]float64{a.from - a.name, a.to - a.name} {
		case [2]float64{-1, 1}:
			flat++
		case [2]float64{-7, 0}:
			deep++
		default:
			t.Errorf("%g stands for %g to %g mm", a.name, a.from, a.to)
		}
		assert.True(t, i == 0 || a.name > axleWidths[i-1].name)
	}
	assert.Equal(t, [2]int{13, 6}, [2]int{flat, deep})
}

// A number as long as allowed is read and one a character longer is not, in a file and alone.
func TestTheLongestNumber(t *testing.T) {
	for n, good := range map[int]bool{120: true, 121: false} {
		text := "430." + strings.Repeat("0", n-4)
		_, err := ParseQuantity(text, "length")
		assert.Equal(t, good, err == nil)
		_, err = Parse("bike.yaml", []byte(strings.Replace(put("", "", ""), "stay: 430", "stay: "+text, 1)))
		if good {
			assert.NoError(t, err)
		} else {
			assert.ErrorContains(t, err, "frame.stay: \"430.00000000000000000000000000…\": 121 characters, want a length, 200 mm to 2000 mm")
		}
	}
	for text, good := range map[string]bool{"63/64 in": true, "1/128 in": false, "1/2 in": true, "2/2 in": false, "1/1 in": false, "16 3/6 in": false, "0/2 in": true} {
		_, err := ParseQuantity(text, "length")
		assert.Equal(t, good, err == nil, text)
	}
	q, err := ParseQuantity("-16 3/4 in", "length")
	require.NoError(t, err)
	assert.InDelta(t, -16.75*25.4, q.Value, 1e-9)
	big := append([]byte(put("", "", "")), strings.Repeat("#", MaxSize)...)
	_, err = Parse("bike.yaml", big[:MaxSize])
	assert.NoError(t, err, "as large as a file may be")
	for dim, want := range map[string]string{"number": "is not a number, want a number without a unit", "force": "is not a force, want a number in N, kN", "angle": "is not an angle, want a number in "} {
		_, err = ParseQuantity("wide", dim)
		assert.ErrorContains(t, err, want)
	}
	_, err = ParseSeen("32/51: quiet sure 1.2.3")
	assert.ErrorContains(t, err, `"1.2.3" is not a number`)
}

// The line of three rings is the middle one's, whose reading alone has a say in its doubt; of one ring
// with a gap the gap's.
func TestTheLineOfATriple(t *testing.T) {
	triple := func(front string) *Case {
		return mustParse(t, "chainpath: 1\nfront: {rings: [26, 36, 48], "+front+"}\nrear: {line: 44, cogs: [11, 13, 16, 20]}\n")
	}
	c := triple("ring_lines: [40, 47.5, 56]")
	line, err := c.FrontLine()
	require.NoError(t, err)
	assert.Equal(t, 47.5, line)
	moved, err := c.Set("front.line", "49")
	require.NoError(t, err)
	assert.Equal(t, []float64{41.5, 49, 57.5}, values(moved.Front.Lines))
	c = triple("measured: {tube_width: 40 ± 0.4, readings: [19 ± 3, 27 ± 0.3, 35 ± 3]}")
	q, err := c.asLine("front.line")
	require.NoError(t, err)
	assert.Equal(t, 47.0, q.Value)
	assert.InDelta(t, math.Hypot(0.2, 0.3), q.Spread, 1e-12)
	c = mustParse(t, strings.Replace(put("", "", ""), "line: 45", "measured: {tube_width: 40 ± 0.4, gap: 27 ± 0.3}", 1))
	q, err = c.asLine("front.line")
	require.NoError(t, err)
	assert.InDelta(t, math.Hypot(0.2, 0.3), q.Spread, 1e-12)
	c = mustParse(t, strings.Replace(put("", "", ""), "line: 44", "measured: {dropouts: 140 ± 0.4, stack: 40 ± 0.2, gap: 4 ± 0.3, protrusion: 1 ± 0.6}", 1))
	q, err = c.asLine("rear.line")
	require.NoError(t, err)
	assert.InDelta(t, math.Sqrt(0.04+0.01+0.09+0.09), q.Spread, 1e-12)
	assert.InDelta(t, 70-4-39./2, q.Value, 1e-12)
}

// Where a case does not say how far its pulley floats it is drawn from 0.2 to 1.0 mm: every millimetre
// moves both ends of a window that links alone bound.
func TestTheFloatIsDrawn(t *testing.T) {
	of := func(more string) *windowSums {
		c := mustParse(t, put("", "", "tensioner: {gaps: [9 ± 0, 5 ± 0], cage: 80 ± 0"+more+"}"))
		b, err := c.Bike()
		require.NoError(t, err)
		d, err := c.Draws()
		require.NoError(t, err)
		sets, err := c.starts()
		require.NoError(t, err)
		s := newWindowSums(b)
		var o sim.Odds
		for _, x := range sets {
			require.NoError(t, s.add(c, d, &o, x))
		}
		return s
	}
	drawn, fixed := of(""), of(", float: 0.5 ± 0")
	least, most, sum := math.Inf(1), 0.0, 0.0
	for k, to := range drawn.to[0] {
		float := to - fixed.to[0][k] + 0.5 // outboard of the smallest cog stands no other
		least, most, sum = math.Min(least, float), math.Max(most, float), sum+float
	}
	assert.InDelta(t, 0.2, least, 0.015)
	assert.GreaterOrEqual(t, least, 0.2-1e-9)
	assert.InDelta(t, 1.0, most, 0.015)
	assert.LessOrEqual(t, most, 1+1e-9)
	assert.InDelta(t, 0.6, sum/float64(len(drawn.to[0])), 0.05)
	assert.Len(t, fixed.to[0], judge.Sets)
}

// Clusters by their ends: as even in ratio as whole teeth allow, each step a tooth at least, or refused.
func TestClustersByTheirEnds(t *testing.T) {
	for _, c := range []struct {
		lo, hi, n int
		want      []int
	}{{10, 40, 3, []int{10, 20, 40}}, {11, 13, 3, []int{11, 12, 13}}, {11, 12, 2, []int{11, 12}}, {9, 60, 2, []int{9, 60}}, {10, 16, 4, []int{10, 12, 14, 16}}, {11, 20, 8, []int{11, 12, 13, 14, 15, 17, 18, 20}}} {
		got, err := evenCogs(c.lo, c.hi, c.n)
		require.NoError(t, err)
		assert.Equal(t, c.want, got)
	}
	for _, c := range []struct {
		lo, hi, n int
		want      string
	}{{11, 13, 4, "11-13: no room for 4 cogs"}, {11, 11, 1, "no room for 1 cogs"}, {13, 11, 2, "no room for 2 cogs"}, {11, 13, 0, "no room for 0 cogs"}} {
		_, err := evenCogs(c.lo, c.hi, c.n)
		assert.ErrorContains(t, err, c.want)
	}
}
