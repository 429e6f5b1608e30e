package show

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// What an advice warns of, by hand: a fault that can hurt from one chance in ten on and once, not to
// ride on it from 35 in 100 on; no fault that is only heard; a look at the chain and parts by
// themselves.
func TestCautionsOfAnAdvice(t *testing.T) {
	none := func() (c sim.Chances) {
		for k := range c {
			c[k] = -1
		}
		return c
	}
	fault := func(k sim.Concern, most float64) decide.Named { return decide.Named{Of: k, Most: most} }
	const drops, wheel, safety = "A chain that drops under load can throw you", "What catches tyre or spokes can lock the wheel", "Safety: help safety."
	for _, c := range []struct {
		about   string
		faults  []decide.Named
		verdict cases.Verdict
		want    string
	}{
		{"nothing", nil, cases.LeaveIt, ""},
		{"noise", []decide.Named{fault(sim.NoiseRiding, 0.9)}, cases.LeaveIt, ""},
		{"a drop that is said nothing of", []decide.Named{fault(sim.DropRiding, 0.09)}, cases.LeaveIt, ""},
		{"a drop", []decide.Named{fault(sim.DropRiding, 0.1)}, cases.LeaveIt, drops + ". " + safety},
		{"a drop on smooth ground behind noise", []decide.Named{fault(sim.NoiseRiding, 0.9), fault(sim.DropSmooth, 0.35)}, cases.LeaveIt, drops + ": do not ride on it. " + safety},
		{"two, the first is said", []decide.Named{fault(sim.RubsTyreAt, 0.2), fault(sim.DropRiding, 0.9)}, cases.LeaveIt, wheel + ". " + safety},
		{"a look", nil, cases.LookThere, say.Fingers + " " + safety},
		{"a drop when back-pedalling, which throws nobody", []decide.Named{fault(sim.DropBackwards, 0.9)}, cases.LeaveIt, ""},
	} {
		a := &cases.Advice{Verdict: c.verdict, Faults: c.faults, Before: &cases.Expected{Chances: []sim.Chances{none()}}}
		assert.Equal(t, c.want, adviceCaution(a), c.about)
	}
	a := &cases.Advice{Before: &cases.Expected{Chances: []sim.Chances{none(), none()}}, Do: &cases.Advised{}, Verdict: cases.MakeChange}
	assert.Equal(t, say.PartsFit+" "+safety, adviceCaution(a))
	a.Before.Chances[1][sim.MeetsWheel] = 0.1 // whatever the verdict is about
	assert.Equal(t, wheel+". "+say.PartsFit+" "+safety, adviceCaution(a))
	a.Before.Chances[1][sim.MeetsWheel] = 0.0999
	assert.Equal(t, say.PartsFit+" "+safety, adviceCaution(a))
	a.Do, a.Complaints = nil, []cases.Complained{{Symptom: decide.Symptom{Complaint: decide.Drop, Direction: sim.Backwards}}}
	assert.Empty(t, adviceCaution(a))
	a.Complaints[0].Symptom.Direction = sim.Riding
	assert.Equal(t, say.NoRide+" "+safety, adviceCaution(a))
}

// The gears that are not to be back-pedalled in, and the faults whose chances a change tells.
func TestGearsAndFaultsOfAnAdvice(t *testing.T) {
	a := &cases.Advice{Before: &cases.Expected{Chances: make([]sim.Chances, 4)}}
	for g, p := range []float64{0.65, -1, 0.64, 1} {
		a.Before.Chances[g][sim.DropBackwards] = p
	}
	assert.Equal(t, []say.Gear{{Ring: 0, Cog: 0}, {Ring: 1, Cog: 1}}, backward(a, &say.Bike{Rings: []int{22, 32}, Cogs: []int{11, 34}}))

	heard := decide.Named{Of: sim.NoiseRiding, Complaint: 1, Told: true}
	off := decide.Named{Of: sim.DropRiding, Complaint: 0, Told: true}
	a.Faults = []decide.Named{heard}
	a.Complaints = []cases.Complained{{Explained: true, Fault: off}, {Explained: true, Fault: heard}, {Fault: decide.Named{Of: -1, Complaint: 2}}}
	assert.Equal(t, []decide.Named{heard, off}, eased(a), "each complaint that is explained, once")
	assert.Equal(t, []decide.Named{heard}, a.Faults)
}

