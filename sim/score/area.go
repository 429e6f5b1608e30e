package score

// Area returns the area under the curve of hits against false alarms: the chance that of two
// cases, one that happened and one that did not, the former was given more, ties counting half
// (Mann and Whitney 1947). Only the order of P counts. NaN where all happened or none.
func Area(p []Prediction) float64 {
	won, pairs := 0.0, 0.0
	for _, a := range p {
		for _, b := range p {
			if !a.Happened || b.Happened {
				continue
			}
			pairs++
			switch {
			case a.P > b.P:
				won++
			case a.P == b.P:
				won += 0.5
			}
		}
	}
	return won / pairs
}
