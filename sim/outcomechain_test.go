package sim

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Another chain, load or line on the same bike has its own numbers, whatever was computed before.
func TestOutcomeFollowsEveryChange(t *testing.T) {
	changes := map[string]func(b *Bike){
		"width":   func(b *Bike) { b.Chain.Width += 1.4 },
		"torque":  func(b *Bike) { b.Load.Torque *= 4 },
		"drag":    func(b *Bike) { b.Load.FreehubDrag *= 4 },
		"lines":   func(b *Bike) { b.Cogs[3].Line -= 0.8 },
		"nothing": func(b *Bike) {},
	}
	var used Outcomes
	moved := 0
	for name, change := range changes {
		b := double()
		b.Cogs = b.Cogs[1:6]
		var was, got, want Outcome
		require.NoError(t, used.Outcome(&was, b, 112))
		change(b)
		require.NoError(t, used.Outcome(&got, b, 112))
		var fresh Outcomes
		require.NoError(t, fresh.Outcome(&want, b, 112))
		assert.Equal(t, want, got, name)
		if was != got {
			moved++
		}
		assert.False(t, name == "nothing" && was != got)
	}
	assert.Equal(t, 3, moved, "all but nothing change something")
}
