package main

import (
	"slices"

	"chainpath/cases"
)

// claim is one thing that is known or not of a bicycle's gear.
type claim string

// The claims.
const (
	claimNoise    claim = "noise"      // audible when riding
	claimRideDrop claim = "ride_drop"  // chain comes off when pedalled forward
	claimBackDrop claim = "back_drop"  // chain comes off when pedalled backwards
	claimCogRub   claim = "cog_rub"    // chain brushes the next larger cog
	claimRingRub  claim = "ring_rub"   // chain brushes the next larger ring
	claimTyre     claim = "tyre"       // chain touches the tyre
	claimSlack    claim = "slack"      // top run hangs when pedalled backwards
	claimClose    claim = "close"      // chain does not fit the gear
	claimCageRub  claim = "cage_rub"   // top run brushes the front cage
	claimTooLong  claim = "cage_slack" // chain too long for the gear
)

// claims returns every claim, in the order in which they are reported.
func claims() []claim {
	return []claim{claimNoise, claimRideDrop, claimBackDrop, claimCogRub, claimRingRub, claimTyre, claimSlack, claimClose, claimCageRub, claimTooLong}
}

// asides are words of lines that are not about a gear's faults: readShiftBikes reads those of shifts,
// the others are for people.
var asides = []string{"either_sign", "loss", "chain_life"}

// fieldBike is a bicycle of the field panel whose behaviour is known: a case, and what is said of its
// gears.
type fieldBike struct {
	Case   *cases.Case
	Grade  string // good, marginal or bad; empty where not said
	Weight string // strong or weak; empty where not said
	Name   string // of the file, without its ending
	// Cure are the kinds of change that cure it by its source; none where none is named.
	Cure   []string
	shifts bool   // some shift is slow by its source
	Group  string // panels to be left out together; the file's name where not said

	// Whether the file marks the front or rear line as assumed: then it is
	// uncertain by 2 mm or more.
	FrontAssumed, RearAssumed bool

	said []said
}

// said is one line's answer about some gears.
type said struct {
	claim  claim
	gears  []cases.GearPattern
	answer string // yes, no or maybe
	source string
}

// Expected returns what is known of a claim in the gear with these teeth: whether
// it holds, whether that is to be scored, and who says so. Of several lines the
// last one counts. A maybe is not scored, yet has its source; where nothing is said,
// or the bicycle has no such gear, the source is empty.
func (p *fieldBike) Expected(claim claim, ring, cog int) (yes, scored bool, source string) {
	if !slices.Contains(p.Case.Front.Rings, ring) || !slices.Contains(p.Case.Rear.Cogs, cog) {
		return false, false, ""
	}
	for _, s := range slices.Backward(p.said) {
		if s.claim == claim && slices.ContainsFunc(s.gears, func(g cases.GearPattern) bool { return g.Match(ring, cog) }) {
			return s.answer == "yes", s.answer != "maybe", s.source
		}
	}
	return false, false, ""
}
