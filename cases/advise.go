package cases

import (
	"cmp"
	"context"
	"errors"
	"math"
	"slices"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Verdict is what an advice comes to.
type Verdict int

// The verdicts.
const (
	LeaveIt      Verdict = iota // nothing is worth a change
	PutRight                    // first what reads wrong
	MakeChange                  // Advice.Do
	AvoidGear                   // do not use the gears of the fault, or do not back-pedal in them
	LookThere                   // look whether the fault is there
	MeasureLine                 // a change would help, but that turns on the lines
	NotExplained                // the chainline does not explain what was complained of
)

var verdictNames = [...]string{LeaveIt: "leave", PutRight: "put_right", MakeChange: "change", AvoidGear: "avoid_gear", LookThere: "look", MeasureLine: "measure_line", NotExplained: "unexplained"}

// String returns the verdict's name in machine output.
func (v Verdict) String() string { return verdictNames[v] }

// Complained is something that was seen to go wrong.
type Complained struct {
	Symptom   decide.Symptom
	Behind    []sim.Concern // faults that can be behind it; none: the model has none
	Gears     []int         // rising
	Shifts    bool          // it is of shifts, where the chainline has no part
	Fault     decide.Named  // the likeliest of those; Of is -1 where there is none
	Explained bool
}

// Advised is a change that an advice tells of.
type Advised struct {
	Name   string
	Cost   decide.Cost
	Final  bool // it cannot be undone
	Cure   decide.Cure
	Pick   int // option of the changes
	Result *Expected
	Rooms  []Room // that it takes from and nobody measured
	Known  []Kept // that it takes from and somebody did
}

// Kept is what a change leaves of a room at rest, mm, and the chance that parts touch.
type Kept struct {
	Name        string // chainstay or dropout
	Left, Touch float64
}

// Room is a distance that has to be measured before a change, and what it has to be at least, mm;
// 0: not worked out.
type Room struct {
	Name  string // chainstay, dropout, wheel or tyre
	Least float64
}

// Advice is what a mechanic would say of a bicycle.
type Advice struct {
	Verdict    Verdict
	Complaints []Complained
	Faults     []decide.Named // what the verdict is about, the complaint's or the heaviest ones
	Wrong      []Reading      // what reads wrong; the first bears on a complaint where the verdict is PutRight
	Do         *Advised       // the cheapest sensible change; nil: none
	Cures      []Advised      // of the faults, in order: Do is the first, but where something reads wrong
	Dear       *Advised       // where nothing is worth a change: the cheapest that would cure at any price; nil: none does
	Measure    string         // the line that MeasureLine is about: front.line or rear.line
	Same       float64        // share of redraws in which the verdict is the same
	Before     *Expected
	Rule       decide.Rule
	LeftOut    []LeftOut
}

// redraws is how often lines and weights are drawn anew, and leastSame in what share of them a
// change has to hold to be told.
const (
	redraws   = 40
	leastSame = 0.8
	doubtful  = 1.0 // mm: how far a line may be off that is not known better
)

// adviser works an advice out.
type adviser struct {
	c       *Case
	b       *sim.Bike
	rule    decide.Rule
	cand    *Candidates
	judging *Judging
	before  decide.Design
	options []option
	needs   map[string]float64
	spare   []bool
	judged  bool  // options are
	failed  error // why they could not be
}

// option is a change that can be, judged.
type option struct {
	pick   int
	result *Expected
	is     decide.Design
}

// Advise returns what a mechanic would say, by a rule, of the case's complaints or of those given
// instead. A shop's list of changes may be nil: see UsualChanges. Errors are as of Chances and
// UsualChanges.
func (c *Case) Advise(rule decide.Rule, shop *Catalogue, instead []Complained) (*Advice, error) {
	w, a, err := c.adviser(rule, shop)
	if err != nil {
		return nil, err
	}
	if a.Complaints = instead; instead == nil {
		if a.Complaints, err = c.complained(w.b); err != nil {
			return nil, err
		}
	}
	a.Wrong = w.wrong(a.Complaints)
	w.decide(a)
	if w.failed != nil {
		return nil, w.failed
	}
	if err := w.stable(a); err != nil {
		return nil, err
	}
	return a, c.Stopped()
}

func (c *Case) adviser(rule decide.Rule, shop *Catalogue) (*adviser, *Advice, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, nil, err
	}
	cat, err := c.UsualChanges(shop)
	if err != nil {
		return nil, nil, err
	}
	w := &adviser{c: c, b: b, rule: rule, needs: map[string]float64{}, spare: decide.Spare(countsOf(b.Rings), countsOf(b.Cogs))}
	if w.cand, err = cat.For(c); err != nil {
		return nil, nil, err
	}
	if w.judging, err = w.cand.Judging(func(sim.Concern) bool { return true }, &rule.Weights); err != nil {
		return nil, nil, c.Explain(err)
	}
	e := w.judging.Before()
	w.before = decide.Design{Chances: e.Chances, Share: e.Share}
	return w, &Advice{Before: e, Rule: rule, LeftOut: w.cand.LeftOut}, nil
}

