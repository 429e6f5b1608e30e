package show

import (
	"fmt"

	"chainpath/cmd/internal/say"
)

// Space says what a gear's picture in space shows.
func (g *Gear) Space() string {
	side := "straight"
	if g.RingLine > g.CogLine {
		side = "outboard"
	} else if g.RingLine < g.CogLine {
		side = "inboard"
	}
	s := say.InSpace{
		Gear: fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), Top: g.Top.Bend, Bottom: g.Bottom.Bend, Side: side,
		Tyre: g.Clearances.Tyre, Stay: g.Clearances.RingStay, Reason: g.CloseNote,
	}
	return s.Words()
}