// What to do as things are known now: left alone there is one fault score, after a change two; a check
// goes first where it is worth its minutes.
func TestWhatToDoNow(t *testing.T) {
	d := &Next{Options: []NextOption{{Name: "as it is"}, {Name: "ring"}}, Trouble: 0.4, Before: 0.9, Effort: 0.1, Enough: true}
	d.Best = "as it is"
	assert.Equal(t, say.Enough+" Leave it. The fault score is 0.90.", d.words("Leave it"))
	d.Best = "ring"
	moved := "Move it. The fault score is then 0.40, with the work counted as 0.1. Left alone it is 0.90."
	assert.Equal(t, say.Enough+" "+moved, d.words("Move it"))
	d.Enough = false
	assert.Equal(t, moved, d.words("Move it"))
	d.Tests = []NextTest{ // of 0.4 two hundredths are 0.008
		{Text: "weigh it", Turns: 0.05, Avoided: 0.0079},
		{Text: "ask", Turns: 0.0499, Avoided: 0.1},
		{Text: "look", Turns: 0.05, Avoided: 0.0081},
	}
	assert.Equal(t, "First look. The chance that this changes what you should do is 5 %. As things are known now: move it. The fault score is then 0.40, with the work counted as 0.1. Left alone it is 0.90.", d.words("Move it"))
}

// What an advice says to do: another gear of nearly the ratio, 50/34 = 1.471 against 34/23 = 1.478, once for two faults
// of it; a look; and where nothing is changed what there is against, and not to ride or back-pedal where that drops.
func TestWhatAnAdviceSays(t *testing.T) {
	names := &say.Bike{Rings: []int{34, 50}, Cogs: []int{17, 23, 34}}
	fault := func(k sim.Concern, gears ...int) decide.Named { return decide.Named{Of: k, Gears: gears, Most: 0.6} }
	before := &cases.Expected{Chances: make([]sim.Chances, 6)}
	for what, x := range map[string]struct {
		a    cases.Advice
		d    Advice
		want []string
	}{
		"another gear": {cases.Advice{Verdict: cases.AvoidGear, Faults: []decide.Named{fault(sim.NoiseRiding, 5), fault(sim.RubsNextCog, 5)}}, Advice{},
			[]string{"Do not use 50/34: 34/23 has nearly the ratio of 50/34. That is free."}},
		"other gears": {cases.Advice{Verdict: cases.AvoidGear, Faults: []decide.Named{fault(sim.NoiseRiding, 5), fault(sim.RubsNextCog, 4, 5)}}, Advice{},
			[]string{"Do not use 50/34 and 50/23: another chainring has nearly the same ratios. That is free."}},
		"a look": {cases.Advice{Verdict: cases.LookThere, Faults: []decide.Named{fault(sim.MeetsStay, 3)}}, Advice{},
			[]string{say.LookWhether(names, sim.MeetsStay, []say.Gear{{Ring: 1, Cog: 0}}, 0.6)}},
		"nothing cures": {cases.Advice{Faults: []decide.Named{fault(sim.DropBackwards, 2), fault(sim.DropRiding, 0), fault(sim.NoiseRiding, 1)}}, Advice{},
			[]string{say.LeaveIt, say.NothingCures, say.NotBackwards(names, []say.Gear{{Ring: 0, Cog: 2}}), say.NoRide}},
		"nothing pays": {cases.Advice{Faults: []decide.Named{fault(sim.NoiseRiding, 1)}, Dear: &cases.Advised{Name: "another hub", Cost: decide.Cost{Price: 240, Minutes: 120}}}, Advice{},
			[]string{say.LeaveIt, say.NothingPays("another hub", &say.Costs{Price: 240, Minutes: 120})}},
		"what reads wrong, too": {cases.Advice{Verdict: cases.NotExplained}, Advice{Wrong: []AdviceReading{{Words: "one"}, {Words: "two"}}},
			[]string{say.LeaveForThat, say.AlsoWrong("one"), say.AlsoWrong("two")}},
		"what reads wrong, first": {cases.Advice{Verdict: cases.PutRight, Do: &cases.Advised{Name: "freehub serviced", Cost: decide.Cost{Price: 10, Minutes: 45}, Final: true}}, Advice{Wrong: []AdviceReading{{Words: "one"}, {Words: "two"}}},
			[]string{say.PutRight("one", "freehub serviced", &say.Costs{Price: 10, Minutes: 45, Final: true}), say.AlsoWrong("two")}},
	} {
		x.a.Before = before
		assert.Equal(t, x.want, adviceWords(&x.a, &x.d, names), what)
	}
}
