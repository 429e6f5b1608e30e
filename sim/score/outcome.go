package score

import (
	"errors"
	"fmt"
	"math"
)

// Prediction is one prediction and what happened.
type Prediction struct {
	P        float64 // predicted chance that it happens, 0 to 1
	Happened bool
	Group    string  // outcomes to be held out together
	X        float64 // number that a one-number rule is fitted on, any unit, within ±1e100
}

// ErrInput reports outcomes, edges or penalties that cannot be.
var ErrInput = errors.New("score: bad input")

// most is the largest size of a number, so that its square and sums stay finite.
const most = 1e100

// Validate returns an error wrapping ErrInput that says what is wrong.
func (o Prediction) Validate() error {
	switch {
	case !chance(o.P):
		return fmt.Errorf("%w: chance %g, want 0 to 1", ErrInput, o.P)
	case !(math.Abs(o.X) <= most):
		return fmt.Errorf("%w: number %g, want within ±%g", ErrInput, o.X, most)
	}
	return nil
}

// chance says whether p lies in [0, 1].
func chance(p float64) bool { return p >= 0 && p <= 1 }

// validate refuses an empty list, and the first bad outcome by its index.
func validate(o []Prediction) error {
	if len(o) == 0 {
		return fmt.Errorf("%w: no outcomes", ErrInput)
	}
	for i := range o {
		if err := o[i].Validate(); err != nil {
			return fmt.Errorf("outcome %d: %w", i, err)
		}
	}
	return nil
}
