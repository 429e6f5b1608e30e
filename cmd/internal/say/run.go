package say

import "fmt"

// Run says what one simulated chain did in a gear: gear and direction, the event in words, and how
// many turns it ran where it did not drop.
func Run(gear, way, event string, turns float64, dropped bool) string {
	text := fmt.Sprintf("%s, %s, one chain of many: %s.", gear, way, event)
	if !dropped {
		text += fmt.Sprintf(" It ran %.1f turns without a drop.", turns)
	}
	return text + " The chances say how often."
}
