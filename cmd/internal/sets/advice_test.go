package main

import (
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/cases"
	"chainpath/sim/decide"
)

// What help scores states of advice: known bicycles that run well are left alone, and those whose cure
// a source names get it. Without CHAINPATH_LONG of those that run well every fourth.
func TestAdviceIsAsStated(t *testing.T) {
	p, err := readPanel("../../../testdata/field")
	require.NoError(t, err)
	long := os.Getenv("CHAINPATH_LONG") != ""
	n := 0
	some := func(b *fieldBike) bool {
		if b.Grade == "bad" || long {
			return true
		}
		n++
		return b.Grade == "good" && n%4 == 0
	}
	list, err := p.adviseAll(decide.UsualRule(), asTold, some)
	require.NoError(t, err)
	by := tallies(list)
	assert.LessOrEqual(t, by[0].change+by[0].measure+by[0].right, 1, "good ones told to change")
	assert.GreaterOrEqual(t, by[0].n, 8)
	assert.GreaterOrEqual(t, by[2].cured, 13, "of %d whose cure is named", by[2].named)
	assert.Equal(t, 15, by[2].named)
	assert.GreaterOrEqual(t, by[0].same, by[0].n-1)
	assert.Equal(t, by[2].n, by[2].same)
	assert.True(t, slices.ContainsFunc(list, func(a advised) bool { return a.name == "q01" && a.Verdict == cases.AvoidGear }), "a gear is left alone before anything is bought")
	if !long {
		return
	}
	none, err := p.adviseAll(decide.UsualRule(), nil, good)
	require.NoError(t, err)
	assert.LessOrEqual(t, tallies(none)[0].change, 1)
	believing, err := p.adviseAll(decide.UsualRule(), asBelieved, good)
	require.NoError(t, err)
	by = tallies(believing)
	assert.Equal(t, 44, by[0].n)
	assert.LessOrEqual(t, by[0].change, 2, "complained of what the model believes most")
}
