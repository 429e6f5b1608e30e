package say

import "fmt"

// Sureness is how sure results are.
type Sureness struct {
	Angles float64 // every chain angle is known to ± this or better, degrees, 95 %
	Fault  string  // the fault whose chance is most in doubt, as in a list, with its gear; "" for none
	Gear   string
	Chance float64
	By     string  // the number that most of it comes from; "" where none stands out
	Share  float64 // of what spreads it between versions of the bike
}

// Words says how well the angles are known, and which chance is most in doubt.
func (s *Sureness) Words() string {
	text := fmt.Sprintf("Every chain angle is known to ±%.2f° or better.", s.Angles)
	if s.Fault == "" {
		return text
	}
	text += fmt.Sprintf(" Most in doubt: %s in %s (%s).", s.Fault, s.Gear, Percent(s.Chance))
	if s.By == "" {
		return text + " No single number is behind that."
	}
	by := Reading(s.By)
	if by == s.By {
		by = `an unpublished one, "` + by + `"`
	}
	return text + fmt.Sprintf(" The number that matters most for it is %s (%.0f %% of the spread).", by, 100*s.Share)
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

// Measurable reports whether a number of a bike file can be measured with what is in a workshop.
func Measurable(path string) bool { return readings[path][1] != "" }

// Unmeasured is a number that nobody measured of a bike, and that can be.
type Unmeasured struct {
	Path  string
	Share float64 // of what spreads the chance most in doubt
	Fault string  // which that is, as in a list
}

// Words says to measure it.
func (u *Unmeasured) Words() string {
	r := readings[u.Path]
	return fmt.Sprintf("One thing that is assumed can be measured: %s (%s). %.0f %% of the doubt about one fault (%s) comes from it.", r[0], r[1], 100*u.Share, u.Fault)
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
