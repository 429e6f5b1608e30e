package say

import (
	"fmt"
	"math"
	"strings"

	"chainpath/sim/indexing"
)

// OneSetting is what one setting of the cable does on all the cogs, by bikes like this.
type OneSetting struct {
	Width   [3]float64 // room of the setting: 5, 50 and 95 % points, mm at the pulley
	Click   float64    // of the adjuster, mm at the pulley; 0: it has none
	Exists  float64    // chance that there is such a setting
	Inboard string     // shift that is late first, turned too far out: 17 to 15
	Outer   string     // turned too far in
	Worst   [2]int     // teeth of the shift that is late most likely
	Late    float64    // and its chance
}

// Words says whether one setting makes every shift, what is late first either way, and the worst
// shift.
func (s *OneSetting) Words() string {
	var out []string
	switch LevelOf(s.Exists) {
	case Quiet, Unlikely:
		out = append(out, "No setting of the cable makes every shift.")
	case Either:
		out = append(out, fmt.Sprintf("Whether one setting makes every shift could go either way (%s).", Percent(s.Exists)))
	default:
		out = append(out, fmt.Sprintf("One setting makes every shift, with %s from end to end.", s.room()))
	}
	out = append(out, fmt.Sprintf("Turned too far in, %s is late first; too far out, %s.", s.Outer, s.Inboard))
	if LevelOf(s.Late) > Quiet {
		return strings.Join(append(out, fmt.Sprintf("Worst shift: %d to %d is late on %s.", s.Worst[0], s.Worst[1], OfBikes(s.Late))), " ")
	}
	return strings.Join(append(out, "No shift is expected to be late."), " ")
}

func (s *OneSetting) room() string {
	text := fmt.Sprintf("%.1f mm", Zeroed(s.Width[1]))
	if s.Click > 0 {
		text += fmt.Sprintf(" or %.1f clicks", Zeroed(s.Width[1]/s.Click))
	}
	return text
}

// Headline says it above the figure; clicks to turn the adjuster, out above 0, 0 where there is
// nothing to turn.
func (s *OneSetting) Headline(clicks float64) string {
	text := fmt.Sprintf("one setting for every shift: %.1f mm from end to end, %.1f to %.1f mm on 90 of 100 bikes", Zeroed(s.Width[1]), Zeroed(s.Width[0]), Zeroed(s.Width[2]))
	if s.Width[1] < 0 {
		text = "no one setting makes every shift on most bikes like this"
	}
	if math.Round(clicks) != 0 {
		text += "; " + (&ShiftFix{Fault: indexing.Setting, Size: clicks, Click: 1}).Words()
	}
	return text
}

// Zeroed takes the sign off what prints as nothing to one decimal.
func Zeroed(x float64) float64 {
	if math.Abs(x) < 0.05 {
		return 0
	}
	return x
}

// ShiftNotes are what an answer about shifts rests on.
type ShiftNotes struct {
	Set       bool     // the file says how the cable is set
	Off       float64  // how far outboard of its best, mm
	Counted   *float64 // clicks of the adjuster's range; nil: not counted
	Adjuster  bool     // there is one, with clicks
	Unmatched bool     // the file does not say what a step pulls
	Gates     bool     // the cogs have shift ramps
}

// Words are the notes, each a paragraph.
func (n *ShiftNotes) Words() []string {
	var out []string
	add := func(s string) { out = append(out, s) }
	if n.Set {
		side := "outboard"
		if n.Off < 0 {
			side = "inboard"
		}
		add(fmt.Sprintf("The cable is set %.1f mm %s of its best, as the file has it.", math.Abs(n.Off), side))
	} else {
		add("The bike file does not say how the cable is set (tensioner.index_error). Room and chances are those with the cable at its best.")
	}
	switch {
	case n.Counted != nil:
		add(fmt.Sprintf("The adjuster's counted range of %g clicks is in it.", *n.Counted))
	case n.Adjuster:
		add("How much room a sound bike has is known within a factor of three, until you count the adjuster's range.")
	}
	if n.Unmatched && n.Adjuster {
		add("Shifter and derailleur are taken to match (tensioner.cable_per_shift, tensioner.ratio).")
	}
	if !n.Gates {
		add("The cogs have plain teeth, by the file or because they are few: shifts wait longer then, which is not modelled.")
	}
	add("Chances count bikes like this, not shifts. Not modelled: how shift ramps time a shift, wear of cogs, the front derailleur's shift, what the chainline adds.")
	return out
}

// LateShifts names the shifts that are late on some bikes, each with its chance in brackets.
func LateShifts(list []string) string {
	return "Late on some bikes like this: " + strings.Join(list, ", ") + "."
}
