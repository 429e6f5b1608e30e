package say

import (
	"fmt"
	"strings"

	"chainpath/sim"
)

// Sureness is how sure results are by the readings alone.
type Sureness struct {
	Angles      float64 // every chain angle is known to ± this or better, degrees, 95 %
	Limit, Gear string  // the limit that is most in doubt, by its code, and where; "" for none
	Passed      float64 // share of the draws that pass it
	By          string  // the reading that most of that doubt comes from
	Share       float64 // and how much of it
}

// NoChance tells a share of draws from a chance.
const NoChance = "A share of the draws is no chance: the draws take typical values for numbers that nobody publishes. Chances: chainpath gears."

// limits are what people call the kinds of limits, whose codes end with the direction.
var limits = map[string]string{
	"climb": "a chain drop", "quiet": "a touching tooth", "next_cog": "touching the next cog", "next_ring": "touching the next chainring", "tyre": "touching the tyre",
	"stay": "touching the chainstay", "top_slack": "a slack top run", "close": "a chain that does not fit",
}

// limitWords are what people call a limit, by its code: climb_riding.
func limitWords(code string) string {
	at := strings.LastIndex(code, "_")
	for d := sim.Riding; d <= sim.Backwards; d++ {
		if words := limits[code[:max(at, 0)]]; words != "" && code[at+1:] == d.String() {
			return words + " when " + Way(d)
		}
	}
	return strings.ReplaceAll(code, "_", " ")
}

// Words says how well the angles are known, and which limit the readings leave most in doubt.
func (s *Sureness) Words() string {
	text := fmt.Sprintf("Every chain angle is known to ±%.2f° or better.", s.Angles)
	if s.By == "" {
		return text
	}
	return text + fmt.Sprintf(" By the readings one limit is most in doubt: %s in %s passes it in %s of the draws. Most of that doubt comes from %s (%.0f %%).",
		limitWords(s.Limit), s.Gear, Percent(s.Passed), s.By, 100*s.Share)
}
