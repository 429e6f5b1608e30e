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
	single = &Bike{Rings: []int{44}, Cogs: []int{17}}
	trail  = &Bike{Rings: []int{32}, Cogs: []int{10, 12, 14}}
	road   = &Bike{Rings: []int{34, 50}, Cogs: []int{11, 28}}
)

// quiet are the chances of so many gears without any fault.
func quiet(gears int) []sim.Chances {
	all := make([]sim.Chances, gears)
	for g := range all {
		for k := range all[g] {
			all[g][k] = 0.001
		}
	}
	return all
}

func none(sim.Concern, Gear) bool { return false }

// Every state that an answer can be in has its sentence.
func TestEveryState(t *testing.T) {
	at := func(gears, g int, k sim.Concern, chance float64) []sim.Chances {
		all := quiet(gears)
		all[g][k] = chance
		return all
	}
	one := func(b *Bike, all []sim.Chances, level Level, say func(*Fault) string) string {
		f := Faults(b, all, level, none)
		if !assert.Len(t, f, 1) {
			return ""
		}
		return say(&f[0])
	}
	will := func(b *Bike, first bool) func(*Fault) string {
		return func(f *Fault) string { return f.Will(b, first) }
	}
	either := func(b *Bike, first bool) func(*Fault) string {
		return func(f *Fault) string { return f.Either(b, first) }
	}
	drop, middle := at(3, 2, sim.DropBackwards, 0.89), at(4, 0, sim.RubsNextRing, 0.36)
	middle[1][sim.RubsNextRing] = 0.56
	every := quiet(3)
	for g := range every {
		every[g][sim.MeetsStay] = 0.9
	}
	noise := Seen{What: "noise", Gears: []Gear{{0, 1}, {0, 2}}, By: sim.NoiseRiding, Chance: 0.76, Least: 0.28, Explained: true}
	drops := Seen{What: "drop", Direction: sim.Backwards, Gears: []Gear{{0, 2}}, By: sim.DropBackwards, Chance: 0.89, Least: 0.89, Explained: true}
	short := Seen{What: "drop", Direction: sim.Backwards, Gears: []Gear{{0, 2}}, By: sim.DoesNotClose, Chance: 0.99, Least: 0.99, Explained: true}
	skips := Seen{What: "skips", Gears: []Gear{{0, 0}}, By: -1, Check: []string{"a worn cog", "a stiff link", "dirt", "the indexing"}}
	rub := Seen{What: "rubs_next_cog", Gears: []Gear{{0, 0}}, By: -1, Check: []string{"dirt"}}
	strange := Seen{What: "some_thing", Gears: []Gear{{0, 0}, {0, 1}, {0, 2}}, Check: []string{"x"}}
	told := func(list ...Seen) string { return SeenWords(trail, list) }
	beyond := Place{Today: 55, Score: 0.39, Best: 64.2, Least: 0.97, From: 64.2, To: 65, Low: Wall{"tyre", 64.2}, High: open}
	for state, c := range map[string][][2]string{
		"likely fault": {
			{one(trail, drop, Probable, will(trail, true)), "The chain will probably drop off the 14 when you back-pedal (89 of 100 bikes like this)."},
			{one(trail, drop, Probable, will(trail, false)), "The chain will probably drop off the 14 when you back-pedal (89 %)."},
			{one(trail, every, Probable, will(trail, false)), "The chain or chainring will probably touch the chainstay in every gear (90 %)."},
			{one(single, at(1, 0, sim.NoiseRiding, 0.7), Probable, will(single, false)), "The 17 will probably be noisy (70 %)."},
		},
		"middle chance": {
			{one(road, middle, Either, either(road, false)), "Rubbing the next chainring on 34/11 and 34/28 could go either way (36 to 56 %)."},
			{one(road, middle, Either, either(road, true)), "Rubbing the next chainring on 34/11 and 34/28 could go either way (36 to 56 % of bikes like this)."},
		},
		"input missing": {
			{NotMeasured([]string{"chainstay", "dropout", "wheel"}), "Clearance not worked out: no gap to chainstay, dropout or spokes given."},
			{NotMeasured(nil), ""},
			{NotGiven([]string{"dropout", "wheel"}, "Next: x", 80), "Clearance not worked out: no gap to dropout or spokes."},
			{NotGiven([]string{"dropout", "wheel"}, "Next: x", 40), "No gap given to dropout, spokes."},
			{NotGiven([]string{"dropout", "wheel"}, "Next: x", 30), "No room given: 2 (--all)."},
			{(&Place{Today: 50, From: 50, To: 50, Low: Wall{At: math.Inf(-1)}, High: open}).Walls(), "No limit is known: give chainstay and tyre in the bike file."},
		},
		"limit passed": {
			{beyond.Words(), "The chain is too close to the tyre. It clears the tyre only from 64.2 mm outboard, but there the fault score rises from 0.39 to 0.97. Look at the tyre first."},
		},
		"the user saw a fault": {
			{noise.Sentence(trail), "You told us: noise on the 12 and 14 (28 to 76 % of bikes like this). The chainline explains it."},
			{told(noise, drops, skips), "You told us: noise on the 12 and 14 (28 to 76 % of bikes like this), and the chain drops off the 14 when you back-pedal (89 %). The chainline explains both, but not this: the chain skips on the 10 (chainpath diagnose)."},
			{told(drops, noise, drops), "You told us: the chain drops off the 14 when you back-pedal (89 of 100 bikes like this), and noise on the 12 and 14 (28 to 76 %), and the chain drops off the 14 when you back-pedal (89 %). The chainline explains them all."},
			{told(short), "You told us: the chain drops off the 14 when you back-pedal (99 of 100 bikes like this: chain does not fit). The model explains it."},
			{told(skips), "You told us: the chain skips on the 10. The chainline does not explain it: check for a worn cog, a stiff link or dirt."},
			{told(skips, rub), "You told us: the chain skips on the 10, and the chain rubs the next cog on the 10. The chainline explains neither: chainpath diagnose says what to check."},
			{told(skips, rub, rub), "You told us: the chain skips on the 10, and the chain rubs the next cog on the 10, and the chain rubs the next cog on the 10. The chainline explains none of these: chainpath diagnose says what to check."},
			{told(strange), "You told us: some thing in every gear. The chainline does not explain it: check for x."},
			{Spared(trail, "fine", sim.Riding, drops.Gears), "You saw no fault on the 14."},
			{Spared(road, "quiet", sim.Backwards, []Gear{{0, 0}}), "You saw no noise on 34/11 when you back-pedal."},
			{Spared(trail, "fine", sim.Riding, make([]Gear, 6)), "You saw no fault in 6 gears."},
			{Learned(Nothing), "Fitted to your bike. No fault is likely in any gear."},
		},
		"fixed or coaster": {
			{Brake(sim.Fixed), "Without its chain a fixed cog brakes nothing, and a chain that jams locks the wheel. Keep another brake. Follow the makers' instructions and local rules, and ask a qualified mechanic."},
			{Brake(sim.Coaster), strings.Replace(Brake(sim.Fixed), "fixed", "coaster", 1)},
			{Brake(sim.Freewheel), ""},
		},
		"nothing wrong": {{Nothing, "No fault is likely in any gear."}},
		"cannot be built": {
			{one(trail, at(3, 2, sim.DoesNotClose, 0.99), Probable, will(trail, true)), "The chain will probably not fit on the 14 (99 of 100 bikes like this)."},
			{Conflict("the front chainline of 19 mm cannot be", "50 ± 4 mm"), "The front chainline of 19 mm cannot be. Computed with 50 ± 4 mm."},
			{(&Place{Today: 50, Low: Wall{"stay", 52}, High: Wall{"tyre", 50}, Nowhere: true}).Words(), "The chainring has no place: below 52.0 mm the chainring would be too close to the chainstay, above 50.0 mm the chain would be too close to the tyre."},
		},
	} {
		for _, x := range c {
			assert.Equal(t, x[1], x[0], state)
		}
	}
	assert.Empty(t, Faults(trail, drop, Either, none))
	assert.Contains(t, DropCaution(true), "Do not ride")
	assert.Empty(t, DropCaution(false))
}