// complained returns what the case tells of.
func (c *Case) complained(b *sim.Bike) (out []Complained, err error) {
	list, _, err := c.Told(b)
	if err != nil {
		return nil, err
	}
	for _, s := range list {
		x := Complained{Symptom: s, Behind: decide.SuspectsOf(s), Shifts: slices.Contains(decide.OfShifts, s.Complaint)}
		for at := range s.Gears {
			x.Gears = append(x.Gears, at[0]*len(b.Cogs)+at[1])
		}
		slices.Sort(x.Gears)
		out = append(out, x)
	}
	return out, nil
}

// judge judges every change alone, when they are first asked for. What cannot be, or brings parts
// against each other, falls out.
func (w *adviser) judge() {
	if w.judged {
		return
	}
	w.judged = true
	for i := range w.cand.Plan.Options {
		e, err := w.judging.Expect([]int{i})
		if errors.Is(err, context.Canceled) {
			w.failed = err
			return
		}
		if err != nil || math.IsNaN(e.Judged.Sum()) {
			continue
		}
		w.options = append(w.options, option{i, e, decide.Design{Chances: e.Chances, Share: e.Share}})
	}
}

// decide fills in verdict, faults and changes.
func (w *adviser) decide(a *Advice) {
	var told []decide.Named
	of := w.before
	for i := range a.Complaints {
		x := &a.Complaints[i]
		x.Fault, x.Explained = w.rule.Explained(&of, w.carried(), x.Behind, x.Gears, i)
		if x.Explained {
			told = append(told, x.Fault)
		}
	}
	a.Verdict, a.Faults = w.verdict(&of, told, len(a.Complaints) > 0, w.rule, func(faults []decide.Named) bool {
		if a.Cures = w.cures(&w.rule, faults); len(a.Cures) == 0 {
			return false
		}
		a.Do = &a.Cures[0]
		return true
	})
	if a.Verdict == LeaveIt && len(a.Faults) > 0 {
		a.Dear = w.dear(a.Faults)
	}
	if w.rule.Readings && len(a.Wrong) > 0 && a.Wrong[0].Bears {
		a.Verdict = PutRight
		a.Do = w.remedyNamed(a.Wrong[0].Change)
	}
}

// dear returns the cheapest change that cures faults at any price; nil where none does.
func (w *adviser) dear(faults []decide.Named) *Advised {
	rule := w.rule
	rule.Worth, rule.Told = anyPrice, anyPrice
	list := w.cures(&rule, faults)
	if len(list) == 0 {
		return nil
	}
	return &list[0]
}

// anyPrice is what a fault score of 1 is worth where price counts nothing.
const anyPrice = 1e9

// Best is the cure that is worth most beyond its cost; nil where there is none.
func (a *Advice) Best() *Advised {
	if len(a.Cures) == 0 {
		return nil
	}
	best := slices.IndexFunc(a.Cures, func(x Advised) bool {
		return !slices.ContainsFunc(a.Cures, func(y Advised) bool { return y.Cure.Net > x.Cure.Net })
	})
	return &a.Cures[best]
}

