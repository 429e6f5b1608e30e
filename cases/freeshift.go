package cases

import (
	"math/rand/v2"
	"sync"

	"chainpath/sim/indexing"
	"chainpath/sim/judge"
)

// shiftNumbers are the free numbers of indexing, which no other chance looks at: they have
// sets of their own.
var shiftNumbers = []FreeNumber{
	{Name: "shift room", Low: 0.2, Up: 0.6, Unit: "of the pitch", Basis: Practice, Standing: 0.4,
		Note: "what a straight bike's stops may be off, both ways together: straight bikes shift, a whole turn of the adjuster is felt, half-turn steps find the setting (workshop columns)"},
	{Name: "shift reach", Low: 1.3, Up: 2.0, Basis: Assumption, Standing: 1.6,
		Note: "how many times a gap's error counts: free run over lever of the guide run"},
	{Name: "stop spread", Low: 0.02, Up: 0.06, Unit: "mm", Basis: Assumption, Standing: 0.04, Note: "standard deviation of single stops; no tolerance is published"},
	{Name: "cog spread", Low: 0.01, Up: 0.04, Unit: "mm", Basis: Assumption, Standing: 0.025, Note: "of single cogs' planes; no tolerance is published"},
	{Name: "gate spread", Low: 0.05, Up: 0.15, Unit: "mm", Basis: Assumption, Standing: 0.1, Note: "of the depth of shift gates"},
}

// ShiftNumbers returns the free numbers of indexing.
func ShiftNumbers() []FreeNumber { return shiftNumbers }

// shiftUnknowns turns numbers in the order of ShiftNumbers into what they mean.
func shiftUnknowns(at func(i int) float64) indexing.Unknowns {
	return indexing.Unknowns{Room: at(0), Kappa: at(1), StopSpread: at(2), CogSpread: at(3), GateSpread: at(4)}
}

// ShiftUnknowns draws a set, each number at a share of its range, 0 to 1.
func ShiftUnknowns(share func() float64) indexing.Unknowns {
	return shiftUnknowns(func(i int) float64 { return shiftNumbers[i].At(share()) })
}

// standingShifts are the typical values.
func standingShifts() indexing.Unknowns {
	return shiftUnknowns(func(i int) float64 { return shiftNumbers[i].Standing })
}

// shiftStream is the random stream of indexing's sets and bicycles.
const shiftStream = 28

// ShiftSets returns the sets of indexing's free numbers, as many as there are of the others.
var ShiftSets = sync.OnceValue(func() []indexing.Unknowns {
	sets := make([]indexing.Unknowns, judge.Sets)
	for k := range sets {
		rng := rand.New(rand.NewPCG(uint64(k), shiftStream))
		sets[k] = ShiftUnknowns(rng.Float64)
	}
	return sets
})
