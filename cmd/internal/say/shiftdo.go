package say

import (
	"fmt"
	"math"
	"strings"

	"chainpath/sim/indexing"
)

// ShiftFix is what to do about one fault of shifting.
type ShiftFix struct {
	Fault   indexing.Fault
	Size    float64   // signed, in indexing.Plant's unit
	Guessed bool      // inferred from what was seen, not told by the file
	Either  bool      // what was seen does not tell which way
	Cogs    [2]string // the two around a spacer; else the first is the cog that sits aside
	Click   float64   // of the adjuster at the pulley, mm; 0: it has none
	Pitch   float64   // cog to cog that the shifter is made for, mm
	Rim     float64   // diameter at which a hanger is gauged, mm
}

// Words says it, as an order in small letters or as what is out.
func (f *ShiftFix) Words() string {
	about := ""
	if f.Guessed {
		about = "about "
	}
	size := math.Abs(f.Size)
	switch f.Fault {
	case indexing.Setting:
		return f.turn(about)
	case indexing.Friction:
		return "clean the cable and its housing, or replace them"
	case indexing.BentHanger:
		if f.Guessed {
			return fmt.Sprintf("the hanger is out, by about %.0f mm at the rim %s: straighten it first", f.Rim*size, f.pick("outboard", "inboard"))
		}
		return "the hanger is out: straighten it first"
	case indexing.WrongSpacer:
		return fmt.Sprintf("a spacer between %s and %s is about %.1f mm too %s", f.Cogs[0], f.Cogs[1], math.Max(0.1, size), f.pick("thick", "thin"))
	case indexing.BentCog:
		return fmt.Sprintf("the %s sits about %.1f mm too far %s: it is bent, or its spacers are wrong", f.Cogs[0], size, f.pick("outboard", "inboard"))
	case indexing.WrongPull:
		return fmt.Sprintf("pull and derailleur do not match: %s%.0f %% too %s a step", about, math.Max(1, 100*size), f.pick("much", "little"))
	case indexing.PulleyPlay:
		return "replace the guide pulley: it is worn, or has too much float. Wiggle it and a new one: if both move alike, its float is at fault"
	case indexing.WrongCluster:
		return fmt.Sprintf("the cogs are %.2f mm apart, the shifter is made for %.2f: fit a cassette that matches", f.Pitch+f.Size, f.Pitch)
	case indexing.ChainLine:
		return "the top run pulls the chain aside: measure the front chainline"
	}
	return "leave it as the file has it"
}

// pick is one word for an error outwards and more, another for one inwards and less, both where it
// may be either.
func (f *ShiftFix) pick(more, less string) string {
	switch {
	case f.Either:
		return more + " or " + less
	case f.Size > 0:
		return more
	}
	return less
}

// turn says how to turn the adjuster, or to trim what has none.
func (f *ShiftFix) turn(about string) string {
	if f.Click <= 0 {
		return fmt.Sprintf("trim the derailleur %.1f mm %s", math.Abs(f.Size), f.pick("inboard", "outboard"))
	}
	n := math.Max(1, math.Round(math.Abs(f.Size)/f.Click))
	if n == 1 {
		return fmt.Sprintf("turn the adjuster %s 1 click", f.pick("out", "in"))
	}
	return fmt.Sprintf("turn the adjuster %s %s%.0f clicks", f.pick("out", "in"), about, n)
}

// checkWords are the checks that tell faults of shifting apart, as orders.
var checkWords = [indexing.NumChecks]string{
	indexing.GaugeHanger:   "gauge the hanger",
	indexing.MeasureCable:  "measure the cable that one step pulls",
	indexing.MeasureStack:  "measure over all the cogs with calipers",
	indexing.MeasureGaps:   "measure from cog to cog with calipers",
	indexing.WatchCog:      "turn the wheel and watch the cog from behind: a bent one wobbles",
	indexing.PushPulley:    "push the guide pulley aside by hand",
	indexing.ChangeCable:   "change the inner cable and its housing",
	indexing.TurnTwoClicks: "turn the adjuster two clicks: it cures a wrong setting alone",
}

// ShiftCheck says a check; "" for none.
func ShiftCheck(c indexing.Check) string { return checkWords[c] }

// ShiftAdvice is something to do about shifting.
type ShiftAdvice struct {
	Do     string
	Seen   bool    // from what was seen; else from what the file tells
	Chance float64 // seen: that this is the fault; else that it is felt
}

// mostAdvice is how many advices a text gives.
const mostAdvice = 2

// DoShifts says what to do about shifting, and the one check that tells the first two apart; "" for
// none. Nothing to do depends on whether the file says how the cable is set.
func DoShifts(list []ShiftAdvice, check string, set bool) string {
	if len(list) == 0 {
		if set {
			return "Leave the cable as it is set."
		}
		return "Set the cable at its best and leave the rest alone."
	}
	var out []string
	for i, x := range list[:min(len(list), mostAdvice)] {
		switch {
		case !x.Seen:
			out = append(out, Capital(x.Do)+". "+Felt(x.Chance))
		case i == 0:
			out = append(out, fmt.Sprintf("Most likely (%s): %s.", Percent(x.Chance), x.Do))
		default:
			out = append(out, fmt.Sprintf("Or (%s): %s.", Percent(x.Chance), x.Do))
		}
	}
	if check != "" {
		out = append(out, fmt.Sprintf("To tell them apart, %s.", check))
	}
	return strings.Join(out, " ")
}

// Of symptoms of shifting.
const (
	TellShifts = "Shifting: tell what is slow or skips as well (slow_to_larger, slow_to_smaller, skips_in_one, skips_in_some, noisy_in_one)."
	NoShifting = "Shifting: nothing stands out. Count the adjuster's range (chainpath measure adjuster), and try each shift ten times (--seen)."
	ShiftFaith = "Simulated bikes with each of these faults show your symptoms this often. How common each fault is, is assumed."
)

// ShiftsTogether says what to do about all the symptoms of shifting together.
func ShiftsTogether(list []ShiftAdvice, check string) string {
	if len(list) == 0 {
		return NoShifting
	}
	return "Shifting, all of it together: " + DoShifts(list, check, false)
}

// ShiftsTeach says what so many entries of shifts teach, which is not what learn shows, and what to
// do by them.
func ShiftsTeach(n int, do string) string {
	who := "One entry is of shifts. It changes"
	if n > 1 {
		who = fmt.Sprintf("%d entries are of shifts. They change", n)
	}
	return who + " no chance here, but what chainpath shifts and diagnose say. By shifts: " + do
}
