package decide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim"
)

// atWalls is a window between 44 and 48 mm with places at the walls themselves, as they are looked at.
func atWalls(sums ...float64) *Along {
	w := Window{Front: 46, Bars: []Bar{{Kind: sim.ToStay, Lo: Edge{Line: 44}, Hi: Edge{Line: 48}}}}
	var places []Place
	for i, s := range sums {
		places = append(places, Place{Line: 43 + float64(i), Trouble: Trouble{Sum: s}})
	}
	return w.Along(places, &Usual)
}

// A place at a wall itself is one to stand at; one beyond it is not, be it the best.
func TestPlacesAtTheWalls(t *testing.T) {
	for _, c := range []struct {
		sums []float64
		best int
		flat [2]int
	}{
		{[]float64{0, 0.2, 0.5, 0.5, 0.5, 0.5, 0}, 1, [2]int{1, 1}},
		{[]float64{0, 0.5, 0.5, 0.5, 0.5, 0.2, 0}, 5, [2]int{5, 5}},
		{[]float64{0, 0.21, 0.2, 0.21, 0.2, 0.21, 0}, 2, [2]int{1, 5}},
		{[]float64{0, 0.5, 0.2, 0.24, 0.25, 0.2, 0}, 2, [2]int{2, 3}}, // good to 0.2·1.1 + 0.02
	} {
		a := atWalls(c.sums...)
		assert.Equal(t, c.best, a.Best, "%v", c.sums)
		assert.Equal(t, c.flat, a.Flat, "%v", c.sums)
		assert.Equal(t, 3, a.Today)
		assert.Equal(t, [2]float64{44, 48}, [2]float64{a.From, a.To})
	}
}

// A try goes as far as the wall itself and says so; the nearest cure is taken on either side, and of
// places without one that with the least chance.
func TestTriesAtTheWalls(t *testing.T) {
	a := atWalls(0, 0.5, 0.5, 0.5, 0.5, 0.5, 0)
	try := func(chances ...float64) Try {
		var list [][]sim.Chances
		for _, p := range chances {
			c := make([]sim.Chances, 1)
			c[0][sim.NoiseRiding] = p
			list = append(list, c)
		}
		got := a.Try(list, []int{0}, sim.NoiseRiding)
		assert.Equal(t, sim.NoiseRiding, got.Concern)
		assert.Equal(t, chances[3], got.Before)
		got.Concern, got.Before = 0, 0
		return got
	}
	assert.Equal(t, Try{Shift: -2, After: 0.05, Cured: true}, try(0, 0.05, 0.4, 0.5, 0.4, 0.3, 0))
	assert.Equal(t, Try{Shift: 2, After: 0.05, Cured: true}, try(0, 0.3, 0.4, 0.5, 0.4, 0.05, 0))
	assert.Equal(t, Try{Shift: 1, After: 0.09, Cured: true}, try(0, 0.01, 0.1, 0.5, 0.09, 0.02, 0), "the nearest; 0.1 is no cure")
	assert.Equal(t, Try{Shift: -2, After: 0.2, Wall: "stay"}, try(0, 0.2, 0.4, 0.5, 0.4, 0.3, 0))
	assert.Equal(t, Try{Shift: 2, After: 0.2, Wall: "stay"}, try(0, 0.3, 0.4, 0.5, 0.4, 0.2, 0))
	assert.Equal(t, Try{Shift: 1, After: 0.3}, try(0, 0.4, 0.4, 0.5, 0.3, 0.4, 0))
	assert.Equal(t, Try{After: 0.09, Cured: true}, try(0, 0.01, 0.01, 0.09, 0.01, 0.01, 0), "nothing to cure")
	assert.Equal(t, Try{After: 0.3}, try(0, 0.3, 0.3, 0.3, 0.3, 0.3, 0))
}
