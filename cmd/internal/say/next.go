package say

import (
	"fmt"
	"strings"
)

// Choice is what to do as things are known now; fault scores.
type Choice struct {
	Do     string  // in the imperative, without a point
	Leave  bool    // it is to leave the bike as it is
	Score  float64 // with the work
	Effort float64 // what the work counts as
	Before float64 // left alone
}

// StayAt is to leave the chainring at its front chainline, mm.
func StayAt(line float64) string {
	return fmt.Sprintf("Leave the chainring where it is, at %.1f mm", line)
}

// MoveTo is to move it.
func MoveTo(line float64) string { return fmt.Sprintf("Move the chainring to %.1f mm", line) }

// Make is to make a change; "": none.
func Make(change string) string {
	if change == "" {
		return "Leave it as it is"
	}
	return "Make this change: " + change
}

// Words says what to do, and what that does to the fault score.
func (c *Choice) Words() string {
	if c.Leave {
		return fmt.Sprintf("%s. The fault score is %.2f.", c.Do, c.Before)
	}
	return fmt.Sprintf("%s. The fault score is then %.2f, with the work counted as %.2g. Left alone it is %.2f.", c.Do, c.Score, c.Effort, c.Before)
}

// Enough says that no test is worth while, which does not make the bike a good one.
const Enough = "No test is likely to change what you should do. That does not say that the bike is fine."

// Test is something to check before a choice: in the imperative, with its minutes and the chance
// that it changes the choice.
type Test struct {
	Text           string
	Minutes, Turns float64
}

// First says to do it first.
func (t *Test) First() string {
	return fmt.Sprintf("First %s. The chance that this changes what you should do is %s.", t.Text, Percent(t.Turns))
}

// Line says it in a list.
func (t *Test) Line() string {
	minutes := fmt.Sprintf("%g minutes", t.Minutes)
	if t.Minutes == 1 {
		minutes = "1 minute"
	}
	return fmt.Sprintf("%s (%s): the chance that this changes what you should do is %s.", Capital(t.Text), minutes, Percent(t.Turns))
}

// NotTested is said under what to check.
const NotTested = "Not modelled: a bent hanger, for one. Look at it yourself. " + NoRideTest

// CheckCauses says what to look at before anything is changed: what of the likeliest causes of all that was
// told can be checked; "" where nothing can.
func CheckCauses(list []ToLook) string {
	var said []string
	for i := range list {
		if t := &list[i]; t.Check() != "" && t.Share >= lookLeast && len(said) < lookMost {
			said = append(said, fmt.Sprintf("%s (%s)", t.Check(), t.Words()))
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "What you told can have another cause. Before you change anything, " + strings.Join(said, "; ") + "."
}

// NoRideTest is said wherever it could be thought of to try for a dropped chain.
const NoRideTest = "Do not test whether the chain drops when riding: it can throw you."
