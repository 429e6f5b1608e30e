package say

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/sim"
)

// Every sentence of an advice that goes by the rule.
func TestFixIsSaid(t *testing.T) {
	one, two := &Bike{[]int{32}, []int{10, 44, 51}}, &Bike{[]int{34, 50}, []int{11, 17, 28}}
	dear, free := &Costs{Price: 55.5, Minutes: 30}, &Costs{Minutes: 15, Final: true}
	for want, got := range map[string]string{
		"Make this change: a ring (price 55.50, 30 minutes). You can undo it.":                                                        DoChange("a ring", dear),
		"Make this change: b (free, 15 minutes). You cannot undo it.":                                                                 DoChange("b", free),
		"Make this change: c (price 8, 1 minute). You can undo it.":                                                                   DoChange("c", &Costs{Price: 8, Minutes: 1}),
		"The chance of the noise falls from 76 % to 36 % at most.":                                                                    Eases(sim.NoiseRiding, 0.76, 0.36),
		"The chance of the noise rises from 36 % to 76 % at most.":                                                                    Eases(sim.NoiseRiding, 0.36, 0.76),
		"First put right what reads wrong: the derailleur hanger is 2° off. That is: straighten (free, 15 minutes). Then look again.": PutRight(Wrong("tensioner.hanger", -2, "°"), "straighten", free),
		"First put right what reads wrong: the cable holds the pulley 0.5 mm off its best.":                                           PutRight(Wrong("tensioner.index_error", 0.5, "mm"), "", free),
		"the chain is 2 links too short for the largest chainring and cog":                                                            Wrong("chain.links", 2, "links"),
		"other is 3 mm": Wrong("other", 3, "mm"),
		"Do not use 34/11: 50/17 has nearly the ratio of 34/11. That is free.":                                 AvoidGears(two, []Gear{{0, 0}}, Gear{1, 1}),
		"Do not use 34/11 and 50/28: another chainring has nearly the same ratios. That is free.":              AvoidGears(two, []Gear{{0, 0}, {1, 2}}, Gear{1, 1}),
		"Do not back-pedal on the 44 and 51: that is free.":                                                    NotBackwards(one, []Gear{{0, 1}, {0, 2}}),
		"Do not back-pedal: that is free.":                                                                     NotBackwards(one, []Gear{{0, 0}, {0, 1}, {0, 2}}),
		"Before that measure from the largest chainring to the chainstay: it has to be at least 8.1 mm today.": MeasureRoom("chainstay", 8.1),
		"Before that measure from the chain to the tyre in the lowest gear: nobody did.":                       MeasureRoom("tyre", 0),
		"2.5 mm are left from the smallest cog to the dropout (chance of touching 2 %).":                       RoomLeft("dropout", 2.5, 0.02),
		"Put right too, when you can: x.":                                                                      AlsoWrong("x"),
		"With the chainlines off by their doubt, and faults weighed otherwise, 95 % of draws say the same.":    Holds(0.95),
		"Look first whether this happens on 34/28: rubs tyre. It takes a minute. The model expects it (82 %). If you see it, write it under symptoms and ask again; if not, leave it as it is.":          LookWhether(two, sim.RubsTyreAt, []Gear{{0, 2}}, 0.82),
		"First measure the rear chainline: chainpath measure rear --help. As it was read this change would help: a. With lines off by their doubt and other weights that holds in 60 % of redraws only.": MeasureLineFirst("rear.line", "a", 0.6),
	} {
		assert.Equal(t, want, got)
	}
	assert.Contains(t, MeasureLineFirst("front.line", "a", 0.6), "First measure the front chainline: chainpath measure front")
}
