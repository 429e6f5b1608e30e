package decide

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim"
)

// atWalls is a chainring between walls at 44 and 48 mm, with places at the walls themselves, as they are looked at.
func atWalls(sums ...float64) *Along {
	w := Walls{Front: 46, Rooms: []Room{{Part: "stay", Lo: End{Line: 44}, Hi: End{Line: 48}}}}
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

// The wall that keeps a try from going further is the one it stands at: not one that it has come away from.
func TestTryFromBeyondAWall(t *testing.T) {
	for today, want := range map[float64]Try{43.5: {Shift: 0.5, After: 0.3}, 48.5: {Shift: -0.5, After: 0.3}, 44: {After: 0.3, Wall: "stay"}} {
		w := Walls{Front: today, Rooms: []Room{{Part: "stay", Lo: End{Line: 44}, Hi: End{Line: 48}}}}
		at, chances := []float64{44, 48}, []float64{0.3, 0.4}
		if today > 46 {
			chances = []float64{0.4, 0.3}
		}
		if today != 44 {
			at, chances = append(at, today), append(chances, 0.5)
		}
		var places []Place
		var list [][]sim.Chances
		for i, line := range at {
			places = append(places, Place{Line: line})
			c := make([]sim.Chances, 1)
			c[0][sim.NoiseRiding] = chances[i]
			list = append(list, c)
		}
		got := w.Along(places, &Usual).Try(list, []int{0}, sim.NoiseRiding)
		got.Concern, got.Before = 0, 0
		assert.Equal(t, want, got, "%g", today)
	}
}

// Trouble is less where it is by more than a tenth of the lesser and 0.02: 0.13 is as good as 0.1.
func TestAsGoodByHand(t *testing.T) {
	for sum, want := range map[float64]bool{0.09: true, 0.1: true, 0.1299: true, 0.1301: false, 1: false} {
		assert.Equal(t, want, asGood(sum, 0.1), "%g", sum)
		assert.Equal(t, !want, (&Trouble{Sum: 0.1}).Less(&Trouble{Sum: sum}), "%g", sum)
	}
}
