package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// At the bend that a run has, arrivals do what the gear's chances say.
func TestBentAsItIs(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawFree(t)
		b := []*Bike{trail(), double(), highPivot(), pushed(Fixed), pushed(Coaster)}[rapid.IntRange(0, 4).Draw(t, "bike")]
		by := rapid.Float64Range(-6, 6).Draw(t, "by")
		for i := range b.Rings {
			b.Rings[i].Line += by
		}
		all := chancesOf(t, b, f)
		links, err := b.ChooseLinks()
		require.NoError(t, err)
		r, err := b.Evaluate()
		require.NoError(t, err)
		g := rapid.IntRange(0, len(all)-1).Draw(t, "gear")
		gear := &r.Gears[g]
		if !gear.Fit.Mounts() || gear.Hangs(Riding) || gear.Hangs(Backwards) { // a slack chain jumps
			return
		}
		var o Odds
		off, noise := [2]float64{}, 0.0
		var met [2]int
		kinds, err := o.Bent(b, f, g/len(b.Cogs), g%len(b.Cogs), links, nil)
		require.NoError(t, err)
		for i, x := range kinds {
			a := gear.Arrivals[x.Direction][met[x.Direction]]
			met[x.Direction]++
			require.Equal(t, a.At, x.At)
			is, err := o.Bent(b, f, g/len(b.Cogs), g%len(b.Cogs), links, []float64{a.Bend})
			require.NoError(t, err)
			if is[i].Noise != nil {
				noise = either(noise, is[i].Noise[0])
			}
			if is[i].Off != nil {
				off[x.Direction] = either(off[x.Direction], is[i].Off[0])
			}
		}
		loose := 0.0
		if b.Tensioner == nil {
			loose = b.slackDrop(f, 0, 0, gear.Bottom.Length, gear.Tensions.Bottom[Riding], max(math.Abs(gear.Top.Across), math.Abs(gear.Lead.Across)))
		}
		assert.InDelta(t, all[g][NoiseRiding], noise, 1e-9)
		assert.InDelta(t, all[g][DropSmooth], off[Riding], 1e-9)
		assert.InDelta(t, all[g][DropBackwards], either(off[Backwards], loose), 1e-9)
	})
}
