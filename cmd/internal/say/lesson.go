package say

import "fmt"

// NotKept says that what was learned is lost with the answer.
const NotKept = "Nothing is kept yet. With --write FILE every command uses it."

// Odd says of an observation that it stays unlikely by all that was seen; chance is what it has then.
func Odd(text string, chance float64) string {
	return fmt.Sprintf("Your %q stays unlikely by all you told (%s). Look again, or for a cause that is not modelled.", text, Percent(chance))
}

// Misread says of a line, front or rear, that it was probably misread.
func Misread(end string, chance float64) string {
	return fmt.Sprintf("Measure the %s chainline again: it was probably misread (%s).", end, Percent(chance))
}

// Counted is what was counted of a gear, and what to expect of its next ten tries.
type Counted struct {
	What        string // drop off the 51 when you back-pedal
	Off, Of     int
	Least, Most int     // of the next ten
	InTen       float64 // chance that it happens more often than once in ten
}

// Words says both.
func (c *Counted) Words() string {
	next := fmt.Sprintf("%d to %d", c.Least, c.Most)
	if c.Least == c.Most {
		next = fmt.Sprint(c.Least)
	}
	if c.Most == 0 {
		next = "none"
	}
	s := fmt.Sprintf("You counted %d of %d on %s: expect %s of the next ten.", c.Off, c.Of, c.What, next)
	if c.Off == 0 && c.InTen >= FromUnlikely {
		s += fmt.Sprintf(" %s do not exclude one in ten.", cleanTries(c.Of))
	}
	return s
}

func cleanTries(n int) string {
	if n == 10 {
		return "Ten clean tries"
	}
	return fmt.Sprintf("%d clean tries", n)
}
