package decide

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"chainpath/sim"
)

// With all gears alike the cells' troubles are those of the places.
func TestMapFoldsToTheTroubleAlong(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := &Along{Weights: Usual}
		var chances [][]sim.Chances
		for range rapid.IntRange(1, 4).Draw(t, "places") {
			gears := make([]sim.Chances, rapid.IntRange(1, 5).Draw(t, "gears"))
			for g := range gears {
				for k := range gears[g] {
					gears[g][k] = rapid.SampledFrom([]float64{-1, 0, 0.2, 0.9}).Draw(t, "chance")
				}
			}
			chances = append(chances, gears)
		}
		for i, cells := range a.Map(chances).Cells {
			sum := 0.0
			for g, c := range cells {
				sum += c.Trouble / float64(len(cells))
				for k, p := range chances[i][g] {
					assert.GreaterOrEqual(t, c.Chance*Usual[c.Concern]+1e-12, p*Usual[k], "the worst is told")
				}
			}
			want, err := Expect(chances[i], nil, &Usual, &Carried{Most: 1})
			assert.NoError(t, err)
			assert.InDelta(t, want.Sum, sum, 1e-12)
		}
	})
}
