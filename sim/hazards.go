package sim

import "slices"

// Concern numbers the faults of a gear, by their place in Hazards.
type Concern int

// The concerns that chances are given for. A new one needs its place here, its row in
// Hazards, and what fills in its chance and size in Odds.
const (
	NoiseRiding Concern = iota
	DropRiding
	DropBackwards
	RubsNextCog
	RubsNextRing
	RubsTyreAt
	TopSlackBackwards
	DoesNotClose
	PulleyMeets
	CageMeets
	RubsFrontCage
	ChainTooLong
	MeetsStay
	MeetsDropout
	MeetsWheel
	DropSmooth
	NumConcerns = int(DropSmooth) + 1
)

// Harm classes a fault by its worst consequence.
type Harm int

// The kinds of harm.
const (
	Danger   Harm = iota // may throw the rider or lock the wheel
	Contact              // parts rub
	Noise                // it is heard
	Nuisance             // it stops the ride when pedalling backwards
	Unfit                // it cannot be ridden so
)

// Mark is the shape that a figure marks a fault by.
type Mark string

// The marks.
const (
	BackMark  Mark = "back"  // off when back-pedalling
	DownMark  Mark = "down"  // off when riding
	NoiseMark Mark = "noise" // heard
	RubMark   Mark = "rub"   // parts meet
	SlackMark Mark = "slack" // hangs
	UnfitMark Mark = "unfit" // does not fit
)

// Hazard describes one fault: code, words, letter, unit, and weight in the fault score.
type Hazard struct {
	Code   string    // in machine output
	Words  string    // as a mechanic would say it, in a list
	Short  string    // the same in a table's cell, beside a chance
	Will   string    // that it will probably happen, %s the gears
	Either string    // what could go either way, %s the gears
	Cause  string    // what is behind it
	Cure   string    // as what moving the ring is to cure; "" where no front line does
	Head   [2]string // of a column
	Letter string    // in compact tables
	Mark   Mark      // in figures
	Unit   string    // of its size, which is above 0 past the edge: deg, mm or n
	Ways   [2]bool   // by Direction: in which of them it happens
	Harm   Harm
	Weight float64 // how bad a unit of time in a gear that surely has it is beside the others (assumption)
	Order  int     // in which it is told, the worst first

	Within bool   // of another fault that has a column of its own, which tables of several bikes show alone
	ByBend bool   // whether it goes by the bend of a run
	Meets  bool   // whether two parts meet, its size being by how much they overlap
	Room   string // that somebody has to have measured, else there is no chance; "" where it takes none

	Seen     string   // what an observation calls it; "" where it cannot be observed
	Unseen   string   // what an observation calls it that it did not happen, beside fine
	Sign     string   // of Seen on a button
	Trial    Trial    // of it; none where Minutes is 0
	Symptoms []string // behind which it can be; its own first, "" where it has none
	Fail     []string // groups that --fail-on finds it by, beside danger, which is by Harm
	Cures    []string // complaints of parts that ask for its cure, beside all
}

// Trial is a check of a minute or two that shows whether a fault is there. A chain drop when riding
// has none: it can throw the rider.
type Trial struct {
	Text    string  // with the teeth of ring and cog to be filled in
	Of      int     // tries that are counted; 0: it happens or not
	Minutes float64 // about, by our own guess
}

