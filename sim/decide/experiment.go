package decide

import (
	"errors"
	"fmt"
	"math"
)

// ErrChoice reports a choice or a test that cannot be weighed.
var ErrChoice = errors.New("decide: bad choice")

// Choice is one of several options, of which the trouble is known under every drawn set
// but not which set is true.
type Choice struct {
	Trouble [][]float64 // by option and set, >= 0
	Weight  []float64   // of every set, >= 0, in any unit
}

// Experiment is the chance of each outcome of a test under every set: by outcome and set,
// each 0 to 1, and 1 together under every set.
type Experiment [][]float64

// Worth is what a test is worth before a choice.
type Worth struct {
	Avoided float64 // by how much the trouble to be expected falls when the choice is made after it
	Turns   float64 // chance that another option is then better by more than chances can tell
}

// Valid returns an error that wraps ErrChoice where rows differ in length, or a number is
// negative, infinite or none.
func (c *Choice) Valid() error {
	if len(c.Trouble) == 0 {
		return fmt.Errorf("%w: no option", ErrChoice)
	}
	sum := 0.0
	for _, w := range c.Weight {
		if !(w >= 0) {
			return fmt.Errorf("%w: weight %g of a set", ErrChoice, w)
		}
		sum += w
	}
	if !(sum > 0) || math.IsInf(sum, 0) {
		return fmt.Errorf("%w: weights sum to %g", ErrChoice, sum)
	}
	for i, row := range c.Trouble {
		if len(row) != len(c.Weight) {
			return fmt.Errorf("%w: option %d has %d sets of %d", ErrChoice, i, len(row), len(c.Weight))
		}
		for _, x := range row {
			if !(x >= 0) || math.IsInf(x, 0) {
				return fmt.Errorf("%w: trouble %g of option %d", ErrChoice, x, i)
			}
		}
	}
	return nil
}

// Best returns the option with the least trouble to be expected, and that trouble; of equal
// ones the first.
func (c *Choice) Best() (option int, trouble float64) {
	option, trouble, total := c.after(nil)
	return option, trouble / total
}

// Expected returns an option's trouble to be expected.
func (c *Choice) Expected(option int) float64 {
	sum, total := 0.0, 0.0
	for k, w := range c.Weight {
		sum += w * c.Trouble[option][k]
		total += w
	}
	return sum / total
}

// after returns the best option once an outcome with these chances was seen, with its
// trouble and the outcome's chance, both times the weights' sum; nil: nothing was seen.
func (c *Choice) after(likely []float64) (option int, trouble, chance float64) {
	trouble = math.Inf(1)
	for i := range c.Trouble {
		if x := c.troubleAfter(i, likely); x < trouble {
			option, trouble = i, x
		}
	}
	for k, w := range c.Weight {
		if likely != nil {
			w *= likely[k]
		}
		chance += w
	}
	return option, trouble, chance
}

func (c *Choice) troubleAfter(option int, likely []float64) (sum float64) {
	for k, w := range c.Weight {
		if likely != nil {
			w *= likely[k]
		}
		sum += w * c.Trouble[option][k]
	}
	return sum
}

// Worth returns what a test is worth: the expected value of sample information (Raiffa and
// Schlaifer 1961, Applied Statistical Decision Theory, from memory), over the sets alone.
// The error wraps ErrChoice.
func (c *Choice) Worth(e Experiment) (w Worth, err error) {
	for o, row := range e {
		if len(row) != len(c.Weight) {
			return w, fmt.Errorf("%w: outcome %d has %d sets of %d", ErrChoice, o, len(row), len(c.Weight))
		}
	}
	for k := range c.Weight {
		sum := 0.0
		for _, row := range e {
			if !(row[k] >= 0) {
				return w, fmt.Errorf("%w: chance %g of an outcome", ErrChoice, row[k])
			}
			sum += row[k]
		}
		if !(math.Abs(sum-1) < 1e-6) {
			return w, fmt.Errorf("%w: outcomes of set %d sum to %g", ErrChoice, k, sum)
		}
	}
	now, before, total := c.after(nil)
	left := 0.0
	for _, row := range e {
		then, least, chance := c.after(row)
		left += least
		if then != now && !asGood(c.troubleAfter(now, row), least) {
			w.Turns += chance / total
		}
	}
	w.Avoided = max(0, before-left) / total
	return w, nil
}

// Perfect returns what it would be worth to know which set is true: no test is worth more.
func (c *Choice) Perfect() float64 {
	_, before, total := c.after(nil)
	left := 0.0
	for k, w := range c.Weight {
		least := math.Inf(1)
		for i := range c.Trouble {
			least = min(least, c.Trouble[i][k])
		}
		left += w * least
	}
	return max(0, before-left) / total
}