// Where the chainring is beside the cassette, or the one cog.
func TestLinesAreSaid(t *testing.T) {
	assert.Equal(t, "the chainring is 6.2 mm outboard of the cassette (front chainline 54.2, rear 48.0 mm)", Lines(54.2, 48, 1, 12))
	assert.Equal(t, "the chainring is 1.0 mm inboard of the cog (41.0 and 42.0 mm)", Offset(41, 42, 1, 1))
	assert.Equal(t, "the chainring is in line with the cog (42.0 and 42.0 mm)", Offset(42, 42, 1, 1))
	assert.Equal(t, "the chainrings are in line with the cassette (45.5 and 45.5 mm)", Offset(45.5, 45.5, 2, 10))
}

func TestStandingByHand(t *testing.T) {
	const score = "Fault score 0.29 (all faults in one, 0 best): "
	assert.Equal(t, score+"none of 23 bikes that run well scores better.", Standing(0.29, 0, 23, true))
	assert.Equal(t, score+"1 of 23 bikes that run well scores better.", Standing(0.29, 1, 22, true))
	assert.Equal(t, score+"15 of 23 bikes that run well score better.", Standing(0.29, 15, 8, true))
	assert.Equal(t, score+"all 6 bikes without a derailleur that run well score better.", Standing(0.29, 6, 0, false))
}