// Hazards are the concerns, by Concern.
var Hazards = [NumConcerns]Hazard{
	NoiseRiding: {
		Code: "noise_riding", Words: "noise", Short: "noise",
		Will:   "%s will probably be noisy",
		Either: "noise on %s",
		Cause:  "the chain runs onto the chainring at too large an angle", Cure: "the noise",
		Head: [2]string{"noise", ""}, Letter: "n", Mark: NoiseMark, Unit: "deg",
		Ways: [2]bool{true, false}, Harm: Noise, Weight: 1, Order: 12,
		ByBend: true, Seen: "noise", Unseen: "quiet", Sign: "≈", Trial: Trial{"ride in %d/%d and listen", 0, 1},
		Symptoms: []string{"noise"}, Fail: []string{"clatter"}, Cures: []string{"noise"},
	},
	DropRiding: {
		Code: "drop_riding", Words: "chain drop when riding", Short: "drop",
		Will:   "the chain will probably drop off the chainring on rough ground on %s",
		Either: "a chain drop on rough ground on %s",
		Cause:  "a bump lifts the run onto the chainring while the legs hardly pull, or the chain is slack: links land past its teeth", Cure: "the chain drop when riding",
		Head: [2]string{"drop", "riding"}, Letter: "D", Mark: DownMark, Unit: "mm",
		Ways: [2]bool{true, false}, Harm: Danger, Weight: 5, Order: 2,
		ByBend: true, Seen: "off", Sign: "✕",
		Symptoms: []string{"drop"}, Fail: []string{"climb", "clatter"}, Cures: []string{"drops"},
	},
	DropBackwards: {
		Code: "drop_backwards", Words: "chain drop when back-pedalling", Short: "drop",
		Will:   "the chain will probably drop off %s when you back-pedal",
		Either: "a chain drop off %s when you back-pedal",
		Cause:  "the chain runs onto cog and chainring at too large an angle: links land past the teeth", Cure: "the chain drop when back-pedalling",
		Head: [2]string{"drop", "back"}, Letter: "D", Mark: BackMark, Unit: "mm",
		Ways: [2]bool{false, true}, Harm: Nuisance, Weight: 2, Order: 9,
		ByBend: true, Seen: "off", Sign: "✕",
		Trial:    Trial{"in %d/%d, wheel off the ground, back-pedal ten turns and count how often the chain drops", 10, 2},
		Symptoms: []string{"drop"}, Fail: []string{"climb", "clatter"}, Cures: []string{"drops", "backwards"},
	},
	RubsNextCog: {
		Code: "rubs_next_cog", Words: "rubs next cog", Short: "next cog",
		Will:   "the chain will probably rub the next cog on %s",
		Either: "rubbing the next cog on %s",
		Cause:  "the chain touches the next cog", Cure: "rubbing the next cog",
		Head: [2]string{"next", "cog"}, Letter: "r", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Contact, Weight: 2, Order: 11,
		Meets: true, Seen: "rubs_next_cog", Sign: "◂",
		Trial:    Trial{"turn the cranks in %d/%d and look whether the chain brushes the next larger cog", 0, 1},
		Symptoms: []string{"rubs_next_cog", "noise"}, Cures: []string{"rubs"},
	},
	RubsNextRing: {
		Code: "rubs_next_ring", Words: "rubs next chainring", Short: "next ring",
		Will:   "the chain will probably rub the next chainring on %s",
		Either: "rubbing the next chainring on %s",
		Cause:  "the chain touches the next chainring or its pins", Cure: "rubbing the next chainring",
		Head: [2]string{"next", "ring"}, Letter: "r", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Contact, Weight: 2, Order: 10,
		Meets: true, Seen: "rubs_next_ring", Sign: "▸",
		Trial:    Trial{"turn the cranks in %d/%d and look whether the chain brushes the next larger chainring", 0, 1},
		Symptoms: []string{"rubs_next_ring", "noise"}, Cures: []string{"rubs"},
	},
	RubsTyreAt: {
		Code: "rubs_tyre", Words: "rubs tyre", Short: "tyre",
		Will:   "the chain will probably rub the tyre on %s",
		Either: "rubbing the tyre on %s",
		Cause:  "the chain touches the tyre", Cure: "rubbing the tyre",
		Head: [2]string{"tyre", ""}, Letter: "t", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Danger, Weight: 5, Order: 3,
		Meets: true, Room: "tyre", Seen: "rubs_tyre", Sign: "◍",
		Trial:    Trial{"turn the wheel in %d/%d and look whether the chain brushes the tyre", 0, 1},
		Symptoms: []string{"tyre_mark"}, Cures: []string{"rubs"},
	},
	TopSlackBackwards: {
		Code: "top_slack_backwards", Words: "top run goes slack", Short: "slack",
		Will:   "the top run will probably go slack on %s when you back-pedal",
		Either: "a slack top run on %s when you back-pedal",
		Cause:  "the freehub's drag takes the tension off the top run",
		Head:   [2]string{"top", "slack"}, Letter: "s", Mark: SlackMark, Unit: "n",
		Ways: [2]bool{false, true}, Harm: Nuisance, Weight: 1, Order: 13,
		Symptoms: []string{"loose_top", "noise", "drop"}, Cures: []string{"slack"},
	},
	DoesNotClose: {
		Code: "cannot_close", Words: "chain does not fit", Short: "not fit",
		Will:   "the chain will probably not fit on %s",
		Either: "whether the chain fits on %s",
		Cause:  "the chain does not fit the gear",
		Head:   [2]string{"not", "fit"}, Letter: "X", Mark: UnfitMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Unfit, Weight: 10, Order: 14,
		Symptoms: []string{"loose_top", "drop"}, Cures: []string{"slack"},
	},
	PulleyMeets: {
		Code: "pulley_meets", Words: "pulley touches chainring or cog", Short: "pulley",
		Will:   "the tension pulley will probably touch chainring or cog on %s",
		Either: "the tension pulley touching chainring or cog on %s",
		Cause:  "the cage swings the tension pulley into chainring or cog",
		Head:   [2]string{"pulley", ""}, Letter: "p", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Contact, Weight: 5, Order: 6,
		Meets: true, Cures: []string{"rubs"},
	},
	CageMeets: {
		Code: "cage_meets", Words: "cage touches tyre or spokes", Short: "cage",
		Will:   "the derailleur cage will probably touch tyre or spokes on %s",
		Either: "the derailleur cage touching tyre or spokes on %s",
		Cause:  "the cage reaches inboard to tyre or spokes",
		Head:   [2]string{"cage", ""}, Letter: "c", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Danger, Weight: 10, Order: 4,
		Meets: true, Cures: []string{"rubs"},
	},
	RubsFrontCage: {
		Code: "rubs_front_cage", Words: "rubs front derailleur cage or guide", Short: "front cage",
		Will:   "the chain will probably rub the front derailleur cage or guide on %s",
		Either: "rubbing the front derailleur cage or guide on %s",
		Cause:  "the top run touches the front derailleur cage or the chain guide, even at its best trim", Cure: "rubbing the front derailleur cage",
		Head: [2]string{"front", "cage"}, Letter: "f", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Noise, Weight: 1, Order: 15,
		Meets: true, Cures: []string{"rubs"},
	},
	ChainTooLong: {
		Code: "chain_too_long", Words: "chain too long", Short: "too long",
		Will:   "the chain will probably be too long on %s",
		Either: "a chain too long on %s",
		Cause:  "the cage is fully folded, or the axle fully back, before it has taken up the chain",
		Head:   [2]string{"too", "long"}, Letter: "l", Mark: SlackMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Nuisance, Weight: 1, Order: 16,
		Symptoms: []string{"loose_top", "drop"}, Cures: []string{"slack"},
	},
	MeetsStay: {
		Code: "meets_stay", Words: "touches chainstay", Short: "stay",
		Will:   "the chain or chainring will probably touch the chainstay on %s",
		Either: "touching the chainstay on %s",
		Cause:  "chain, chainring or its bolts reach the chainstay under load", Cure: "touching the chainstay",
		Head: [2]string{"stay", ""}, Letter: "h", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Contact, Weight: 2, Order: 7,
		Meets: true, Room: "chainstay", Seen: "meets_stay", Sign: "▼",
		Trial:    Trial{"in %d/%d hold the brake, press hard on the pedal and look whether chainring or chain touches the chainstay", 0, 1},
		Symptoms: []string{"stay_mark", "noise"}, Cures: []string{"rubs"},
	},
	MeetsDropout: {
		Code: "meets_dropout", Words: "touches dropout", Short: "dropout",
		Will:   "the smallest cog or its chain will probably touch the dropout on %s",
		Either: "touching the dropout on %s",
		Cause:  "the smallest cog, or the chain on it, reaches the dropout or what of the frame is outboard of it", Cure: "touching the dropout",
		Head: [2]string{"drop-", "out"}, Letter: "o", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Contact, Weight: 2, Order: 8,
		Meets: true, Room: "dropout", Seen: "meets_dropout", Sign: "◨",
		Trial:    Trial{"turn the cranks in %d/%d and look whether smallest cog or chain touches the dropout", 0, 1},
		Symptoms: []string{"dropout_mark", "noise"}, Cures: []string{"rubs"},
	},
	MeetsWheel: {
		Code: "meets_wheel", Words: "touches spokes or rotor", Short: "wheel",
		Will:   "the largest cog or its chain will probably touch spokes or rotor on %s",
		Either: "touching spokes or rotor on %s",
		Cause:  "the largest cog, or the chain on it, reaches the spokes or the brake's rotor", Cure: "touching spokes or rotor",
		Head: [2]string{"wheel", ""}, Letter: "w", Mark: RubMark, Unit: "mm",
		Ways: [2]bool{true, true}, Harm: Danger, Weight: 10, Order: 5,
		Meets: true, Room: "wheel", Seen: "meets_wheel", Sign: "✳",
		Trial:    Trial{"turn the cranks in %d/%d, wheel off the ground, and look whether largest cog or chain touches the spokes", 0, 1},
		Symptoms: []string{"spoke_mark", "noise"}, Cures: []string{"rubs"},
	},
	DropSmooth: {
		Code: "drop_smooth", Words: "chain drop on a smooth road", Short: "smooth road",
		Will:   "the chain will probably drop off the chainring on %s, even on a smooth road",
		Either: "a chain drop on a smooth road on %s",
		Cause:  "the chain runs onto the chainring at too large an angle: links land past its teeth", Cure: "the chain drop when riding",
		Head: [2]string{"drop", "smooth"}, Letter: "S", Mark: DownMark, Unit: "mm",
		Ways: [2]bool{true, false}, Harm: Danger, Weight: 5, Order: 1,
		Within: true, ByBend: true,
		Fail: []string{"climb", "clatter"}, Cures: []string{"drops"},
	},
}

