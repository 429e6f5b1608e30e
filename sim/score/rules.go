package score

// baseRate returns the chance that takes every outcome to be alike: by Laplace's
// rule of succession (Essai philosophique sur les probabilités, 1814)
// (yes + 1)/(n + 2), 1/2 where nothing is known.
func baseRate(o []Prediction) float64 {
	yes := 0
	for _, x := range o {
		if x.Happened {
			yes++
		}
	}
	return float64(yes+1) / float64(len(o)+2)
}
