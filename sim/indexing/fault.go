package indexing

import (
	"math"
	"math/rand/v2"
)

// Fault is what may be behind shifts that are late.
type Fault int

// The faults. AsTold is none beyond what is told of the bicycle.
const (
	AsTold Fault = iota
	Setting
	Friction
	BentHanger
	WrongSpacer
	BentCog
	WrongPull
	PulleyPlay // worn, or with too much float: nothing that is seen of shifts tells those apart, a new one beside it does
	WrongCluster
	ChainLine
	NumFaults = int(ChainLine) + 1
)

// kind is what is known of a fault before anything was seen.
type kind struct {
	Code, Words string
	share       float64 // how often it is the one, in a workshop (assumption; no published count)
	crash       float64 // how many times that after a crash
	swap        float64 // and after a new wheel or cluster
}

// Kinds lists the faults with how often each is the one (assumptions: nobody has published
// a count).
var kinds = [NumFaults]kind{
	AsTold:       {"as_told", "nothing beyond what the file tells", 0.05, 1, 1},
	Setting:      {"setting", "the cable's setting", 0.28, 1, 3},
	Friction:     {"cable_friction", "friction of the cable", 0.22, 1, 0.5},
	BentHanger:   {"hanger", "a bent hanger", 0.13, 6, 0.5},
	WrongSpacer:  {"spacer", "a spacer between two cogs", 0.05, 0.3, 5},
	BentCog:      {"bent_cog", "a bent cog", 0.05, 5, 1},
	WrongPull:    {"pull", "pull and derailleur that do not match", 0.06, 0.3, 0.5},
	PulleyPlay:   {"pulley_play", "a guide pulley that is worn or has too much float", 0.08, 1, 0.5},
	WrongCluster: {"wrong_cluster", "a cassette for another number of speeds", 0.04, 0.3, 5},
	ChainLine:    {"chain_line", "the top run's lean", 0.03, 1, 1},
}

// Code returns the fault's name in machine output.
func (f Fault) Code() string { return kinds[f].Code }

// Common returns how often the fault is the one, of those of shifts, with nothing known (assumption).
func (f Fault) Common() float64 { return kinds[f].share }

// Words returns the fault as a mechanic says it.
func (f Fault) Words() string { return kinds[f].Words }

// Plant is a fault with its size and place.
type Plant struct {
	Fault Fault
	Size  float64 // mm; of a hanger rad of lean; of a pull the share of a step that it is too long
	At    int     // the smaller cog of the pair, or the cog; -1: none
}

// Priors of sizes, each either way where it has two (assumptions but for friction, which the
// capstan law gives, and the hanger's least, which is the workshop's limit).
const (
	leastClicks, mostClicks = 1.5, 7.0
	noClick                 = 0.25 // of an actuation without clicks, mm
	leastDry, mostDry       = 0.2, 0.5
	leastBend, mostBend     = 4.0 / 622, 18.0 / 622
	leastSpacer, mostSpacer = 0.15, 0.7
	missing                 = 0.2 // share of wrong spacers that are missing or one too many
	leastCog, mostCog       = 0.25, 0.8
	leastPull, mostPull     = 0.025, 0.1
	leastPlay, mostPlay     = 0.2, 0.6
	leastLean, mostLean     = 0.1, 0.3
)

// Around holds what the size of a fault depends on besides the cogs.
type Around struct {
	Others   []float64 // pitches of clusters for one speed more and less, mm
	Straight []float64 // by ring: the cog, a number of them, that it lies in line with
	Electric bool      // no cable
}

// Draw draws a fault of a kind.
func (f Fault) Draw(r *Rear, a *Around, rng *rand.Rand) Plant {
	n := len(r.Planes)
	either := func(lo, hi float64) float64 {
		x := lo + (hi-lo)*rng.Float64()
		if rng.Float64() < 0.5 {
			return -x
		}
		return x
	}
	p := Plant{Fault: f, At: -1}
	switch f {
	case Setting:
		c := r.Click
		if c <= 0 {
			c = noClick
		}
		p.Size = c * either(leastClicks, mostClicks)
	case Friction:
		p.Size = leastDry + (mostDry-leastDry)*rng.Float64()
	case BentHanger:
		p.Size = either(leastBend, mostBend)
	case WrongSpacer:
		p.At, p.Size = rng.IntN(n-1), either(leastSpacer, mostSpacer)
		if rng.Float64() < missing {
			p.Size = either(0.5*r.Pitch, 0.7*r.Pitch)
		}
	case BentCog:
		p.At, p.Size = rng.IntN(n), either(leastCog, mostCog)
	case WrongPull:
		p.Size = either(leastPull, mostPull)
	case PulleyPlay:
		p.Size = leastPlay + (mostPlay-leastPlay)*rng.Float64()
	case WrongCluster:
		if len(a.Others) > 0 {
			p.Size = a.Others[rng.IntN(len(a.Others))] - r.Pitch
		}
	case ChainLine:
		p.Size = leastLean + (mostLean-leastLean)*rng.Float64()
	}
	return p
}

// Into puts a fault into a rear.
func (p Plant) Into(r *Rear) {
	switch p.Fault {
	case Setting:
		r.Off += p.Size
	case Friction:
		r.Friction += p.Size
	case BentHanger:
		r.Hang(p.Size, 0)
	case WrongSpacer:
		r.Spacer(p.At, p.Size)
	case BentCog:
		r.Planes[p.At] += p.Size
	case WrongPull:
		r.Pull(1 + p.Size)
	case PulleyPlay:
		r.Play += p.Size
	case WrongCluster:
		for k := range r.Planes {
			r.Planes[k] -= p.Size * float64(k)
		}
	}
}

// Leans puts a top run's lean into a rear, on a ring in line with a cog: it pulls seated links
// to its side as far as their play goes, outboard on the cogs inboard of the ring.
func (r *Rear) Leans(size, straight float64) {
	for k := range r.Aside {
		lean := (float64(k) - straight) / (float64(len(r.Aside)) / 3)
		r.Aside[k] += size * math.Max(-1, math.Min(lean, 1))
	}
}

// Faults returns those that a bicycle can have at all, AsTold among them.
func (a *Around) Faults(r *Rear) (list []Fault) {
	for f := range Fault(NumFaults) {
		if f.possible(r, a) {
			list = append(list, f)
		}
	}
	return list
}

func (f Fault) possible(r *Rear, a *Around) bool {
	switch f {
	case Friction:
		return !a.Electric
	case WrongCluster:
		return len(a.Others) > 0
	case BentHanger:
		return len(r.Below) > 0
	case ChainLine:
		return len(a.Straight) > 0
	}
	return true
}
