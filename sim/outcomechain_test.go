package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Another chain, tooth, room or load on the same bike is judged by its own limits, whatever the
// evaluator looked up before.
func TestOutcomeFollowsEveryChange(t *testing.T) {
	changes := map[string]func(b *Bike){
		"slack":     func(b *Bike) { b.Chain.Slack *= 2 },
		"bevel":     func(b *Bike) { b.Chain.Bevel /= 2 },
		"stiffness": func(b *Bike) { b.Chain.Stiffness *= 3 },
		"width":     func(b *Bike) { b.Chain.Width += 1.4 },
		"tips":      func(b *Bike) { b.Cogs[4].Tooth.Tip, b.Rings[0].Tooth.Tip = 1.3, 1.3 },
		"room":      func(b *Bike) { b.CogRoom, b.RingPins = -1.2, 0.9 },
		"torque":    func(b *Bike) { b.Load.Torque *= 4 },
		"drag":      func(b *Bike) { b.Load.FreehubDrag *= 4 },
		"lines":     func(b *Bike) { b.Cogs[3].Line -= 0.8 },
		"nothing":   func(b *Bike) {},
	}
	var used Evaluator
	moved := 0
	for name, change := range changes {
		b := double()
		b.Cogs = b.Cogs[1:6]
		var was, got, want Outcome
		require.NoError(t, used.Outcome(&was, b, 112))
		change(b)
		require.NoError(t, used.Outcome(&got, b, 112))
		var fresh Evaluator
		require.NoError(t, fresh.Outcome(&want, b, 112))
		assert.Equal(t, want, got, name)
		if was != got {
			moved++
		}
		assert.False(t, name == "nothing" && was != got)
	}
	assert.Greater(t, moved, 6, "most of them change something")
}
