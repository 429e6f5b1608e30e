package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim/judge"
)

// Of shifts alone, be it of one, nothing is learned; beside a shop's memory a bike starts from that.
// A memory that has nothing for the bike is refused.
func TestWhatThereIsToLearnFrom(t *testing.T) {
	shifts := learner + "observations:\n  - {gears: 12>14, what: late}\n"
	c := mustParse(t, shifts)
	l, err := c.Learn("v", nil)
	assert.Nil(t, l)
	require.ErrorContains(t, err, "observations: of shifts alone: ")
	l, err = mustParse(t, learner).Learn("v", nil)
	assert.Nil(t, l)
	require.ErrorContains(t, err, "observations: nothing to learn from, want at least one, such as {gears: 32/51, direction: backwards, what: drop, off: 3, of: 10}")

	sets, err := shippedSets()
	require.NoError(t, err)
	var kind []start
	for k := range judge.Sets {
		kind = append(kind, start{set: sets[k%len(sets)], seed: uint64(k)})
	}
	m := &Memory{Kinds: []MemoryOfKind{{Speeds: 11, Bikes: 7, Seen: 41, starts: kind}}}
	l, err = c.Learn("v", m)
	assert.Nil(t, l)
	require.ErrorContains(t, err, "kinds: neither 12 speeds nor the whole shop: run chainpath learn --shop again")
	m.Kinds[0].Speeds = 12
	l, err = c.Learn("v", m)
	require.NoError(t, err)
	assert.Equal(t, "7 bikes of 12 speeds, 41 observations", l.Shop)
	assert.Equal(t, l.Shop, l.Case.Learned.Shop)
	assert.Empty(t, l.Seen)
	assert.Equal(t, 1, l.Stages)
}

// Tries are counted of one shift, be it one try; what is only said may be of several.
func TestTriesAreOfOneShift(t *testing.T) {
	for text, problem := range map[string]string{
		"{gears: 12>14, what: late, off: 1, of: 1}":          "",
		"{gears: 12>*, what: late}":                          "",
		"{gears: '12>14, 14>16', what: late, off: 1, of: 1}": `"12>14, 14>16" is 2 shifts, want one where tries are counted`,
		"{gears: '12>14, 14>16', what: late, off: 3, of: 9}": `"12>14, 14>16" is 2 shifts, want one where tries are counted`,
		"{gears: '12>14, 14>16', what: late}":                "",
		"{gears: 12>14, what: late, off: 2, of: 1}":          "2 of 1 tries, want it of late, and at most all of them",
		"{gears: 12>14, what: fine, off: 0, of: 1}":          "0 of 1 tries, want it of late",
	} {
		_, err := Parse("bike.yaml", []byte(learner+"observations:\n  - "+text+"\n"))
		if problem == "" {
			assert.NoError(t, err, text)
		} else {
			assert.ErrorContains(t, err, problem, text)
		}
	}
}
