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
	return text + fmt.Sprintf(" By the readings one limit is most in doubt: %s in %s passes it in %s of the draws. Most of that doubt (%.0f %%) comes from %s.",
		limitWords(s.Limit), s.Gear, Percent(s.Passed), 100*s.Share, Reading(s.By))
}

// readings are what people call the numbers that a bike file may leave out or guess, by their
// fields, and how to measure them.
var readings = map[string][2]string{
	"frame.stay":                {"the chainstay's length", "from axle to crank centre, with a tape"},
	"front.line":                {"the front chainline", "chainpath measure front"},
	"rear.line":                 {"the rear chainline", "chainpath measure rear"},
	"front.ring_pitch":          {"the distance from chainring to chainring", "with calipers, centre to centre of the teeth"},
	"rear.cog_pitch":            {"the distance from cog to cog", "with calipers over the cassette"},
	"rear.measured.dropouts":    {"the width between the dropouts", "as clamped, with calipers"},
	"tensioner.cage":            {"the length of the derailleur cage", "from pulley centre to pulley centre"},
	"chain.bevel":               {"the bevel of the chain's plates", ""},
	"chain.slack":               {"the chain's side play", "chainpath measure sag"},
	"chain.inner_width":         {"the inside width of an inner link", "with calipers"},
	"chain.outer_width":         {"the inside width of an outer link", "with calipers"},
	"chain.width":               {"the chain's width over the rivets", "with calipers"},
	"chain.rivet_proud":         {"how far the rivets stand proud", "with calipers"},
	"chain.plate_height":        {"the height of the chain's plates", "with calipers"},
	"front.tooth.tip_height":    {"the height of the chainring's teeth", "with calipers"},
	"rear.tooth.tip_height":     {"the height of the cogs' teeth", "with calipers"},
	"rear.tooth.thickness":      {"the thickness of the cogs' teeth", "chainpath measure widths"},
	"tensioner.spring":          {"the derailleur cage's spring", ""},
	"load.freehub_drag":         {"the freehub's drag", ""},
	"load.slack_side":           {"the tension of the slack run", ""},
	"chain.stiffness":           {"the stiffness of the chain's joints", "chainpath measure stiffness"},
	"front.tooth.tip_thickness": {"the thickness of the chainring's tooth tips", "chainpath measure widths"},
	"rear.tooth.tip_thickness":  {"the thickness of the cogs' tooth tips", "chainpath measure widths"},
}

// Reading names a number of a bike file in words, with its field.
func Reading(path string) string {
	if words := readings[path][0]; words != "" {
		return words + " (" + path + ")"
	}
	return path
}

// Unmeasured is a number that nobody measured of a bike, and that most of a doubt comes from.
type Unmeasured struct {
	Path  string
	Share float64 // of the doubt about the limit that is most in doubt
}

// Words says to measure it; "" where there is no way to with what is in a workshop.
func (u *Unmeasured) Words() string {
	r := readings[u.Path]
	if r[1] == "" {
		return ""
	}
	return fmt.Sprintf("Most of the doubt (%.0f %%) comes from %s, which is assumed: measure it (%s).", 100*u.Share, r[0], r[1])
}

// RingPitch says how far apart chainrings are taken to be, where a fault rests on it, and how to measure
// that.
func RingPitch(value string) string {
	return fmt.Sprintf("Measure from tooth to tooth of the chainrings (calipers): %s is assumed.", value)
}

// LinesAndPitch says the same in one line with the chainlines, mm, where those are behind no fault.
func LinesAndPitch(front, rear float64, value string) string {
	return fmt.Sprintf("Chainlines %.1f and %.1f mm. Measure between the chainrings: %s is assumed.", front, rear, value)
}
