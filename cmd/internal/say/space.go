package say

import "fmt"

// InSpace is what a gear's picture in space shows; nil where there is none of it.
type InSpace struct {
	Gear        string
	Top, Bottom *float64 // degrees
	Side        string   // of the chainring from the cog: inboard, outboard or straight
	Tyre, Stay  *float64 // mm, with mud room and flex taken off
	Reason      string   // why the chain does not go round
}

// Words says it, for those who do not see it.
func (s *InSpace) Words() string {
	if s.Top == nil || s.Bottom == nil {
		return fmt.Sprintf("Gear %s in space. The chain does not go round: %s.", s.Gear, s.Reason)
	}
	text := fmt.Sprintf("Gear %s in space. The chain angle is %.2f° on the top run and %.2f° on the bottom run.", s.Gear, *s.Top, *s.Bottom)
	if s.Side == "straight" {
		text += " The chainring is in line with the cog."
	} else {
		text += fmt.Sprintf(" The chainring is %s of the cog.", s.Side)
	}
	return text + roomBeyond(s.Tyre, "The chain", "the tyre", "mud room") + roomBeyond(s.Stay, "The chainring", "the chainstay", "flex")
}

// roomBeyond says how much room there is beyond what is asked for, or how much of that is lacking.
func roomBeyond(mm *float64, what, beside, asked string) string {
	switch {
	case mm == nil:
		return ""
	case *mm < 0:
		return fmt.Sprintf(" %s lacks %.2f mm of the %s at %s.", what, -*mm, asked, beside)
	}
	return fmt.Sprintf(" %s clears %s by %.2f mm beyond the %s.", what, beside, *mm, asked)
}

// CutWords says what a cut across an arriving link shows: the wheel, how links come, and how far an
// inner link is off its tooth then, mm as printed.
func CutWords(wheel, way, offset, side string) string {
	where := "off"
	if side != "" {
		where = side + " of"
	}
	return fmt.Sprintf("%s, onto the %s: an inner link is %s mm %s the tooth when the tip reaches it.", Capital(way), wheel, offset, where)
}
