package say

import (
	"fmt"
	"math"
	"strings"

	"chainpath/sim"
)

// Moved is a fault of one gear whose chance a change moves.
type Moved struct {
	Of            sim.Concern
	Gear          string // as it is typed, 32/51
	Before, After float64
}

// Words is the fault, its gear and the chance, with what it was.
func (m *Moved) Words() string {
	return fmt.Sprintf("%s in %s %s (was %s)", m.Of.Words(), m.Gear, Percent(m.After), Percent(m.Before))
}

// Changed reports whether it moved by LeastChange or more.
func (m *Moved) Changed() bool { return math.Abs(m.After-m.Before) >= LeastChange }

// worst is the first of a list with how many more there are; "" where there is none.
func worst(list []Moved) string {
	switch n := len(list); n {
	case 0:
		return ""
	case 1:
		return list[0].Words()
	default:
		return fmt.Sprintf("%s, %d more", list[0].Words(), n-1)
	}
}

// mostGears is how many gears a fault's moves name.
const mostGears = 4

// MovedFaults says which faults move in which gears: noise in 32/44 and 32/51; chain drop ...
func MovedFaults(list []Moved) string {
	var order []sim.Concern
	gears := map[sim.Concern][]string{}
	for _, m := range list {
		if gears[m.Of] == nil {
			order = append(order, m.Of)
		}
		gears[m.Of] = append(gears[m.Of], m.Gear)
	}
	var out []string
	for _, k := range order {
		names := gears[k]
		if more := len(names) - mostGears; more > 0 {
			names = append(names[:mostGears:mostGears], fmt.Sprintf("%d more", more))
		}
		out = append(out, k.Words()+" in "+And(names))
	}
	return strings.Join(out, ", ")
}

// Unmoved is said where no chance moves by LeastChange.
var Unmoved = fmt.Sprintf("No chance of any gear changed by %.0f %% or more.", 100*LeastChange)

// Change is an advice to change parts: what it costs, what it does, and what it makes worse.
type Change struct {
	Name          string   // of the changes; "" where nothing changes
	Price         *float64 // nil: not known
	Usual         bool     // it is what such a change usually costs
	Before, After float64  // fault score
	Helps         *float64 // share of bikes like this on which it helps; nil: nothing changes
	Less, More    []Moved  // chances that fall and rise, those that move most first
	Shifts        *LateShift
}

// AsItIs is the name of no change.
const AsItIs = "as it is"

// Named is the change's name.
func (c *Change) Named() string {
	if c.Name == "" {
		return AsItIs
	}
	return c.Name
}

// priced is its name and, where one is known, its price.
func (c *Change) priced() string {
	switch {
	case c.Price == nil:
		return c.Named()
	case *c.Price == 0:
		return c.Named() + ", for nothing"
	}
	return fmt.Sprintf("%s, for %.2f", c.Named(), *c.Price)
}

// OfHundred is on how many of 100 bikes like this it helps, "-" where nothing changes. Not all
// and not none: versions that all agree do not make sure.
func (c *Change) OfHundred() string {
	if c.Helps == nil {
		return "-"
	}
	return fmt.Sprintf("%.0f", math.Max(1, math.Min(99, 100**c.Helps)))
}

// Effect says what it does to the fault score, on how many bikes, and what gets likelier.
func (c *Change) Effect() string {
	verb := "falls"
	if c.After > c.Before {
		verb = "rises"
	}
	s := fmt.Sprintf("The fault score %s from %.2f to %.2f.", verb, c.Before, c.After)
	if c.Helps != nil {
		s += fmt.Sprintf(" It helps on %s of 100 bikes like this.", c.OfHundred())
	}
	if len(c.More) > 0 {
		s += " Side effect: " + worst(c.More) + "."
	}
	return Together(s, c.Shifts.Words())
}

// Best says that it is the best change.
func (c *Change) Best() string { return "Best: " + c.Option() }

// Option says what it costs and does, as one of several.
func (c *Change) Option() string { return c.priced() + ". " + c.Effect() }

// Instead offers it beside the best one, as free or with the fewest faults.
func (c *Change) Instead(as string) string {
	if c.Price != nil && *c.Price == 0 {
		return fmt.Sprintf("%s: %s (%.2f).", as, c.Named(), c.After)
	}
	return fmt.Sprintf("%s: %s (%.2f).", as, c.priced(), c.After)
}

// Side is what gets likelier in a table's cell: the fault by its column's head.
func (c *Change) Side() string {
	if len(c.More) == 0 {
		return "-"
	}
	m := c.More[0]
	s := fmt.Sprintf("%s %s %s (was %s)", Head(m.Of), m.Gear, Percent(m.After), Percent(m.Before))
	if more := len(c.More) - 1; more > 0 {
		s += fmt.Sprintf(", %d more", more)
	}
	return s
}

