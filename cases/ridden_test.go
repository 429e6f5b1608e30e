package cases

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A bike without a riding profile takes one by ratio and spread, and never one of single gears, nor in the place of
// its own.
func TestRideAs(t *testing.T) {
	const bike = "chainpath: 1\nframe: {stay: 430}\nfront: {line: 45, rings: [42]}\nrear: {line: 44, cogs: [14, 16]}\n"
	plain := func() *Case { return mustParse(t, bike) }
	ratio := mustParse(t, bike+"riding: {ratio: 2, spread: 1.4}\n")
	single := mustParse(t, bike+"riding: {shares: [{ring: 42, cog: 14, share: 1}]}\n")
	c := plain()
	assert.True(t, c.RideAs(ratio))
	assert.Same(t, ratio.Riding, c.Riding)
	assert.False(t, c.RideAs(ratio), "it has one")
	assert.False(t, plain().RideAs(single))
	assert.False(t, plain().RideAs(plain()))
	assert.False(t, single.RideAs(ratio))
}
