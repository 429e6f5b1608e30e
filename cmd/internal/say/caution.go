package say

import (
	"fmt"

	"chainpath/sim"
)

// WhatIsChance sends to what a chance is.
const WhatIsChance = "What a chance is: help model."

// Next says which command to type then, given without the tool's name; "" for none.
func Next(command string) string {
	if command == "" {
		return ""
	}
	return "Next: chainpath " + command
}

// Model is said under every result.
const Model = "Chances are model results and count bikes, not pedal strokes: help model."

// Caveat is the same in full, in help, report and JSON.
const Caveat = "Chances are model results on stated assumptions. A chance counts bikes like this one, not pedal strokes. No standard says when a chain drops. Dirt and wear are in the chances as one small share, not as mechanics."

// Exact says how far the numbers of a result are to be trusted.
const Exact = "Angles, lengths and clearances are geometry: exact for the numbers given. " + Caveat

// Safety is said where somebody may be hurt, by what gives the advice: chainpath, this sheet.
func Safety(by string) string {
	return "A chain that drops under load can throw you. Keep your fingers away from a moving chain. A cut, spaced or filed frame or part may fail. " +
		by + " does not replace the maker's instructions, local rules or a qualified mechanic."
}

// Danger is said where a result has a chain that may drop under load, or else one, or a cage, that may
// catch the wheel; from a middle chance on, not to ride.
func Danger(drops bool, level Level) string {
	text, stop := "What catches tyre or spokes can lock the wheel", ""
	if drops {
		text = "A chain that drops under load can throw you"
	}
	if level >= Either {
		stop = ": do not ride on it"
	}
	return text + stop + ". Safety: help safety."
}

// Brake is said wherever a cog that brakes is pushed back; "" for a freewheel.
func Brake(d sim.Drive) string {
	if d == sim.Freewheel {
		return ""
	}
	return fmt.Sprintf("Without its chain a %s cog brakes nothing, and a chain that jams locks the wheel. Keep another brake. Follow the makers' instructions and local rules, and ask a qualified mechanic.", d)
}

// SeeSafety says where the cautions are.
const SeeSafety = "Safety: help safety."

// PartsFit is said beside advice to change parts, and Parts where help is at hand.
const (
	PartsFit = "Check with the makers that parts fit together, and try first what you can undo."
	Parts    = PartsFit + " " + SeeSafety
)

// Cautions of a diagnosis.
const (
	LookFirst = "Look before you change anything, and change one thing at a time."
	NoRide    = "Do not ride a bike that drops its chain under load."
	Fingers   = "Keep your fingers away from a moving chain, follow the makers' instructions, and ask a qualified mechanic."
)

// DropCaution is said where a dropped chain was seen, with a blank behind it; else nothing.
func DropCaution(seen bool) string {
	if !seen {
		return ""
	}
	return NoRide + " "
}
