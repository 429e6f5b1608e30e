package say

import (
	"fmt"
	"strings"

	"chainpath/sim"
)

// LeaveIt says that nothing is to be changed.
const LeaveIt = "Leave it as it is."

// NothingNamed says why, where no fault is worth a word; own: the case tells which gears are used.
func NothingNamed(own bool) string {
	if own {
		return "No fault is likely enough in the gears you use to be worth a change."
	}
	return "No fault is likely enough in the gears that are usually ridden to be worth a change."
}

// NothingCures says why, where a fault is likely and no change cures it.
const NothingCures = "No single usual change halves it."

// NothingPays says why, where what cures a fault is not worth its price.
func NothingPays(name string, c *Costs) string {
	return fmt.Sprintf("What cures it costs more than it is worth (--worth): %s (%s).", name, c.Words())
}

// NotCured tells of a fault that a change eases and does not cure.
func NotCured(k sim.Concern) string {
	words := sim.Hazards[k].Cure
	if words == "" {
		words = k.Words()
	}
	return fmt.Sprintf("That does not cure %s.", words)
}

// LeaveForThat says it where the chainline is not behind what was seen.
const LeaveForThat = "Do not move the chainring or buy parts for it."

// Costs is what a change asks for.
type Costs struct {
	Price, Minutes float64
	Final          bool // it cannot be undone
}

// Words is it in a sentence: price 55, 30 minutes.
func (c *Costs) Words() string {
	if c.Price == 0 {
		return fmt.Sprintf("free, %s", minutesOf(c.Minutes))
	}
	return fmt.Sprintf("price %s, %s", money(c.Price), minutesOf(c.Minutes))
}

func money(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.2f", x), ".00") }

func minutesOf(m float64) string {
	if m == 1 {
		return "1 minute"
	}
	return fmt.Sprintf("%g minutes", m)
}

// Undo says whether it can be undone.
func (c *Costs) Undo() string {
	if c.Final {
		return "You cannot undo it."
	}
	return "You can undo it."
}

// DoChange says which change to make.
func DoChange(name string, c *Costs) string {
	return fmt.Sprintf("Make this change: %s (%s). %s", name, c.Words(), c.Undo())
}

// Eases says what a change does to a fault: its greatest chance before and after.
func Eases(k sim.Concern, before, after float64) string {
	verb := "falls"
	if after > before {
		verb = "rises"
	}
	words := sim.Hazards[k].Cure
	if words == "" {
		words = "\"" + k.Words() + "\""
	}
	return fmt.Sprintf("The chance of %s %s from %s to %s at most.", words, verb, Percent(before), Percent(after))
}

// PutRight says what reads wrong and has to be put right first; the change's name is last.
func PutRight(words, change string, c *Costs) string {
	s := "First put right what reads wrong: " + words + "."
	if change == "" {
		return s
	}
	return s + fmt.Sprintf(" That is: %s (%s). Then look again.", change, c.Words())
}

// wrongs name what reads wrong, by its field, with its value and unit.
var wrongs = map[string]string{
	"tensioner.hanger":      "the derailleur hanger is %s off",
	"tensioner.index_error": "the cable holds the pulley %s off its best",
	"tensioner.set_at":      "the cable was set for a wheel whose cassette sits %s off this one",
	"rear.cog_lines":        "a gap between two cogs is %s off the others",
	"rear.spacers":          "a gap between two cogs is %s off the others",
	"chain.slack":           "the chain is worn: its joints turn %s sideways",
	"load.freehub_drag":     "the freehub drags with %s",
	"chain.links":           "the chain is %s too short for the largest chainring and cog",
}

// Wrong says what reads wrong.
func Wrong(field string, value float64, unit string) string {
	v := fmt.Sprintf("%.2g", max(value, -value))
	if unit == "°" {
		v += unit
	} else {
		v += " " + unit
	}
	form, ok := wrongs[field]
	if !ok {
		form = field + " is %s"
	}
	return fmt.Sprintf(form, v)
}

// AvoidGears says not to use gears; instead names the gear of another chainring that does the work
// of the first.
func AvoidGears(b *Bike, gears []Gear, instead Gear) string {
	if len(gears) > 1 {
		return fmt.Sprintf("Do not use %s: another chainring has nearly the same ratios. That is free.", b.The(gears))
	}
	return fmt.Sprintf("Do not use %s: %s has nearly the ratio of %s. That is free.", b.The(gears), b.Name(instead), b.Name(gears[0]))
}

// NotBackwards says not to back-pedal in gears.
func NotBackwards(b *Bike, gears []Gear) string {
	if len(gears) == len(b.Rings)*len(b.Cogs) {
		return "Do not back-pedal: that is free."
	}
	return Capital(b.in("do not back-pedal on %s: that is free", gears)) + "."
}

// LookWhether says to look first whether a fault is there.
func LookWhether(b *Bike, k sim.Concern, gears []Gear, chance float64) string {
	return fmt.Sprintf("Look first whether this happens on %s: %s. It takes a minute. The model expects it (%s). If you see it, write it under symptoms and ask again; if not, leave it as it is.", b.The(gears), k.Words(), Percent(chance))
}

// MeasureLineFirst says that a change turns on a line.
func MeasureLineFirst(field, change string, same float64) string {
	end := "front"
	if strings.HasPrefix(field, "rear") {
		end = "rear"
	}
	return fmt.Sprintf("First measure the %s chainline: chainpath measure %s --help. As it was read this change would help: %s. With lines off by their doubt and other weights that holds in %s of redraws only.", end, end, change, Percent(same))
}

// Holds says in how many redraws the verdict is the same.
func Holds(same float64) string {
	return fmt.Sprintf("With the chainlines off by their doubt, and faults weighed otherwise, %s of draws say the same.", Percent(same))
}

// betweens name the distance that a room is.
var betweens = map[string]string{"chainstay": "from the largest chainring to the chainstay", "dropout": "from the smallest cog to the dropout", "wheel": "from the largest cog to spokes or rotor", "tyre": "from the chain to the tyre in the lowest gear"}

// MeasureRoom says to measure a room before a change, and what it has to be at least, mm; 0: not
// worked out.
func MeasureRoom(room string, least float64) string {
	if least == 0 {
		return fmt.Sprintf("Before that measure %s: nobody did.", betweens[room])
	}
	return fmt.Sprintf("Before that measure %s: it has to be at least %.1f mm today.", betweens[room], least)
}

// RoomLeft says what is left of a room after a change, mm, and the chance that parts touch.
func RoomLeft(room string, left, chance float64) string {
	return fmt.Sprintf("%.1f mm are left %s (chance of touching %s).", left, betweens[room], Percent(chance))
}

// AlsoWrong says what reads wrong beside the advice.
func AlsoWrong(words string) string { return "Put right too, when you can: " + words + "." }

// AdvicePrices says what the prices are.
const AdvicePrices = "Prices and minutes are usual ones, from memory: set your own with --prices."
