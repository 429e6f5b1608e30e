package decide

import "chainpath/sim"

// Complaint is what a mechanic can see or hear, by its word in case files.
type Complaint string

// The complaints. Which concerns are behind them sim.Hazards has.
const (
	Noise       Complaint = "noise"
	Drop        Complaint = "drop"
	RubsCog     Complaint = "rubs_next_cog"
	RubsRing    Complaint = "rubs_next_ring"
	TyreMark    Complaint = "tyre_mark"
	StayMark    Complaint = "stay_mark"
	DropoutMark Complaint = "dropout_mark"
	SpokeMark   Complaint = "spoke_mark"
	LooseTop    Complaint = "loose_top"
	Skips       Complaint = "skips" // under load: nothing in the model does that

	// Of shifts: bicycles with a fault each, simulated, tell what is behind them.
	SlowToLarger  Complaint = "slow_to_larger"
	SlowToSmaller Complaint = "slow_to_smaller"
	SkipsInOne    Complaint = "skips_in_one"
	SkipsInSome   Complaint = "skips_in_some"
	NoisyInOne    Complaint = "noisy_in_one"
	AfterCrash    Complaint = "after_crash" // what happened before, and no sign itself
	AfterWheel    Complaint = "after_wheel"
)

// OfShifts are the complaints of shifts, with what happened before.
var OfShifts = []Complaint{SlowToLarger, SlowToSmaller, SkipsInOne, SkipsInSome, NoisyInOne, AfterCrash, AfterWheel}

// Complaints are all of them, in the order in which they are told.
var Complaints = []Complaint{Noise, Drop, RubsCog, RubsRing, TyreMark, StayMark, DropoutMark, SpokeMark, LooseTop, Skips, SlowToLarger, SlowToSmaller, SkipsInOne, SkipsInSome, NoisyInOne, AfterCrash, AfterWheel}

// Symptom is a complaint in a direction and some gears.
type Symptom struct {
	Complaint Complaint
	Direction sim.Direction
	Gears     map[[2]int]bool // ring and cog index; of all gears those in which it shows
}
