package infer

import (
	"math"

	"chainpath/sim/elementary"
)

// Spread says how a fault's softness is shared out, as variances that sum to 1, and above which
// share of tries it counts as there.
type Spread struct {
	Common float64 // C: one offset for the thing
	Near   float64 // N: alike at places near each other
	Own    float64 // O: a place's own, > 0
	Try    float64 // T: a try's own, > 0
	Rate   float64 // r0, 0 to 1 exclusive
}

// Level returns μ of a chance of the fault.
func (s *Spread) Level(p float64) float64 {
	return math.Sqrt(1-s.Try)*Probit(p) + math.Sqrt(s.Try)*Probit(s.Rate)
}

// Fault returns the chance of the fault at a place where the model says p and the offset
// √C·B + √N·S is known: its mean over offsets of variance C + N is p.
//
//	Φ((√(1-T)·Φ⁻¹(p) - offset)/√O)
func (s *Spread) Fault(p, offset float64) float64 {
	return Normal((math.Sqrt(1-s.Try)*Probit(p) - offset) / math.Sqrt(s.Own))
}

// OffsetOf returns the offset at which Fault of p is a chance: the inverse of Fault.
func (s *Spread) OffsetOf(p, fault float64) float64 {
	return math.Sqrt(1-s.Try)*Probit(p) - math.Sqrt(s.Own)*Probit(fault)
}

// At is Fault at a level in place of p.
func (s *Spread) At(level, offset float64) float64 {
	return Normal((level - offset - math.Sqrt(s.Try)*Probit(s.Rate)) / math.Sqrt(s.Own))
}

// LevelAt returns the level less the offset at which a chance of the fault is what At gives.
func (s *Spread) LevelAt(fault float64) float64 {
	return math.Sqrt(s.Try)*Probit(s.Rate) + math.Sqrt(s.Own)*Probit(fault)
}

// OffsetBetween returns the offset at which At of some levels comes nearest to chances of the fault: where
// the sum of what it takes to tell them by it, -f·ln At - (1-f)·ln(1-At), which has one lowest place, is
// least. Of one level At is its chance.
func (s *Spread) OffsetBetween(levels, faults []float64) float64 {
	base := math.Sqrt(s.Try) * Probit(s.Rate)
	slope := func(offset float64) (sum float64) { // but for what is positive and alike
		for i, f := range faults {
			z := (levels[i] - offset - base) / math.Sqrt(s.Own)
			sum += float64(elementary.Exp(-z*z/2) * float64(f/max(Normal(z), 1e-300)-(1-f)/max(Normal(-z), 1e-300)))
		}
		return sum
	}
	low, up := math.Inf(1), math.Inf(-1)
	for i, f := range faults { // between those that fit each alone
		own := levels[i] - base - math.Sqrt(s.Own)*Probit(f)
		low, up = min(low, own), max(up, own)
	}
	for range 50 {
		if mid := (low + up) / 2; slope(mid) < 0 {
			low = mid
		} else {
			up = mid
		}
	}
	return (low + up) / 2
}

// unseen returns the spread of a place at which no offset is known: all of it is its own.
func (s *Spread) unseen() Spread { return Spread{Own: 1 - s.Try, Try: s.Try, Rate: s.Rate} }
