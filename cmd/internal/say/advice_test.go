package say

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"chainpath/sim"
)

var (
	stay = Wall{By: "stay", At: 49.7}
	open = Wall{At: math.Inf(1)}
)

// Where the chainring should sit, in every state: it moves, it stays, it is beyond a wall, there
// is no place.
func TestPlaceIsSaid(t *testing.T) {
	move := Place{Today: 54.2, Score: 0.29, Best: 52, Least: 0.17, From: 51, To: 52, Low: stay, High: open}
	assert.Equal(t, "With the chainring 2.2 to 3.2 mm inboard, at 51.0 to 52.0 mm, the fault score is lowest: 0.17 instead of 0.29. Whether that is worth a change: chainpath fix. Below 49.7 mm the chainring would be too close to the chainstay.", move.Words())
	out := Place{Today: 44, Score: 0.29, Best: 46, Least: 0.17, From: 46, To: 46, Low: Wall{At: math.Inf(-1)}, High: Wall{By: "tyre", At: 50}}
	assert.Equal(t, "With the chainring 2.0 mm outboard, at 46.0 mm, the fault score is lowest: 0.17 instead of 0.29. Whether that is worth a change: chainpath fix. Above 50.0 mm the chain would be too close to the tyre.", out.Words())
	rest := Place{Today: 50, Score: 0.29, Best: 52, Least: 0.28, From: 50, To: 52, Low: Wall{At: math.Inf(-1)}, High: open}
	assert.Equal(t, "Leave the chainring where it is. No other position helps by more than the model can resolve (fault score 0.29). No limit is known: give chainstay and tyre in the bike file.", rest.Words())
	wet := Place{Today: 55, Score: 0.39, Best: 64.2, Least: 0.97, From: 64.2, To: 65, Low: Wall{"tyre", 64.2}, High: Wall{"stay", 80}}
	assert.Equal(t, "The chain is too close to the tyre. It clears the tyre only from 64.2 mm outboard, but there the fault score rises from 0.39 to 0.97. Look at the tyre first. Above 80.0 mm the chainring would be too close to the chainstay.", wet.Words())
	wet.High = open
	assert.Empty(t, wet.Walls(), "told of already")
	in := Place{Today: 85, Score: 0.39, Best: 78, Least: 0.97, From: 78, To: 78, Low: stay, High: Wall{"stay", 80}}
	assert.Equal(t, "The chainring is too close to the chainstay. It clears the chainstay only from 80.0 mm inboard, but there the fault score rises from 0.39 to 0.97. Look at the chainstay first. Below 49.7 mm the chainring would be too close to the chainstay.", in.Words())
	none := Place{Today: 50, Low: Wall{"stay", 52}, High: Wall{"tyre", 50}, Nowhere: true}
	assert.Equal(t, "The chainring has no place: below 52.0 mm the chainring would be too close to the chainstay, above 50.0 mm the chain would be too close to the tyre.", none.Words())
	both := Place{Today: 50, From: 50, To: 50, Low: stay, High: Wall{"tyre", 60}, Score: 1, Least: 0.9}
	assert.Equal(t, "Below 49.7 mm the chainring would be too close to the chainstay, above 60.0 mm the chain would be too close to the tyre.", both.Walls())
	assert.Equal(t, "The front chainline is known to ±0.7 mm.", Known(0.7))
}

// What moving the chainring does to one fault.
func TestTryIsSaid(t *testing.T) {
	x := Try{Against: "the noise", By: -4.5, Before: 0.52, After: 0.11, Several: true, Wall: "stay"}
	assert.Equal(t, "Moving the chainring helps, but does not cure the noise: 4.5 mm inboard, as far as the chainstay allows, the mean chance is 11 % (52 % today).", x.Words())
	assert.Equal(t, "Moving the chainring helps, but does not cure it: 4.5 mm inboard, as far as the chainstay allows, the mean chance is 11 % (52 % today).", x.Here())
	x.After, x.Several = 0.4, false
	assert.Equal(t, "Moving the chainring does not cure the noise: 4.5 mm inboard, as far as the chainstay allows, the chance is 40 % (52 % today).", x.Words())
	x.After = 0.48
	assert.Equal(t, "No chainring position within reach helps against the noise. Look at the rear, the chainstay and the parts.", x.Words())
	x = Try{Against: "the noise", By: 2, Before: 0.52, After: 0.05, Cured: true}
	assert.Equal(t, "The chainring 2.0 mm outboard takes the chance of the noise from 52 % to 5 %. You can undo that, but it may make other gears worse: chainpath chainline.", x.Words())
	assert.Equal(t, x.Words(), x.Here())
	x.Before = 0.05
	assert.Equal(t, "The noise has a chance of 5 % there today: the chainring's position is hardly behind it.", x.Words())
}

