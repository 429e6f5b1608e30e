package decide

import (
	"math"

	"chainpath/sim"
)

// Try is a shift of the ring, mm outboard, for a concern in some gears, and the mean
// chance there before and after.
type Try struct {
	Concern       sim.Concern
	Shift         float64
	Before, After float64
	Cured         bool   // below the chance from which on it is spoken of, in every one of the gears
	Wall          string // stay or tyre that keeps it from going further; else empty
}

// spoken is the chance from which on a concern is spoken of.
const spoken = 0.1

// Try finds the least shift among places that cures a concern in gears, numbers of
// chances, between the walls and where the whole fault score is no higher than today's; where none does, the one with the least chance there.
// Chances are those at the places.
func (a *Along) Try(chances [][]sim.Chances, gears []int, k sim.Concern) Try {
	today := a.Places[a.Today].Line
	mean := func(i int) (sum, most float64) {
		for _, g := range gears {
			p := max(chances[i][g][k], 0)
			sum += p / float64(len(gears))
			most = max(most, p)
		}
		return sum, most
	}
	t := Try{Concern: k}
	var most float64
	t.Before, most = mean(a.Today)
	t.After, t.Cured = t.Before, most < spoken
	for i, p := range a.Places {
		if p.Line < a.From || p.Line > a.To || !asGood(p.Sum, a.Places[a.Today].Sum) {
			continue
		}
		sum, most := mean(i)
		cured, shift := most < spoken, p.Line-today
		nearer := math.Abs(shift) < math.Abs(t.Shift)
		if cured && (!t.Cured || nearer) || !cured && !t.Cured && sum < t.After {
			t.Shift, t.After, t.Cured = shift, sum, cured
		}
	}
	if !t.Cured {
		switch line := today + t.Shift; {
		case t.Shift <= 0 && line <= a.From+1e-9:
			t.Wall = a.FromBy
		case t.Shift >= 0 && line >= a.To-1e-9:
			t.Wall = a.ToBy
		}
	}
	return t
}
