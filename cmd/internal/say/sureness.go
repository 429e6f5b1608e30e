package say

import (
	"cmp"
	"fmt"
	"strings"
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

// limits are what people call the limits of a doubt; others are called by their codes.
var limits = map[string]string{
	"climb_riding": "a chain drop when riding", "climb_backwards": "a chain drop when back-pedalling", "quiet_riding": "a touching tooth when riding",
	"quiet_backwards": "a touching tooth when back-pedalling", "top_slack_backwards": "a slack top run when back-pedalling",
}

// Words says how well the angles are known, and which limit the readings leave most in doubt.
func (s *Sureness) Words() string {
	text := fmt.Sprintf("Your readings fix every chain angle to ±%.2f° or better.", s.Angles)
	if s.By == "" {
		return text
	}
	return text + fmt.Sprintf(" They leave one limit most in doubt: %s in %s passes it in %s of the draws. Most of that doubt comes from %s (%.0f %%).",
		cmp.Or(limits[s.Limit], strings.ReplaceAll(s.Limit, "_", " ")), s.Gear, Percent(s.Passed), s.By, 100*s.Share)
}