// A change with its price, its effect, on how many bikes, and what it makes worse.
func TestChangeIsSaid(t *testing.T) {
	price, free, helps, sure := 30.0, 0.0, 0.9, 1.0
	louder := Moved{sim.NoiseRiding, "32/10", 0.05, 0.14}
	c := Change{Name: "spacers -2", Price: &price, Before: 0.29, After: 0.18, Helps: &helps, More: []Moved{louder}}
	assert.Equal(t, "Best: spacers -2, for 30.00. The fault score falls from 0.29 to 0.18. It helps on 90 of 100 bikes like this. Side effect: noise in 32/10 14 % (was 5 %).", c.Best())
	assert.Equal(t, "Fewest faults: spacers -2, for 30.00 (0.18).", c.Instead("Fewest faults"))
	assert.Equal(t, "noise 32/10 14 % (was 5 %)", c.Side())
	c.More = append(c.More, louder, louder)
	assert.Equal(t, "noise 32/10 14 % (was 5 %), 2 more", c.Side())
	assert.Equal(t, "drop back", Head(sim.DropBackwards))
	assert.Equal(t, "dropout", Head(sim.MeetsDropout))
	c.Price, c.Helps, c.More, c.Less = &free, &sure, nil, []Moved{{sim.DropBackwards, "32/51", 0.8, 0.2}, {sim.NoiseRiding, "32/51", 0.8, 0.2}, {sim.NoiseRiding, "32/44", 0.8, 0.2}}
	assert.Equal(t, "spacers -2, for nothing. The fault score falls from 0.29 to 0.18. It helps on 99 of 100 bikes like this.", c.Option())
	assert.Equal(t, "Free: spacers -2 (0.18).", c.Instead("Free"))
	assert.Equal(t, "-", c.Side())
	assert.Equal(t, []string{"Costs nothing. Fault score from 0.29 to 0.18. It helps on 99 of 100 bikes like this.", "Less likely: chain drop when back-pedalling in 32/51, noise in 32/51 and 32/44.", "Nothing gets likelier."}, c.Lines())
	c.Price, c.More, c.Less = nil, []Moved{louder}, nil
	assert.Equal(t, []string{"Price not known. Fault score from 0.29 to 0.18. It helps on 99 of 100 bikes like this.", "Likelier: noise in 32/10."}, c.Lines())
	assert.Equal(t, "Best: spacers -2. The fault score falls from 0.29 to 0.18. It helps on 99 of 100 bikes like this. Side effect: noise in 32/10 14 % (was 5 %).", c.Best())
	c.After = 0.4
	assert.Contains(t, c.Effect(), "rises from 0.29 to 0.40")
	asItIs := Change{After: 0.29}
	assert.Equal(t, []string{"Fault score 0.29.", "Leave it as it is."}, asItIs.Lines())
	assert.Equal(t, "-", asItIs.OfHundred())
	assert.Equal(t, "as it is", asItIs.Named())
	assert.Equal(t, "Leave it: no change helps by more than the model can resolve (fault score 0.03, mostly noise).", Leave(0.03, sim.NoiseRiding))
}

// On how many bikes a change helps is never said as none or all.
func TestHelpIsNeverSure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(0, 1).Draw(t, "share")
		text := (&Change{Name: "x", Helps: &p}).Effect()
		assert.NotContains(t, text, " 0 of 100")
		assert.NotContains(t, text, "100 of 100")
	})
}

// What does not fit the bike is named, with why.
func TestLeftOutIsSaid(t *testing.T) {
	list := []Unfit{{"a tyre", "no room"}, {"a cage", "no pulley"}, {"a cog", "no hub"}}
	assert.Empty(t, LeftOut(nil, 2))
	assert.Equal(t, "Left out, since it does not fit this bike: a tyre (no room).", LeftOut(list[:1], 2))
	assert.Equal(t, "Left out, since they do not fit this bike: a tyre (no room) and a cage (no pulley).", LeftOut(list[:2], 2))
	assert.Equal(t, "Left out, since they do not fit this bike: a tyre (no room) and 2 more (--all).", LeftOut(list, 1))
	assert.NotContains(t, LeftOut(list, math.MaxInt), "--all")
}