// partGap is a fault of two parts that meet and do not move beside each other: what measures the gap
// between them in a laid gear, and over how much of it, mm, its chance sets in.
type partGap struct {
	of   Concern
	gap  func(b *Bike, l *Loop) Gap
	soft float64
}

// partGaps are those faults. A new one needs nothing but its row here and in Hazards.
var partGaps = [numPartGaps]partGap{
	{PulleyMeets, (*Bike).pulleyGap, softCage},
	{CageMeets, (*Bike).cageGap, softCage},
}

const numPartGaps = 2

func (c Concern) String() string { return Hazards[c].Code }

// Words returns the concern as a mechanic would say it.
func (c Concern) Words() string { return Hazards[c].Words }

// Fails reports whether --fail-on finds a hazard by a group's name.
func (h *Hazard) Fails(group string) bool {
	return slices.Contains(h.Fail, group) || group == "danger" && h.Harm == Danger
}

// Concerns returns the faults whose row in Hazards passes a test, in the order of the table.
func Concerns(is func(h *Hazard) bool) (out []Concern) {
	for k := range Hazards {
		if is(&Hazards[k]) {
			out = append(out, Concern(k))
		}
	}
	return out
}

// SeenWords returns the words of observations, for a fault that happened and for one that did not,
// the mildest first.
func SeenWords() (words []string) {
	for _, k := range ToldOrder() {
		for _, w := range []string{Hazards[k].Seen, Hazards[k].Unseen} {
			if w != "" && !slices.Contains(words, w) {
				words = append(words, w)
			}
		}
	}
	slices.Reverse(words)
	return words
}

// ToldOrder returns the faults in the order in which answers name them, the worst first.
func ToldOrder() []Concern {
	out := make([]Concern, NumConcerns)
	for k := range Hazards {
		out[Hazards[k].Order-1] = Concern(k)
	}
	return out
}

// Chances holds the chance of each fault in one gear, 0 to 1; less than 0 where the gear has no
// such fault.
type Chances [NumConcerns]float64

// Is reports whether the gear can have the fault at all.
func (c *Chances) Is(k Concern) bool { return c[k] >= 0 }

// Sizes holds how far each fault of one gear is over its limit, in Hazard.Unit. Positive: it
// happens. Undefined where Chances.Is is false.
type Sizes [NumConcerns]float64