// Head is the head of a fault's column in one line.
func Head(k sim.Concern) string {
	h := sim.Hazards[k].Head
	return strings.ReplaceAll(strings.TrimSpace(h[0]+" "+h[1]), "- ", "")
}

// Costs says what it costs.
func (c *Change) Costs() string {
	switch {
	case c.Price == nil:
		return "Price not known."
	case *c.Price == 0:
		return "Costs nothing."
	}
	if c.Usual {
		return fmt.Sprintf("Usual price %s.", money(*c.Price))
	}
	return fmt.Sprintf("Price %.2f.", *c.Price)
}

// Lines are a card's: what it costs and does, which chances fall, which rise.
func (c *Change) Lines() []string {
	if c.Name == "" {
		return []string{fmt.Sprintf("Fault score %.2f.", c.After), "Leave it as it is."}
	}
	out := []string{c.Costs() + fmt.Sprintf(" Fault score from %.2f to %.2f. It helps on %s of 100 bikes like this.", c.Before, c.After, c.OfHundred())}
	if len(c.Less) > 0 {
		out = append(out, "Less likely: "+MovedFaults(c.Less)+".")
	}
	words, worse := c.Shifts.Words(), c.Shifts.Moves() > 0
	if words != "" && !worse {
		out = append(out, words)
	}
	if len(c.More) > 0 {
		out = append(out, "Likelier: "+MovedFaults(c.More)+".")
	}
	switch {
	case worse:
		out = append(out, words)
	case len(c.More) == 0:
		out = append(out, "Nothing gets likelier.")
	}
	return out
}

// Worse is how many of the last lines say what gets likelier.
func (c *Change) Worse() (n int) {
	if len(c.More) > 0 {
		n++
	}
	if c.Shifts.Moves() > 0 {
		n++
	}
	return n
}

// Leave says that no change helps, with the fault score and what it is mostly made of.
func Leave(score float64, mostly sim.Concern) string {
	return fmt.Sprintf("Leave it: no change helps by more than the model can resolve (fault score %.2f, mostly %s).", score, mostly.Words())
}

// LeaveUnpaid says that no change of a list is worth its price.
const LeaveUnpaid = "Leave it: what helps costs more than it is worth."

// Unfit is a change of a list that does not fit the bike, and why.
type Unfit struct{ Name, Why string }

// LeftOut says which changes of a list do not fit the bike, at most so many of them by name; "" for
// none.
func LeftOut(list []Unfit, most int) string {
	var names []string
	for _, u := range list[:min(most, len(list))] {
		names = append(names, fmt.Sprintf("%s (%s)", u.Name, u.Why))
	}
	switch more := len(list) - most; {
	case len(list) == 0:
		return ""
	case more > 0:
		names = append(names, fmt.Sprintf("%d more (--all)", more))
	case len(list) == 1:
		return "Left out, since it does not fit this bike: " + names[0] + "."
	}
	return "Left out, since they do not fit this bike: " + And(names) + "."
}

// BestOf says which of several set-ups has the lowest fault score, against another one.
func BestOf(best string, score float64, other string, its float64) string {
	return fmt.Sprintf("Best: %s, fault score %.2f against %.2f for %s.", best, score, its, other)
}

// NoneBetter says that no other set-up is better than the first, by the first's fault score and the
// lowest of the others.
func NoneBetter(first, others float64) string {
	return fmt.Sprintf("No other set-up helps by more than the model can resolve: fault score %.2f for the first, at best %.2f for the others.", first, others)
}

// Since says what a bike does now that it did not before, by the fault scores and what moved.
func Since(before, now float64, less, more []Moved) string {
	out := []string{fmt.Sprintf("The fault score is %.2f, as before.", now)}
	if fmt.Sprintf("%.2f", before) != fmt.Sprintf("%.2f", now) {
		verb := "falls"
		if now > before {
			verb = "rises"
		}
		out[0] = fmt.Sprintf("The fault score %s from %.2f to %.2f.", verb, before, now)
	}
	if len(less) > 0 {
		out = append(out, "Less likely: "+MovedFaults(less)+".")
	}
	if len(more) > 0 {
		out = append(out, "Likelier: "+MovedFaults(more)+".")
	}
	if len(less)+len(more) == 0 {
		out = append(out, Unmoved)
	}
	return strings.Join(out, " ")
}

// Priced says what so much money does to the fault score.
func Priced(price, before, after float64) string {
	if price == 0 {
		return fmt.Sprintf("Free, the fault score falls from %.2f to %.2f.", before, after)
	}
	return fmt.Sprintf("For %.2f the fault score falls from %.2f to %.2f.", price, before, after)
}
