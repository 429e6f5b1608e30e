package cases

import "slices"

// Claim is one thing that is known or not of a bicycle's gear.
type Claim string

// The claims.
const (
	ClaimNoise    Claim = "noise"     // audible when riding
	ClaimRideDrop Claim = "ride_drop" // chain comes off when pedalled forward
	ClaimBackDrop Claim = "back_drop" // chain comes off when pedalled backwards
	ClaimCogRub   Claim = "cog_rub"   // chain brushes the next larger cog
	ClaimRingRub  Claim = "ring_rub"  // chain brushes the next larger ring
	ClaimTyre     Claim = "tyre"      // chain touches the tyre
	ClaimSlack    Claim = "slack"     // top run hangs when pedalled backwards
	ClaimClose    Claim = "close"     // chain does not fit the gear
)

// Claims returns every claim, in the order in which they are reported.
func Claims() []Claim {
	return []Claim{ClaimNoise, ClaimRideDrop, ClaimBackDrop, ClaimCogRub, ClaimRingRub, ClaimTyre, ClaimSlack, ClaimClose}
}

// Panel is a bicycle whose behaviour is known: a case, and what is said of its
// gears.
type Panel struct {
	Case   *Case
	Grade  string // good, marginal or bad; empty where not said
	Weight string // strong or weak; empty where not said
	Group  string // panels to be left out together; the file's name where not said

	// Whether the file marks the front or rear line as assumed: then it is
	// uncertain by 2 mm or more.
	FrontAssumed, RearAssumed bool

	said []said
}

// said is one line's answer about some gears.
type said struct {
	claim  Claim
	gears  []gears
	answer string // yes, no or maybe
	source string
}

// gears is a pattern: teeth of ring and cog, 0 for any.
type gears struct{ ring, cog int }

func (g gears) match(ring, cog int) bool {
	return (g.ring == 0 || g.ring == ring) && (g.cog == 0 || g.cog == cog)
}

// Expected returns what is known of a claim in the gear with these teeth: whether
// it holds, whether that is to be scored, and who says so. Of several lines the
// last one counts. A maybe is not scored, yet has its source; where nothing is said,
// or the bicycle has no such gear, the source is empty.
func (p *Panel) Expected(claim Claim, ring, cog int) (yes, scored bool, source string) {
	if !slices.Contains(p.Case.Front.Rings, ring) || !slices.Contains(p.Case.Rear.Cogs, cog) {
		return false, false, ""
	}
	for _, s := range slices.Backward(p.said) {
		if s.claim == claim && slices.ContainsFunc(s.gears, func(g gears) bool { return g.match(ring, cog) }) {
			return s.answer == "yes", s.answer != "maybe", s.source
		}
	}
	return false, false, ""
}
