package score

import (
	"fmt"
	"math"
)

// Cut is the usual chance from which on a prediction counts as yes.
const Cut = 0.5

// Clip is how near to 0 and 1 a chance comes in the log loss. One prediction that
// was certain and wrong costs 13.8, not everything.
const Clip = 1e-6

// Tally is how a set of predictions did.
type Tally struct {
	N, Yes  int     // outcomes, and those that happened
	Hit     int     // predicted and happened
	False   int     // predicted, did not happen
	Miss    int     // not predicted, happened
	Right   int     // not predicted, did not happen
	LogLoss float64 // mean of LogLoss, >= 0; less is better
	Brier   float64 // mean square of chance less outcome, 0 to 1; less is better
}

// Count tallies predictions: a chance of cut or more counts as predicted, cut
// from 0 to 1. Errors wrap ErrInput: no outcomes, or numbers that cannot be.
//
// The Brier score is that of the one event, Σ(p - y)²/n with y = 1 where it
// happened: half the sum over both classes of Brier, Monthly Weather Review 78
// (1950), 1-3.
func Count(o []Prediction, cut float64) (Tally, error) {
	if err := validate(o); err != nil {
		return Tally{}, err
	}
	if !chance(cut) {
		return Tally{}, fmt.Errorf("%w: cut %g, want 0 to 1", ErrInput, cut)
	}
	t := Tally{N: len(o)}
	for _, x := range o {
		y := 0.0
		if x.Happened {
			t.Yes++
			y = 1
		}
		switch predicted := x.P >= cut; {
		case predicted && x.Happened:
			t.Hit++
		case predicted:
			t.False++
		case x.Happened:
			t.Miss++
		default:
			t.Right++
		}
		t.LogLoss += LogLoss(x.P, x.Happened)
		t.Brier += (x.P - y) * (x.P - y)
	}
	t.LogLoss /= float64(t.N)
	t.Brier /= float64(t.N)
	return t, nil
}

// LogLoss returns -ln of the chance given to what happened, with the chance
// clipped to Clip and 1 - Clip. NaN counts as the worst.
func LogLoss(p float64, happened bool) float64 {
	if !happened {
		p = 1 - p
	}
	if !(p >= Clip) {
		p = Clip
	}
	return -math.Log(min(p, 1-Clip))
}
