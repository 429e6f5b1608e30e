package decide

import (
	"math"
	"slices"
	"sort"

	"chainpath/sim"
	"chainpath/sim/elementary"
	"chainpath/sim/indexing"
)

// Cause is one thing that may be behind all that was told of a bike: its own measures, or something that is
// wrong with it.
type Cause int

// The causes. Those of shifts follow, in the order of package indexing, and last what is not modelled.
const (
	AsMeasured  Cause = iota // the faults that the bike has as it was measured
	LineOff                  // the chainrings stand elsewhere than the file says
	ChainLength              // the chain is of another length
	FreehubDrag
	BadCog
	StiffLink
	WornChain // and cogs
	ofShifts
	NotModelled = ofShifts + Cause(indexing.NumFaults)
	NumCauses   = int(NotModelled) + 1
)

// OfFault returns the cause that a fault of the indexing is.
func OfFault(f indexing.Fault) Cause { return ofShifts + Cause(f) }

// Fault returns the fault of the indexing that a cause is; false where it is another.
func (c Cause) Fault() (indexing.Fault, bool) {
	f := indexing.Fault(c - ofShifts)
	return f, c >= ofShifts && c < NotModelled
}

// commons are how often each cause is the one in a workshop (assumption; no published count); those of shifts
// share one part by indexing's own numbers.
var commons = [ofShifts]float64{AsMeasured: 0.25, LineOff: 0.07, ChainLength: 0.08, FreehubDrag: 0.05, BadCog: 0.10, StiffLink: 0.10, WornChain: 0.15}

const (
	commonShifts = 0.15
	commonOther  = 0.05
)

// codes are the causes' names in machine output.
var codes = [ofShifts]string{"as_measured", "front_line", "chain_length", "freehub_drag", "bad_cog", "stiff_link", "worn_chain"}

// Code returns the cause's name in machine output.
func (c Cause) Code() string {
	if f, is := c.Fault(); is {
		return f.Code()
	}
	if c == NotModelled {
		return "not_modelled"
	}
	return codes[c]
}

// Evidence is everything that was told of a bike but of its shifts.
type Evidence struct {
	Symptoms []Symptom
	Spared   []Symptom // what was seen not to go wrong; only the gears named are free of it
	Teeth    []int     // of the cogs, from small to large
	Rings    int
}

// Variant is a bike with one thing about it otherwise: its chances by every drawn set, gear by gear.
type Variant struct {
	Cause Cause
	Share float64 // of that cause, as how often it is just so
	Sets  [][]sim.Chances
}

// Ranked is a cause with how likely it is, of all of them.
type Ranked struct {
	Cause Cause
	Share float64
	At    int // the cog that a bad cog is likeliest to be; -1: another cause
}

// untoldShifts is how likely a fault of the indexing is told by nothing of the shifts (assumption).
const untoldShifts = 0.1

// Causes ranks what may be behind all that was told, as one cause: likelihood over drawn sets and what is not
// known of the cause, by how common it is, the likeliest first. Variants are the bike as it was measured and
// with each cause that changes its chances. Shifts are the likelihoods of what was told of shifts by fault,
// AsTold's 1; nil where nothing was. No share is 0 or 1.
func Causes(variants []Variant, t *Evidence, shifts map[indexing.Fault]float64) (out []Ranked) {
	log := make([]float64, NumCauses)
	at := -1
	for i := range log {
		log[i] = math.Inf(-1)
	}
	for i := range variants {
		v := &variants[i]
		by := t.odds(v.Sets)
		if v.Cause != AsMeasured {
			log[v.Cause] = logSum(log[v.Cause], math.Log(v.Share)+t.under(by, noFootprint))
			continue
		}
		log[AsMeasured] = t.under(by, noFootprint)
		log[BadCog], at = t.oneCog(by)
		log[StiffLink] = t.stiff(by)
		log[WornChain] = t.worn(by)
		indexed := t.under(by, setWrong)
		for f := range indexing.Fault(indexing.NumFaults) {
			switch p, told := shifts[f]; {
			case f == indexing.AsTold:
			case shifts == nil:
				log[OfFault(f)] = math.Log(untoldShifts) + indexed
			case told && p > 0:
				log[OfFault(f)] = math.Log(p) + indexed
			}
		}
	}
	log[NotModelled] = t.blind()
	most := slices.Max(log)
	sum := 0.0
	for c := range log {
		log[c] = elementary.Exp(log[c]-most) * common(Cause(c))
		sum += log[c]
	}
	for c, x := range log {
		if x > 0 {
			r := Ranked{Cause(c), max(0.005, min(x/sum, 0.99)), -1}
			if r.Cause == BadCog {
				r.At = at
			}
			out = append(out, r)
		}
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].Share > out[j].Share })
	return out
}

func common(c Cause) float64 {
	switch f, is := c.Fault(); {
	case is && f == indexing.AsTold: // nothing beyond what is told
		return 0
	case is:
		return commonShifts * f.Common()
	case c == NotModelled:
		return commonOther
	}
	return commons[c]
}

func logSum(a, b float64) float64 {
	if math.IsInf(a, -1) {
		return b
	}
	return max(a, b) + math.Log1p(elementary.Exp(-math.Abs(a-b)))
}
