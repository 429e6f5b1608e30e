package learn

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// Of 191 values alike the 5, 50 and 95 % points are the tenth, the middle one and the 182nd:
// 9.55, 95.5 and 181.45 of them lie below.
func TestMiddlesAreAtTheStatedShares(t *testing.T) {
	const n = 191
	var values []float64
	for k := range n {
		values = append(values, float64(k*7%n))
	}
	assert.Equal(t, [3]float64{9, 95, 181}, middles(values))
}

// An unknown was told of where its median has moved by an eighth of its range, or the range has
// shrunk by a quarter: at both sides of either.
func TestToldOfByHand(t *testing.T) {
	before := [3]float64{10, 14, 18}
	for _, c := range []struct {
		after [3]float64
		want  bool
	}{
		{[3]float64{10, 14, 18}, false}, {[3]float64{11, 15, 18.5}, true}, {[3]float64{11, 14.99, 18.5}, false}, {[3]float64{10, 13, 18}, true},
		{[3]float64{10, 13.01, 18}, false}, {[3]float64{11, 14.5, 17}, true}, {[3]float64{11, 14.5, 17.01}, false}, {[3]float64{2, 14, 30}, false},
	} {
		m := Moved{Before: before, After: c.after}
		assert.Equal(t, c.want, m.Told(), "%v", c.after)
	}
	m := Moved{Before: [3]float64{5, 5, 5}, After: [3]float64{5, 9, 5}}
	assert.False(t, m.Told(), "what cannot move is not told of")
	m.Before = [3]float64{5, 5, 5.5}
	assert.True(t, m.Told())
}

// An observation stays unlikely where its chance is below a fifth of the blind one.
func TestUnlikelyByHand(t *testing.T) {
	j := Told{Before: 0.9, After: 0.1, Blind: 0.5}
	assert.False(t, j.Unlikely(), "at a fifth itself")
	j.After = 0.0999
	assert.True(t, j.Unlikely())
}
