package say

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim/indexing"
)

// What to do about every fault of shifting, both ways, told by the file and guessed.
func TestEveryShiftFixIsSaid(t *testing.T) {
	cogs := [2]string{"18", "21"}
	for want, f := range map[string]ShiftFix{
		"leave it as the file has it":                                                     {Fault: indexing.AsTold},
		"turn the adjuster out 1 click":                                                   {Fault: indexing.Setting, Size: 0.05, Click: 0.26},
		"turn the adjuster in 3 clicks":                                                   {Fault: indexing.Setting, Size: -0.78, Click: 0.26},
		"turn the adjuster out about 2 clicks":                                            {Fault: indexing.Setting, Size: 0.5, Click: 0.26, Guessed: true},
		"turn the adjuster out or in about 2 clicks":                                      {Fault: indexing.Setting, Size: 0.5, Click: 0.26, Guessed: true, Either: true},
		"a spacer between 18 and 21 is about 0.3 mm too thick or thin":                    {Fault: indexing.WrongSpacer, Size: 0.3, Cogs: cogs, Guessed: true, Either: true},
		"trim the derailleur 0.3 mm inboard":                                              {Fault: indexing.Setting, Size: 0.3},
		"trim the derailleur 0.3 mm outboard":                                             {Fault: indexing.Setting, Size: -0.3, Guessed: true},
		"clean the cable and its housing, or replace them":                                {Fault: indexing.Friction, Size: 0.3},
		"the hanger is out: straighten it first":                                          {Fault: indexing.BentHanger, Size: 0.01, Rim: 622},
		"the hanger is out, by about 6 mm at the rim outboard: straighten it first":       {Fault: indexing.BentHanger, Size: 0.01, Rim: 622, Guessed: true},
		"the hanger is out, by about 6 mm at the rim inboard: straighten it first":        {Fault: indexing.BentHanger, Size: -0.01, Rim: 622, Guessed: true},
		"a spacer between 18 and 21 is about 0.3 mm too thick":                            {Fault: indexing.WrongSpacer, Size: 0.3, Cogs: cogs},
		"a spacer between 18 and 21 is about 0.1 mm too thin":                             {Fault: indexing.WrongSpacer, Size: -0.04, Cogs: cogs, Guessed: true},
		"the 18 sits about 0.4 mm too far outboard: it is bent, or its spacers are wrong": {Fault: indexing.BentCog, Size: 0.4, Cogs: cogs},
		"the 18 sits about 0.4 mm too far inboard: it is bent, or its spacers are wrong":  {Fault: indexing.BentCog, Size: -0.4, Cogs: cogs, Guessed: true},
		"pull and derailleur do not match: 7 % too much a step":                           {Fault: indexing.WrongPull, Size: 0.07},
		"pull and derailleur do not match: about 1 % too little a step":                   {Fault: indexing.WrongPull, Size: -0.003, Guessed: true},
		"replace the guide pulley: it is worn, or has too much float. Wiggle it and a new one: if both move alike, its float is at fault": {Fault: indexing.PulleyPlay, Size: 0.3},
		"the cogs are 3.95 mm apart, the shifter is made for 3.65: fit a cassette that matches":                                           {Fault: indexing.WrongCluster, Size: 0.3, Pitch: 3.65},
		"the top run pulls the chain aside: measure the front chainline":                                                                  {Fault: indexing.ChainLine, Size: 0.2},
	} {
		assert.Equal(t, want, f.Words())
	}
	said := map[string]bool{}
	for f := range indexing.Fault(indexing.NumFaults) {
		said[(&ShiftFix{Fault: f, Size: 0.1, Click: 0.2, Pitch: 4, Rim: 622}).Words()] = true
	}
	assert.Len(t, said, indexing.NumFaults, "each has its own advice")
	checks := map[string]bool{}
	for c := range indexing.Check(indexing.NumChecks) {
		assert.Equal(t, c == indexing.NoCheck, ShiftCheck(c) == "")
		checks[ShiftCheck(c)] = true
	}
	assert.Len(t, checks, indexing.NumChecks, "each is said its own way")
}

