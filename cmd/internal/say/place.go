package say

import (
	"fmt"
	"math"
)

// Wall is where the chainring's travel ends: what would come too close there, by its code, and the
// front chainline, mm; infinite where there is none.
type Wall struct {
	By string
	At float64
}

// Name is what is in the way.
func (w Wall) Name() string { return wallName(w.By) }

func wallName(by string) string {
	if by == "stay" {
		return "chainstay"
	}
	return by
}

// ClearOf says that a part is kept clear of, by its code.
func ClearOf(part string) string { return "clear of the " + wallName(part) }

// TooClose says what comes too close to a wall, by its code: the room that is asked for there is not left.
func TooClose(by string) string {
	if by == "tyre" {
		return "the chain would be too close to the tyre"
	}
	return "the chainring would be too close to the " + wallName(by)
}

// Place is an advice where the chainring should sit; front chainlines in mm.
type Place struct {
	Today, Score float64 // where it is, and the fault score there
	Best, Least  float64 // where the fault score is lowest between the walls
	From, To     float64 // where it is as low within what the model can resolve
	Low, High    Wall
	Nowhere      bool // the walls leave no place
}

// NotWorth marks the lowest fault score in a table where another place is no better within what the
// model can resolve.
const NotWorth = "not worth it"

// ClearsIt marks the place that keeps the room that today's lacks, though the fault score is higher there.
const ClearsIt = "has the room"

// Advice says where the chainring should sit, and what that does to the fault score.
func (p *Place) Advice() string {
	switch {
	case p.Nowhere:
		return fmt.Sprintf("The chainring has no place: below %.1f mm %s, above %.1f mm %s.", p.Low.At, TooClose(p.Low.By), p.High.At, TooClose(p.High.By))
	case p.Today >= p.From && p.Today <= p.To:
		return fmt.Sprintf("Leave the chainring where it is. No other position helps by more than the model can resolve (fault score %.2f).", p.Score)
	}
	side, near, far := "inboard", p.Today-p.To, p.Today-p.From
	if p.Best > p.Today {
		side, near, far = "outboard", p.From-p.Today, p.To-p.Today
	}
	if p.Least >= p.Score { // today's place is beyond a wall
		wall := p.beyond()
		what := "chainring"
		if wall.By == "tyre" {
			what = "chain"
		}
		return fmt.Sprintf("The %s is too close to the %s. It clears the %s only from %.1f mm %s, but there the fault score rises from %.2f to %.2f. Look at the %s first.",
			what, wall.Name(), wall.Name(), wall.At, side, p.Score, p.Least, wall.Name())
	}
	move, to := fmt.Sprintf("%.1f to %.1f mm %s", near, far, side), fmt.Sprintf("%.1f to %.1f mm", p.From, p.To)
	if p.From == p.To {
		move, to = fmt.Sprintf("%.1f mm %s", far, side), fmt.Sprintf("%.1f mm", p.From)
	}
	return fmt.Sprintf("With the chainring %s, at %s, the fault score is lowest: %.2f instead of %.2f. Whether that is worth a change: chainpath fix.", move, to, p.Least, p.Score)
}

// beyond is the wall that today's place is beyond, the lower one where it is beyond none.
func (p *Place) beyond() Wall {
	if p.Today > p.High.At {
		return p.High
	}
	return p.Low
}

// Walls says where the chainring's travel ends; "" where the advice has said so.
func (p *Place) Walls() string {
	low, high := !math.IsInf(p.Low.At, 0), !math.IsInf(p.High.At, 0)
	if p.Nowhere {
		return ""
	}
	if !low && !high {
		return "No limit is known: give chainstay and tyre in the bike file."
	}
	if p.Least >= p.Score { // the wall that today's place is beyond is told of
		low, high = low && p.Today >= p.Low.At, high && p.Today <= p.High.At
	}
	switch {
	case low && high:
		return fmt.Sprintf("Below %.1f mm %s, above %.1f mm %s.", p.Low.At, TooClose(p.Low.By), p.High.At, TooClose(p.High.By))
	case low:
		return fmt.Sprintf("Below %.1f mm %s.", p.Low.At, TooClose(p.Low.By))
	case high:
		return fmt.Sprintf("Above %.1f mm %s.", p.High.At, TooClose(p.High.By))
	}
	return ""
}

// Words are both.
func (p *Place) Words() string { return Together(p.Advice(), p.Walls()) }

// Known says within how many mm the front chainline is known, 95 %.
func Known(within float64) string {
	return fmt.Sprintf("The front chainline is known to ±%.1f mm.", within)
}

// Try is what moving the chainring does to one fault in the gears where it was seen.
type Try struct {
	Against       string  // the fault, as what is to be cured
	By            float64 // mm, outboard positive
	Before, After float64 // its chance there
	Cured         bool    // no fault is expected there then
	Several       bool    // the chances are means of several gears
	Wall          string  // what keeps the chainring from going further, by its code; ""
}

// LeastChange is by how much a chance changes at least to be told of.
const LeastChange = 0.05

// Here says it below what it is against.
func (t *Try) Here() string {
	x := *t
	if t.Before >= FromUnlikely && !t.Cured {
		x.Against = "it"
	}
	return x.Words()
}

// Words says what moving the chainring does, and that it can be undone.
func (t *Try) Words() string {
	move := fmt.Sprintf("%.1f mm outboard", t.By)
	if t.By < 0 {
		move = fmt.Sprintf("%.1f mm inboard", -t.By)
	}
	where := ""
	if t.Wall != "" {
		where = ", as far as the " + wallName(t.Wall) + " allows,"
	}
	switch {
	case t.Before < FromUnlikely:
		return fmt.Sprintf("%s has a chance of %s there today: the chainring's position is hardly behind it.", Capital(t.Against), Percent(t.Before))
	case t.Cured:
		return fmt.Sprintf("The chainring %s%s takes the chance of %s from %s to %s. You can undo that, but it may make other gears worse: chainpath chainline.", move, where, t.Against, Percent(t.Before), Percent(t.After))
	case t.Before-t.After < LeastChange:
		return fmt.Sprintf("No chainring position within reach helps against %s. Look at the rear, the chainstay and the parts.", t.Against)
	}
	how := "does not cure"
	if t.After <= t.Before/2 {
		how = "helps, but does not cure"
	}
	mean := ""
	if t.Several {
		mean = "mean "
	}
	return fmt.Sprintf("Moving the chainring %s %s: %s%s the %schance is %s (%s today).", how, t.Against, move, where, mean, Percent(t.After), Percent(t.Before))
}

// RiddenAs says whose riding profile bikes without one are weighed by.
func RiddenAs(title string) string {
	return "Bikes without a riding profile are weighed by that of " + title + "."
}