// What became of a bike since it was held: the score and what moved.
func TestSinceIsSaid(t *testing.T) {
	m := []Moved{{sim.NoiseRiding, "32/10", 0.05, 0.14}}
	assert.Equal(t, "The fault score falls from 0.29 to 0.17. Less likely: noise in 32/10.", Since(0.29, 0.17, m, nil))
	assert.Equal(t, "The fault score rises from 0.17 to 0.29. Likelier: noise in 32/10.", Since(0.17, 0.29, nil, m))
	assert.Equal(t, "The fault score is 0.17, as before. No chance of any gear changed by 5 % or more.", Since(0.1701, 0.1699, nil, nil))
	assert.Equal(t, "Best: a, fault score 0.29 against 0.40 for b.", BestOf("a", 0.29, "b", 0.4))
	assert.Equal(t, "No other set-up helps by more than the model can resolve: fault score 0.10 for the first, at best 0.13 for the others.", NoneBetter(0.1, 0.13))
	many := MovedFaults([]Moved{{Gear: "a"}, {Gear: "b"}, {Gear: "c"}, {Gear: "d"}, {Gear: "e"}, {Gear: "f"}})
	assert.Equal(t, "noise in a, b, c, d and 2 more", many)
}

// What to do as things are known, and what to check first.
func TestChoiceIsSaid(t *testing.T) {
	c := Choice{Do: MoveTo(52), Score: 0.22, Effort: 0.05, Before: 0.29}
	assert.Equal(t, "Move the chainring to 52.0 mm. The fault score is then 0.22, with the work counted as 0.05. Left alone it is 0.29.", c.Words())
	c = Choice{Do: StayAt(54.2), Leave: true, Before: 0.29}
	assert.Equal(t, "Leave the chainring where it is, at 54.2 mm. The fault score is 0.29.", c.Words())
	assert.Equal(t, "Make this change: new chain", Make("new chain"))
	assert.Equal(t, "Leave it as it is", Make(""))
	x := Test{"turn the cranks", 2, 0.12}
	assert.Equal(t, "First turn the cranks. The chance that this changes what you should do is 12 %.", x.First())
	assert.Equal(t, "Turn the cranks (2 minutes): the chance that this changes what you should do is 12 %.", x.Line())
	assert.Contains(t, (&Test{"look", 1, 0.12}).Line(), "Look (1 minute): ")
	assert.Contains(t, NotTested, "can throw you")
}

// A cause of one symptom, and one of several.
func TestCausesAreSaid(t *testing.T) {
	s := Suspect{Cause: "too much", Share: 0.91, Ratio: 10, Most: 0.76, Chances: []GearChance{{"32/44", 0.28}, {"32/51", 0.76}}, Unseen: []string{"32/38"}}
	assert.Equal(t, "Most likely (91 %): too much. It fits these gears 10 times better than a random fault.", s.Words(true, false))
	assert.Equal(t, "Possible (91 %): too much. It fits these gears 10 times better than a random fault. Chance 32/44 28 %, 32/51 76 %. It would be likely in 32/38 as well.", s.Words(false, true))
	s.Most = 0.2
	assert.Equal(t, "Likeliest of what is modelled (91 %): too much. But at most 20 % of bikes like this have it there. It fits these gears 10 times better than a random fault.", s.Words(true, false))
	s.Share, s.Ratio, s.Unseen = 0.3, 0.1, nil
	assert.Equal(t, "Possible (30 %): too much.", s.Words(true, false))
	assert.Contains(t, s.Words(true, true), "It does not fit these gears.")
	assert.Equal(t, "Not modelled (9 %): check for dirt or wear.", Outside(0.09, []string{"dirt", "wear"}))
	assert.Equal(t, "Check as well: dirt, wear.", CheckAsWell([]string{"dirt", "wear"}))

	assert.Equal(t, "One cause explains symptoms 1 and 2: too large a chain angle (97 %, if they have one cause). It does not explain 3.", (&OneCause{AngleCause, []int{1, 2}, []int{3}, 0.97}).Words())
	assert.Equal(t, "One cause explains both symptoms: too large a chain angle (97 %, if they have one cause).", (&OneCause{AngleCause, []int{1, 2}, nil, 0.97}).Words())
	assert.Equal(t, "One cause explains all of it: too large a chain angle (97 %, if they have one cause).", (&OneCause{AngleCause, []int{1, 2, 3}, nil, 0.97}).Words())
	assert.Equal(t, "No single cause explains two of these symptoms: look at each.", (&OneCause{}).Words())
}

// Cautions stay as they are.
func TestCautionsAreSaid(t *testing.T) {
	text := Safety("chainpath")
	for _, must := range []string{"can throw you", "fingers away", "cut, spaced or filed frame or part may fail", "chainpath does not replace"} {
		assert.Contains(t, text, must)
	}
	assert.Equal(t, "A chain that drops under load can throw you: do not ride on it. Safety: help safety.", Danger(true, Either))
	assert.Equal(t, "A chain that drops under load can throw you. Safety: help safety.", Danger(true, Unlikely))
	assert.Equal(t, "What catches tyre or spokes can lock the wheel: do not ride on it. Safety: help safety.", Danger(false, Probable))
}

