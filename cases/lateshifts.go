package cases

import (
	"math"
	"sync"

	"chainpath/sim"
	"chainpath/sim/indexing"
	"chainpath/sim/judge"
)

// LateShifts is how likely shifts are late, and no more of Shifting, for many designs.
type LateShifts struct {
	Any  float64 // chance that some shift is late
	Most float64 // of the shift that is late most likely
}

// shiftDraws holds the drawn bicycles by their number of cogs: alike for every bike of so many.
var shiftDraws struct {
	sync.Mutex
	of map[int][]*indexing.Draw
}

// drawnShifts returns the drawn bicycles of n cogs, which nobody changes.
func drawnShifts(n int) []*indexing.Draw {
	shiftDraws.Lock()
	defer shiftDraws.Unlock()
	if shiftDraws.of == nil {
		shiftDraws.of = map[int][]*indexing.Draw{}
	}
	if shiftDraws.of[n] == nil {
		shiftDraws.of[n] = indexing.Draws(ShiftSets(), n, judge.Sets)
	}
	return shiftDraws.of[n]
}

// lateShifts returns the same chances as Shifting of the case, whose bike is b. Errors are as there.
func (c *Case) lateShifts(b *sim.Bike) (l LateShifts, err error) {
	if err := c.shiftable(b); err != nil {
		return l, err
	}
	if c.tellsOfShifts() { // what was seen weighs the bicycles
		s, err := c.Shifting()
		if err != nil {
			return l, err
		}
		l.Any = s.Late
		for i := range s.Shifts {
			l.Most = math.Max(l.Most, s.Shifts[i].Late)
		}
		return l, nil
	}
	var rear indexing.Rear
	var m indexing.Margins
	b.Rear(&rear)
	draws, steps := drawnShifts(len(b.Cogs)), indexing.Shifts(len(b.Cogs))
	late := make([]float64, len(steps))
	for _, d := range draws {
		m.Of(&rear, d)
		if m.Least() < 0 {
			l.Any++
		}
		for j, x := range steps {
			late[j] += indexing.Late(m.Whole(x))
		}
	}
	made := float64(len(draws))
	for _, sum := range late {
		l.Most = math.Max(l.Most, judge.OffTheEnds(sum/made))
	}
	l.Any = judge.OffTheEnds(l.Any / made)
	return l, nil
}

// tellsOfShifts reports whether something was seen of the case's shifts.
func (c *Case) tellsOfShifts() bool {
	return c.Tensioner != nil && c.Tensioner.Counted != nil || len(c.SeenOfShifts()) > 0
}
