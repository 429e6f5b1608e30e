package score

// Rivals are what chances are compared with: a rule of one number and always the base
// rate, each fitted to all outcomes, and fitted without each group in turn.
type Rivals struct {
	Rule, Rate       Tally
	RuleOut, RateOut Tally
	// The chances of the rule and of the base rate, each fitted without the outcome's group, in the
	// order of the outcomes.
	RuleChances, RateChances []float64
}

// RivalsOf fits and tallies the rivals of some predictions, of at least two groups.
// Errors wrap ErrInput or ErrFit.
func RivalsOf(o []Prediction) (r Rivals, err error) {
	rule := func(rest []Prediction) (func(Prediction) float64, error) {
		l, err := fitLogistic(rest, weak)
		return func(x Prediction) float64 { return l.Chance(x.X) }, err
	}
	rate := func(rest []Prediction) (func(Prediction) float64, error) {
		p := baseRate(rest)
		return func(Prediction) float64 { return p }, nil
	}
	for _, x := range []struct {
		fit         func([]Prediction) (func(Prediction) float64, error)
		fitted, out *Tally
		chances     *[]float64
	}{{rule, &r.Rule, &r.RuleOut, &r.RuleChances}, {rate, &r.Rate, &r.RateOut, &r.RateChances}} {
		f, err := x.fit(o)
		if err != nil {
			return r, err
		}
		if *x.fitted, err = countWith(o, func(i int) float64 { return f(o[i]) }); err != nil {
			return r, err
		}
		p, err := holdOut(o, func(x Prediction) string { return x.Group }, x.fit)
		if err != nil {
			return r, err
		}
		if *x.out, err = countWith(o, func(i int) float64 { return p[i] }); err != nil {
			return r, err
		}
		*x.chances = p
	}
	return r, nil
}

// countWith tallies outcomes with other chances.
func countWith(o []Prediction, chance func(i int) float64) (Tally, error) {
	other := make([]Prediction, len(o))
	for i, x := range o {
		x.P = chance(i)
		other[i] = x
	}
	return Count(other, Cut)
}
