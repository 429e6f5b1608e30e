package main

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// symptomOf are the symptoms that claims are.
var symptomOf = map[claim]struct {
	what decide.Complaint
	way  sim.Direction
}{
	claimNoise: {decide.Noise, sim.Riding}, claimRideDrop: {decide.Drop, sim.Riding}, claimBackDrop: {decide.Drop, sim.Backwards},
	claimCogRub: {decide.RubsCog, sim.Riding}, claimRingRub: {decide.RubsRing, sim.Riding}, claimTyre: {decide.TyreMark, sim.Riding},
	claimSlack: {decide.LooseTop, sim.Backwards}, claimClose: {decide.Noise, sim.Riding}, claimCageRub: {decide.Noise, sim.Riding}, claimTooLong: {decide.LooseTop, sim.Riding},
}

// complaints are what a bicycle's sources say goes wrong, as complaints: by claim, in all its gears,
// and of shifts.
func (p *fieldBike) complaints() (out []cases.Complained) {
	out = []cases.Complained{}
	rings, cogs := p.Case.Front.Rings, p.Case.Rear.Cogs
	for _, c := range claims() {
		x := cases.Complained{Symptom: decide.Symptom{Complaint: symptomOf[c].what, Direction: symptomOf[c].way}}
		for k, of := range claimOf {
			if of == c {
				x.Behind = append(x.Behind, sim.Concern(k))
			}
		}
		for i, r := range rings {
			for j, t := range cogs {
				if yes, _, _ := p.Expected(c, r, t); yes {
					x.Gears = append(x.Gears, i*len(cogs)+j)
				}
			}
		}
		if len(x.Gears) > 0 {
			out = append(out, x)
		}
	}
	if p.shifts {
		out = append(out, cases.Complained{Symptom: decide.Symptom{Complaint: decide.SkipsInSome}, Shifts: true})
	}
	return out
}

// believed is a complaint of what the model believes most of a bicycle, in the gears where it does so.
func believed(c *cases.Case) ([]cases.Complained, error) {
	chances, err := c.Chances()
	if err != nil {
		return nil, err
	}
	most, of := 0.0, sim.Concern(0)
	for g := range chances {
		for k, p := range chances[g] {
			if p > most {
				most, of = p, sim.Concern(k)
			}
		}
	}
	x := cases.Complained{Behind: []sim.Concern{of}}
	for g := range chances {
		if chances[g][of] >= most-1e-9 {
			x.Gears = append(x.Gears, g)
		}
	}
	return []cases.Complained{x}, nil
}

// advised is the advice for a bicycle of the panel.
type advised struct {
	name, grade string
	cure        []string // that its source names
	*cases.Advice
	took time.Duration
}

// cured reports whether the advice is the cure that the source names, or one as strong.
func (a *advised) cured() bool {
	if a.Verdict == cases.AvoidGear {
		return slices.Contains(a.cure, "avoid")
	}
	if a.Do == nil || a.Verdict != cases.MakeChange && a.Verdict != cases.PutRight {
		return false
	}
	return slices.Contains(a.cure, kindOfChange(a.Do.Name))
}

// kindOfChange is a usual change's kind, by its name.
func kindOfChange(name string) string {
	for _, x := range [...]struct{ has, kind string }{
		{"hanger", "hanger"}, {"cable set", "cable"}, {"freehub", "freehub"}, {"even gaps", "cassette"}, {"cassette up to", "smaller_cassette"},
		{"tightened", "tension"}, {"front derailleur", "front_derailleur"}, {"new chain", "chain"}, {"tyre", "tyre"},
		{"cogs", "hub"}, {"-tooth", "ring"}, {"narrow-wide", "ring"}, {"longer cage", "cage"},
	} {
		if strings.Contains(name, x.has) {
			if x.kind == "hub" {
				return "hub_" + strings.Fields(name)[3]
			}
			return x.kind
		}
	}
	if strings.Contains(name, " inboard") {
		return "inboard"
	}
	return "outboard"
}

// adviseAll advises every bicycle; complain says what its owner tells, nil as nothing.
func (p *panel) adviseAll(rule decide.Rule, complain func(b *fieldBike) ([]cases.Complained, error), only func(b *fieldBike) bool) (out []advised, err error) {
	for _, b := range p.bikes {
		if b.Grade == "" || only != nil && !only(b) {
			continue
		}
		list := []cases.Complained{}
		if complain != nil {
			if list, err = complain(b); err != nil {
				return nil, err
			}
		}
		from := time.Now()
		a, err := b.Case.Advise(rule, nil, list)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", b.Name, err)
		}
		out = append(out, advised{b.Name, b.Grade, b.Cure, a, time.Since(from)})
	}
	return out, nil
}

