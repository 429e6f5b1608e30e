package infer

import (
	"math"

	"chainpath/sim/elementary"
)

// Normal returns the share Φ(x) of a standard normal below x.
func Normal(x float64) float64 { return elementary.Erfc(-x/math.Sqrt2) / 2 }

// leastShare keeps Probit finite.
const leastShare = 1e-15

// Probit returns Φ⁻¹(p) of a share, which is kept off 0 and 1 by 1e-15.
func Probit(p float64) float64 {
	return math.Sqrt2 * math.Erfinv(2*min(max(p, leastShare), 1-leastShare)-1)
}