// What the page puts beside numbers of its own, and what it says of lessons and runs.
func TestSmallWords(t *testing.T) {
	s := SmallWords()
	rapid.Check(t, func(t *rapid.T) { // the page's steps are LevelOf's
		p := rapid.Float64Range(0, 1).Draw(t, "chance")
		at := 0
		for i, l := range s.Levels {
			if p >= l.From {
				at = i
			}
		}
		assert.Equal(t, LevelOf(p), Level(at))
	})
	assert.Equal(t, "no fault expected", s.Levels[0].Words)
	assert.Equal(t, "could go either way", s.Levels[2].Words)
	assert.Equal(t, map[string]string{"riding": "riding", "backwards": "back-pedalling"}, s.Ways)
	assert.Equal(t, "The worst fault in each gear: n noise, D chain drop when riding or chain drop when back-pedalling, r rubs next cog or rubs next chainring,", s.Letters[:strings.Index(s.Letters, " t ")])
	assert.Contains(t, s.Letters, "Below 10 % no fault is shown.")
	for what, words := range map[string]string{"": "", "fine": "no fault", "quiet": "no noise", "noise": "noise", "off": "drops", "rubs_next_cog": "rubs next cog", "late": "late", "so_what": "so what"} {
		assert.Equal(t, words, SeenAs(what))
	}
	assert.Equal(t, "Back-pedalling also: rubs tyre in 32/10.", Also(sim.Backwards, "rubs tyre in 32/10"))
	assert.Empty(t, Also(sim.Riding, ""))
	assert.Equal(t, `Your "32/51: quiet" stays unlikely by all you told (1 %). Look again, or for a cause that is not modelled.`, Odd("32/51: quiet", 0.001))
	assert.Equal(t, "Measure the front chainline again: it was probably misread (60 %).", Misread("front", 0.6))
	c := Counted{What: "the 51 when you back-pedal", Off: 3, Of: 10, Least: 2, Most: 5, InTen: 0.99}
	assert.Equal(t, "You counted 3 of 10 on the 51 when you back-pedal: expect 2 to 5 of the next ten.", c.Words())
	c = Counted{What: "the 51", Of: 10, Most: 2, InTen: 0.5}
	assert.Equal(t, "You counted 0 of 10 on the 51: expect 0 to 2 of the next ten. Ten clean tries do not exclude one in ten.", c.Words())
	c = Counted{What: "the 51", Of: 80, InTen: 0.01}
	assert.Equal(t, "You counted 0 of 80 on the 51: expect none of the next ten.", c.Words())
	c = Counted{What: "the 51", Off: 5, Of: 5, Least: 10, Most: 10, InTen: 0.99}
	assert.Equal(t, "You counted 5 of 5 on the 51: expect 10 of the next ten.", c.Words())
	assert.Equal(t, "32/51, riding, one chain of many: it drops. The chances say how often.", Run("32/51", Way(sim.Riding), "it drops", 0.1, true))
	assert.Equal(t, "32/51, riding, one chain of many: it drops. It ran 2.0 turns without a drop. The chances say how often.", Run("32/51", Way(sim.Riding), "it drops", 2, false))
}

// How far a number may go is said for each side: open, ended by a fault as surely as is known, or by what cannot be.
func TestLimitsAreSaid(t *testing.T) {
	l := Limit{More: true, At: "75 mm", Looked: "93 mm", Fault: "rubs tyre", Gear: "32/51", Chance: 0.35, Between: [2]string{"73 mm", "77 mm"}}
	assert.Equal(t, "Going up, it may be at most 75 mm. Beyond that: rubs tyre in 32/51, on more than 35 % of bikes like this (10 % at 73 mm, 65 % at 77 mm).", l.Words())
	l.Between[1] = ""
	assert.Contains(t, l.Words(), " (10 % at 73 mm).")
	l.Between = [2]string{"", "77 mm"}
	assert.Contains(t, l.Words(), " (65 % at 77 mm).")
	l.Between[1], l.More = "", false
	assert.Equal(t, "Going down, it may be at least 75 mm. Beyond that: rubs tyre in 32/51, on more than 35 % of bikes like this.", l.Words())
	l.Cannot = "its pulleys meet"
	assert.Equal(t, "Going down, it may be at least 75 mm. Beyond that the bike cannot be: its pulleys meet.", l.Words())
	l.Open = true
	assert.Equal(t, "Going down, no fault ends it by 93 mm.", l.Words())
	assert.Equal(t, "The chainstay's length (frame.stay): today 435 mm.", LimitOf(Reading("frame.stay"), "435 mm"))
	assert.Equal(t, "tyre.width: today 58 mm.", LimitOf("tyre.width", "58 mm"))
	assert.Equal(t, "Above 35 % today, so that they end nothing: noise in 32/51 (56 %).", AsLikely("noise in 32/51 (56 %)", 0.35))
}