func asTold(b *fieldBike) ([]cases.Complained, error) { return b.complaints(), nil }

func asBelieved(b *fieldBike) ([]cases.Complained, error) { return believed(b.Case) }

func good(b *fieldBike) bool { return b.Grade == "good" }

// tally counts verdicts by grade.
type tally struct {
	grade                                                                          string
	n, change, measure, right, avoid, look, leave, unexplained, same, cured, named int
}

func tallies(list []advised) (out []tally) {
	for _, grade := range []string{"good", "marginal", "bad"} {
		t := tally{grade: grade}
		for i := range list {
			a := &list[i]
			if a.grade != grade {
				continue
			}
			t.n++
			for _, x := range []struct {
				of *int
				is cases.Verdict
			}{{&t.change, cases.MakeChange}, {&t.measure, cases.MeasureLine}, {&t.right, cases.PutRight}, {&t.avoid, cases.AvoidGear}, {&t.look, cases.LookThere}, {&t.leave, cases.LeaveIt}, {&t.unexplained, cases.NotExplained}} {
				if a.Verdict == x.is {
					*x.of++
				}
			}
			if a.Same >= 0.8 {
				t.same++
			}
			if len(a.cure) > 0 {
				t.named++
				if a.cured() {
					t.cured++
				}
			}
		}
		out = append(out, t)
	}
	return out
}

// scoreAdvice prints what the rule says of the panel.
func scoreAdvice(w io.Writer, dir string) error {
	p, err := readPanel(dir)
	if err != nil {
		return err
	}
	blind := decide.UsualRule()
	blind.Readings = false
	for _, round := range []struct {
		title    string
		rule     decide.Rule
		complain func(b *fieldBike) ([]cases.Complained, error)
		only     func(b *fieldBike) bool
	}{
		{"complaints as the sources tell them", decide.UsualRule(), asTold, nil},
		{"the same, what reads wrong not looked at", blind, asTold, func(b *fieldBike) bool { return b.Grade == "bad" }},
		{"nothing complained of", decide.UsualRule(), nil, nil},
		{"good bicycles, complained of what the model believes most", decide.UsualRule(), asBelieved, good},
	} {
		list, err := p.adviseAll(round.rule, round.complain, round.only)
		if err != nil {
			return err
		}
		fmt.Fprintf(w, "%s\n%-9s %4s %7s %8s %10s %6s %5s %6s %12s %10s  %s\n", round.title, "grade", "all", "change", "measure", "put right", "avoid", "look", "leave", "unexplained", "same>=0.8", "cured as named")
		for _, t := range tallies(list) {
			if t.n > 0 {
				fmt.Fprintf(w, "%-9s %4d %7d %8d %10d %6d %5d %6d %12d %10d  %d of %d\n", t.grade, t.n, t.change, t.measure, t.right, t.avoid, t.look, t.leave, t.unexplained, t.same, t.cured, t.named)
			}
		}
		slowest := slices.MaxFunc(list, func(a, b advised) int { return int(a.took - b.took) })
		fmt.Fprintf(w, "slowest: %s, %.2f s\n", slowest.name, slowest.took.Seconds())
		for i := range list {
			a := &list[i]
			if a.Verdict == cases.LeaveIt && len(a.cure) == 0 && a.Same >= 0.8 {
				continue
			}
			do := ""
			if a.Do != nil {
				do = fmt.Sprintf("%s (%.0f, %.0f min; left %.2f, net %.0f)", a.Do.Name, a.Do.Cost.Price, a.Do.Cost.Minutes, a.Do.Cure.Left, a.Do.Cure.Net)
			}
			mark := ""
			if len(a.cure) > 0 {
				mark = fmt.Sprintf("cure %s: %t", strings.Join(a.cure, ","), a.cured())
			}
			fault := ""
			for _, f := range a.Faults {
				fault += fmt.Sprintf("%s %.2f ", f.Of, f.Most)
			}
			fmt.Fprintf(w, "  %-4s %-8s %-13s same %.2f  %s %s %s\n", a.name, a.grade, a.Verdict, a.Same, fault, do, mark)
		}
		fmt.Fprintln(w)
	}
	return nil
}