func TestSizesByHand(t *testing.T) {
	assert.Equal(t, "0.28 mm over the limit (0.24 under to 0.84 over)", Size(-0.24, 0.28, 0.84, Unit("mm")))
	assert.Equal(t, "0.5° under the limit (1 under to 0.1 under)", Size(-1, -0.5, -0.1, Unit("deg")))
	assert.Equal(t, "1 N over the limit (at it to 2 over)", Size(0, 1, 2, Unit("n")))
}

// A chance is never said as 0 or 100 %, its level follows from it, and what is likely is never
// said to go either way.
func TestChancesAreNeverSure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.Float64Range(0, 1).Draw(t, "chance")
		for _, text := range []string{Percent(p), OfBikes(p), Percents(p, p)} {
			assert.NotContains(t, " "+text, " 0 %")
			assert.NotContains(t, text, "100 %")
			assert.NotContains(t, text, "100 of 100")
			assert.NotContains(t, " "+text, " 0 of 100")
		}
		l := LevelOf(p)
		from := [...]float64{Quiet: 0, Unlikely: 0.10, Either: 0.35, Probable: 0.65, Probable + 1: 2}
		assert.GreaterOrEqual(t, p, from[l])
		assert.Less(t, p, from[l+1])
	})
	assert.Equal(t, Quiet, LevelOf(-1))
}

// Every fault of the one table can be said: with its gears, as a sentence of English.
func TestEveryFaultIsSaid(t *testing.T) {
	for k := range sim.NumConcerns {
		f := Fault{Of: sim.Concern(k)}
		f.Add(Gear{0, 1}, 0.7)
		for _, text := range []string{f.Will(trail, false), f.Either(trail, false)} {
			assert.NotContains(t, text, "%!", sim.Concern(k))
			assert.Contains(t, strings.ToLower(text), "the 12", sim.Concern(k))
			assert.Regexp(t, `^[A-Z].*\.$`, text)
		}
	}
}

// What is told of shifts is answered together, and how it is felt in words of its level.
func TestShiftsAreSaid(t *testing.T) {
	b := &Bike{Rings: []int{32}, Cogs: []int{11, 13, 15}}
	every := []Gear{{0, 0}, {0, 1}, {0, 2}}
	got := SeenWords(b, []Seen{{What: "slow_to_larger", Gears: every, OfShifts: true}, {What: "skips_in_one", Gears: every[1:2], OfShifts: true}, {What: "after_crash", Gears: every, OfShifts: true}})
	assert.Equal(t, "You told us: shifts to larger cogs are slow, and the chain skips in one gear (the 13), and it began after a crash. The chainline does not cause it: chainpath shifts says what to do.", got)
	assert.Equal(t, "Left alone it will probably be felt (82 of 100 bikes like this).", Felt(0.82))
	assert.Equal(t, "Whether it is felt could go either way (41 of 100 bikes like this).", Felt(0.41))
	assert.Equal(t, "It is unlikely to be felt (23 of 100 bikes like this).", Felt(0.23))
	assert.Equal(t, "It is felt on few bikes (3 %).", Felt(0.03))
}
