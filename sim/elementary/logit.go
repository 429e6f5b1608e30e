package elementary

import "math"

// Logit returns the logarithm of the odds of a chance, which is kept so far off 0 and 1: what Logistic takes back.
func Logit(p, end float64) float64 {
	p = min(max(p, end), 1-end)
	return math.Log(p / (1 - p))
}
