package say

import (
	"fmt"
	"strings"
)

// Limit is where one number of a bike ends on one side.
type Limit struct {
	Name        string // the number, as Reading has it
	Today       string // its value and unit
	More        bool   // upwards, else downwards
	Open        bool
	At, Looked  string    // value with unit
	Fault, Gear string    // what is met beyond, as in a list
	Chance      float64   // the level
	Cannot      string    // why the bike cannot be beyond; else ""
	Between     [2]string // where the fault is at a tenth and at 0.65; "" where it is not on that side
}

// Words says it.
func (l *Limit) Words() string {
	way, until := "down", "at least"
	if l.More {
		way, until = "up", "at most"
	}
	if l.Open {
		return fmt.Sprintf("Going %s, no fault ends it by %s.", way, l.Looked)
	}
	text := fmt.Sprintf("Going %s, it may be %s %s.", way, until, l.At)
	if l.Cannot != "" {
		return text + " Beyond that the bike cannot be: " + l.Cannot + "."
	}
	text += fmt.Sprintf(" Beyond that: %s in %s, on more than %s of bikes like this", l.Fault, l.Gear, Percent(l.Chance))
	switch {
	case l.Between[0] != "" && l.Between[1] != "":
		text += fmt.Sprintf(" (10 %% at %s, 65 %% at %s)", l.Between[0], l.Between[1])
	case l.Between[0] != "":
		text += fmt.Sprintf(" (10 %% at %s)", l.Between[0])
	case l.Between[1] != "":
		text += fmt.Sprintf(" (65 %% at %s)", l.Between[1])
	}
	return text + "."
}

// LimitOf begins what is said of a number: what it is, and its value.
func LimitOf(name, today string) string {
	if strings.Contains(name, " ") { // words, and no field alone
		name = Capital(name)
	}
	return name + ": today " + today + "."
}

// AsLikely tells of the faults that are as likely as the level today, which end nothing.
func AsLikely(list string, chance float64) string {
	return fmt.Sprintf("Above %s today, so that they end nothing: %s.", Percent(chance), list)
}

// RoomOf says what is not looked at where a number goes up or down, by its field; "" where that is all said.
func RoomOf(path string) string {
	switch group, _, _ := strings.Cut(path, "."); group {
	case "tyre":
		return "Only the chain is looked at: frame and fork need their own room, and what catches a tyre can lock the wheel."
	case "front", "rear", "frame", "spokes", "brake_rotor":
		return "Rooms that the bike file does not give are not looked at."
	}
	return ""
}