// What to do first: nothing, what the file tells, what was seen with the check that tells it apart,
// and both.
func TestShiftAdviceIsSaid(t *testing.T) {
	turn, clean := ShiftAdvice{"turn the adjuster out 2 clicks", true, 0.62}, ShiftAdvice{"clean the cable", true, 0.2}
	told := ShiftAdvice{"the hanger is out: straighten it first", false, 0.82}
	assert.Equal(t, "Leave the cable as it is set.", DoShifts(nil, "", true))
	assert.Equal(t, "Set the cable at its best and leave the rest alone.", DoShifts(nil, "", false))
	assert.Equal(t, "The hanger is out: straighten it first. Left alone it will probably be felt (82 of 100 bikes like this).", DoShifts([]ShiftAdvice{told}, "", true))
	assert.Equal(t, "Most likely (62 %): turn the adjuster out 2 clicks.", DoShifts([]ShiftAdvice{turn}, "", false))
	both := "Most likely (62 %): turn the adjuster out 2 clicks. Or (20 %): clean the cable. To tell them apart, turn it."
	assert.Equal(t, both, DoShifts([]ShiftAdvice{turn, clean, told}, "turn it", false), "no more than two")
	assert.Equal(t, "Most likely (62 %): turn the adjuster out 2 clicks. The hanger is out: straighten it first. Left alone it will probably be felt (82 of 100 bikes like this).", DoShifts([]ShiftAdvice{turn, told}, "", false))
	assert.Equal(t, "Shifting, all of it together: "+both, ShiftsTogether([]ShiftAdvice{turn, clean}, "turn it"))
	assert.Equal(t, NoShifting, ShiftsTogether(nil, ""))
	assert.Equal(t, "One entry is of shifts. It changes no chance here, but what chainpath shifts and diagnose say. By shifts: Turn it.", ShiftsTeach(1, "Turn it."))
	assert.Equal(t, "3 entries are of shifts. They change no chance here, but what chainpath shifts and diagnose say. By shifts: Turn it.", ShiftsTeach(3, "Turn it."))
}

// One setting of the cable in every state: there is one, there may be, there is none; a shift is
// late or none is; with clicks and without.
func TestOneSettingIsSaid(t *testing.T) {
	s := OneSetting{Width: [3]float64{-0.02, 1.1, 1.9}, Click: 0.26, Exists: 0.97, Inboard: "13 to 12", Outer: "11 to 12", Worst: [2]int{23, 25}, Late: 0.03}
	assert.Equal(t, "One setting makes every shift, with 1.1 mm or 4.2 clicks from end to end. Turned too far in, 11 to 12 is late first; too far out, 13 to 12. No shift is expected to be late.", s.Words())
	assert.Equal(t, "one setting for every shift: 1.1 mm from end to end, 0.0 to 1.9 mm on 90 of 100 bikes", s.Headline(0.4))
	assert.Equal(t, "one setting for every shift: 1.1 mm from end to end, 0.0 to 1.9 mm on 90 of 100 bikes; turn the adjuster out 1 click", s.Headline(1.2))
	s.Click, s.Exists, s.Late = 0, 0.5, 0.42
	assert.Equal(t, "Whether one setting makes every shift could go either way (50 %). Turned too far in, 11 to 12 is late first; too far out, 13 to 12. Worst shift: 23 to 25 is late on 42 of 100 bikes like this.", s.Words())
	s.Exists = 0.9
	assert.Contains(t, s.Words(), "every shift, with 1.1 mm from end to end.")
	for _, p := range []float64{0.02, 0.2} {
		s.Exists = p
		assert.Contains(t, s.Words(), "No setting of the cable makes every shift.")
	}
	s.Width[1] = -0.3
	assert.Equal(t, "no one setting makes every shift on most bikes like this; turn the adjuster in 3 clicks", s.Headline(-3))
	assert.Equal(t, "Late on some bikes like this: 11 to 12 (20 %), 12 to 11 (30 %).", LateShifts([]string{"11 to 12 (20 %)", "12 to 11 (30 %)"}))
}

// What an answer about shifts rests on, in every state.
func TestShiftNotesAreSaid(t *testing.T) {
	const lead, end = "The bike file does not say how the cable is set", "Chances count bikes like this, not shifts."
	clicks := 0.0 // none in between is a count too
	count, match, plain := "count the adjuster's range", "are taken to match", "plain teeth"
	for _, c := range []struct {
		n    ShiftNotes
		want []string
	}{
		{ShiftNotes{Gates: true}, []string{lead, end}},
		{ShiftNotes{}, []string{lead, plain, end}},
		{ShiftNotes{Adjuster: true, Unmatched: true, Gates: true}, []string{lead, count, match, end}},
		{ShiftNotes{Unmatched: true, Gates: true}, []string{lead, end}},
		{ShiftNotes{Set: true, Off: -0.52, Adjuster: true, Gates: true}, []string{"The cable is set 0.5 mm inboard of its best, as the file has it.", count, end}},
		{ShiftNotes{Set: true, Off: 0.52, Adjuster: true, Counted: &clicks}, []string{"The cable is set 0.5 mm outboard of its best", "The adjuster's counted range of 0 clicks is in it.", plain, end}},
	} {
		got := c.n.Words()
		if assert.Len(t, got, len(c.want), strings.Join(got, " ")) {
			for i := range got {
				assert.Contains(t, got[i], c.want[i])
			}
		}
	}
}