// verdict goes by the rule; cured tells whether a change cures faults.
func (w *adviser) verdict(d *decide.Design, told []decide.Named, complained bool, rule decide.Rule, cured func([]decide.Named) bool) (Verdict, []decide.Named) {
	if complained {
		if len(told) == 0 {
			return NotExplained, nil
		}
		switch {
		case cured(told):
			return MakeChange, told
		case w.spared(told):
			return AvoidGear, told
		}
		for i := range told { // not all of it at once
			if len(told) > 1 && cured(told[i:i+1]) {
				return MakeChange, told[i : i+1]
			}
		}
		return LeaveIt, told
	}
	faults := rule.Faults(d, w.carried())
	for i := range faults {
		if faults[i].Contact() {
			return LookThere, faults[i : i+1]
		}
		if cured(faults[i : i+1]) {
			return MakeChange, faults[i : i+1]
		}
	}
	if f := rule.Danger(d); len(f.Gears) > 0 {
		return LookThere, []decide.Named{f}
	}
	return LeaveIt, faults
}

// spared reports whether another chainring does the work of all the faults' gears.
func (w *adviser) spared(faults []decide.Named) bool {
	for _, f := range faults {
		for _, g := range f.Gears {
			if !w.spare[g] || f.Of == sim.DoesNotClose { // a chain that is too short stays a danger
				return false
			}
		}
	}
	return true
}

func (w *adviser) carried() *decide.Carried { return w.judging.Before().Carried }

// cures lists the changes that cure faults by a rule: free settings first, then those that take the faults
// below their level, then by cost.
func (w *adviser) cures(rule *decide.Rule, faults []decide.Named) (out []Advised) {
	w.judge()
	spared := faults[0].Told && w.spared(faults)
	for _, o := range w.options {
		r := w.remedy(o)
		var ok bool
		if r.Cure, ok = rule.Cure(&w.before, &o.is, faults, w.carried(), r.Cost, o.result.Surer); !ok || spared && !r.free() || r.touches() {
			continue
		}
		out = append(out, *r)
	}
	slices.SortStableFunc(out, func(a, b Advised) int {
		return cmp.Or(before(a.free(), b.free()), before(a.Cure.Below, b.Cure.Below),
			cmp.Compare(rule.Of(a.Cost), rule.Of(b.Cost)), cmp.Compare(b.Cure.Net, a.Cure.Net), cmp.Compare(a.Pick, b.Pick))
	})
	return out
}

// touches reports whether a change takes from a room that is too small then, be it that parts touched
// there before.
func (r *Advised) touches() bool {
	return slices.ContainsFunc(r.Known, func(k Kept) bool { return k.Touch > mostTouch })
}

// freeMinutes is the work of what is still a setting.
const freeMinutes = 15

// free reports whether a change costs nothing but some minutes.
func (r *Advised) free() bool { return r.Cost.Price == 0 && r.Cost.Minutes <= freeMinutes }

// before orders what is so before what is not.
func before(a, b bool) int {
	switch {
	case a && !b:
		return -1
	case b && !a:
		return 1
	}
	return 0
}

func (w *adviser) remedy(o option) *Advised {
	ch := w.cand.opts[o.pick].change
	r := &Advised{Name: w.cand.Plan.Options[o.pick].Name, Final: ch.Final, Pick: o.pick, Result: o.result}
	r.Cost = w.remedyCost(o)
	r.Rooms, r.Known = w.unmeasured(o.result.Bike), w.kept(o.result)
	return r
}

// remedyNamed returns a change by its name, whatever it does to chances; nil where there is none.
func (w *adviser) remedyNamed(name string) *Advised {
	w.judge()
	for _, o := range w.options {
		if w.cand.Plan.Options[o.pick].Name == name {
			r := w.remedy(o)
			t := w.judging.Before().Trouble
			r.Cure.Avoided = t.Sum - o.result.Trouble.Sum
			return r
		}
	}
	return nil
}
