package say

import (
	"fmt"
	"math"
)

// Level is how a chance is spoken of.
type Level int

// The levels, by rising chance.
const (
	Quiet Level = iota // below Unlikely: nothing is said
	Unlikely
	Either   // could go either way
	Probable // will probably
)

// The chances from which each level is spoken of.
const (
	FromUnlikely = 0.10
	FromEither   = 0.35
	FromProbable = 0.65
)

// LevelOf returns the level of a chance; Quiet where there is no such thing, below 0.
func LevelOf(chance float64) Level {
	switch {
	case chance >= FromProbable:
		return Probable
	case chance >= FromEither:
		return Either
	case chance >= FromUnlikely:
		return Unlikely
	}
	return Quiet
}

// Word is the level's word where a sentence would be too long, "" for Quiet.
func (l Level) Word() string {
	return [...]string{Quiet: "", Unlikely: "unlikely", Either: "could go either way", Probable: "probable"}[l]
}

// Percent prints a chance as people read it, never as 0 or 100 %.
func Percent(chance float64) string { return percentOf(chance) + " %" }

func percentOf(chance float64) string {
	return fmt.Sprintf("%.0f", math.Max(1, math.Min(99, 100*chance)))
}

// OfBikes says a chance the first time, as what it counts; then it is said as a percentage.
func OfBikes(chance float64) string { return percentOf(chance) + " of 100 bikes like this" }

// Percents prints the chances of several gears: one, or the least and the greatest.
func Percents(least, most float64) string {
	if percentOf(least) == percentOf(most) {
		return Percent(most)
	}
	return percentOf(least) + " to " + Percent(most)
}

// Size says how far a fault is over its limit, or under it, with its range.
func Size(low, middle, high float64, unit string) string {
	side := "over"
	if middle < 0 {
		side = "under"
	}
	return fmt.Sprintf("%s%s %s the limit (%s to %s)", digits(math.Abs(middle)), unit, side, about(low), about(high))
}

func digits(x float64) string { return fmt.Sprintf("%.2g", x) }

func about(x float64) string {
	switch {
	case x < 0:
		return digits(-x) + " under"
	case x > 0:
		return digits(x) + " over"
	}
	return "at it"
}

// Unit is the sign of a size's unit behind a number.
func Unit(code string) string {
	return map[string]string{"deg": "°", "mm": " mm", "n": " N"}[code]
}
