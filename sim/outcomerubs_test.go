package sim

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// By tables as many gears rub as by exact solves, wherever no run is within TableError of it: in the
// top and the bottom run, each under its own pull, beside cogs and beside a chainring. With chainrings
// at 12 to 18 mm runs bend by as much as a slack bottom run may beside a chainring and a pulled one not.
func TestTabledRubsAreTheExactOnes(t *testing.T) {
	counts, byRing, tabled := map[int]bool{}, 0, &Evaluator{}
	for _, front := range []float64{12, 13, 14, 15, 16, 17, 18, 36, 40, 44, 48, 52} {
		for pins := 0.0; pins <= 4; pins += 0.2 {
			b := double()
			y := RingLines(front, 7.5, 2)
			b.Rings[0].Line, b.Rings[1].Line = y[0], y[1]
			b.RingPins = pins
			require.NoError(t, b.Validate())
			links, err := b.ChooseLinks()
			require.NoError(t, err)
			ms, err := (&Evaluator{Exact: true}).Margins(nil, b, links)
			require.NoError(t, err)
			least, at := map[[2]int]float64{}, map[[2]int]Margin{}
			sure := true
			for _, m := range ms {
				if g := [2]int{m.Ring, m.Cog}; m.Kind == ToCog || m.Kind == ToRing {
					sure = sure && math.Abs(m.Value) > TableError
					if _, known := least[g]; !known || m.Value < least[g] {
						least[g], at[g] = m.Value, m
					}
				}
			}
			want := 0
			for g, v := range least {
				if v < 0 {
					want++
					if at[g].Kind == ToRing {
						byRing++
					}
				}
			}
			var o Outcome
			require.NoError(t, tabled.Outcome(&o, b, links))
			if sure {
				counts[want] = true
				assert.Equal(t, want, o.Rubs, "front %g, pins %g proud", front, pins)
			}
		}
	}
	assert.Greater(t, len(counts), 5, "from no gear to many")
	assert.Greater(t, byRing, 20, "a chainring too")
}
