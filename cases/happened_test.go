package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// What observations tell of counts as told, once for each fault and direction, without the gears
// that a symptom names already, and without what did not happen.
func TestObservationsTellOfFaults(t *testing.T) {
	c := withSeen(t, "32/51 riding: noise", "32/38: noise", "32/32: noise slight", "32/28: quiet", "32/24 backwards: off 0 of 10", "32/12: rubs_next_cog", "32/14 backwards: rubs_next_cog", "32/10: fine")
	b, err := c.Bike()
	require.NoError(t, err)
	got, err := c.Happened(b)
	require.NoError(t, err)
	assert.Equal(t, []decide.Symptom{
		{Complaint: decide.Noise, Direction: sim.Riding, Gears: map[[2]int]bool{{0, 9}: true, {0, 8}: true}},
		{Complaint: decide.RubsCog, Direction: sim.Riding, Gears: map[[2]int]bool{{0, 1}: true}},
		{Complaint: decide.RubsCog, Direction: sim.Backwards, Gears: map[[2]int]bool{{0, 2}: true}},
	}, got)
	none, err := withSeen(t, "32/51 backwards: off").Happened(b)
	require.NoError(t, err)
	assert.Empty(t, none, "symptom 2 names every gear")
}
