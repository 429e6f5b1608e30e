package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A chain that a slot does not take up lacks, or is longer by, what the loop at the slot's end differs
// from it: by hand from the loop's own length there, in mm and in links that can be added.
func TestWhatASlotDoesNotTakeUp(t *testing.T) {
	b := single()
	b.Slot.Forward, b.Slot.Back = 5, 7
	var l Loop
	front, err := b.slotLength(&l, 0, 0, b.Frame.Stay-5)
	require.NoError(t, err)
	back, err := b.slotLength(&l, 0, 0, b.Frame.Stay+7)
	require.NoError(t, err)
	at := int(front) / 2 * 2 // the next even count that is too short
	for _, links := range []int{at, at - 2, at - 6} {
		fit, err := b.closeSlot(&l, 0, 0, links)
		require.NoError(t, err)
		missing := front - float64(links)
		assert.InDelta(t, missing*b.Chain.Pitch, fit.Missing, 1e-9, "%d links", links)
		assert.Equal(t, at-links+2, fit.Short, "%d links", links)
		assert.True(t, fit.Slot && !fit.Closes && fit.Slack == 0)
	}
	for _, links := range []int{at + 4, at + 10} {
		fit, err := b.closeSlot(&l, 0, 0, links)
		require.NoError(t, err)
		assert.InDelta(t, (float64(links)-back)*b.Chain.Pitch, fit.Slack, 1e-9)
		assert.Equal(t, fit.Slack, fit.Excess)
		assert.True(t, fit.Slot && !fit.Closes && fit.Missing == 0 && fit.Short == 0)
	}
}
