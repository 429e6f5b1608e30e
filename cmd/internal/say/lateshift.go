package say

import (
	"fmt"
	"math"
)

// LateShift is the chance that some shift is late, before a change and after it.
type LateShift struct{ Before, After float64 }

// Moves returns by how much the chance rises; 0 where it is less than LeastChange, or nothing is
// shifted (nil).
func (l *LateShift) Moves() float64 {
	if l == nil || math.Abs(l.After-l.Before) < LeastChange-1e-9 {
		return 0
	}
	return l.After - l.Before
}

// Words says how the chance moves; "" where it does not.
func (l *LateShift) Words() string {
	switch by := l.Moves(); {
	case by > 0:
		return fmt.Sprintf("The chance of a late shift rises from %s to %s.", Percent(l.Before), Percent(l.After))
	case by < 0:
		return fmt.Sprintf("The chance of a late shift falls from %s to %s.", Percent(l.Before), Percent(l.After))
	}
	return ""
}

// Aside says it behind a name in a table; "" where it does not move.
func (l *LateShift) Aside() string {
	if l.Moves() == 0 {
		return ""
	}
	return fmt.Sprintf(" (late shift %s, was %s)", Percent(l.After), Percent(l.Before))
}
