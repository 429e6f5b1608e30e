package ask

import (
	"fmt"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// NextOfLine weighs what can be tried or measured first, before the ring is put anywhere
// between the walls. An effort is what trouble moving it must avoid to be worth its work.
func NextOfLine(c *cases.Case, weights *decide.Weights, effort float64) (*show.Next, error) {
	w, err := c.Walls()
	if err != nil {
		return nil, err
	}
	walls := w.Along(nil, weights)
	names, do, shifts := []string{fmt.Sprintf("chainring as it is, at %.1f mm", w.Front)}, []string{say.StayAt(w.Front)}, []float64{0}
	for _, x := range cases.LinesAlong(w) {
		if x >= walls.From && x <= walls.To && x != w.Front {
			names, do, shifts = append(names, fmt.Sprintf("chainring at %.1f mm", x)), append(do, say.MoveTo(x)), append(shifts, x-w.Front)
		}
	}
	look, err := c.Outlook(shifts)
	if err != nil {
		return nil, err
	}
	choice, err := look.Choice(weights)
	if err != nil {
		return nil, err
	}
	return weigh(c, look, choice, names, do, effort)
}

// NextOfParts weighs the same before one of a catalogue's changes is made.
func NextOfParts(c *cases.Case, p *Screened, effort float64) (*show.Next, error) {
	found := p.Look()
	names, do, list := []string{say.AsItIs}, []string{say.Make("")}, []*cases.Expected{p.Judging.Before()}
	for i := range found.Best {
		if x := &found.Best[i]; len(x.Picks) > 0 {
			d := found.Doc(p, i)
			names, do, list = append(names, d.Name()), append(do, say.Make(d.Name())), append(list, found.Expected[x.Index])
		}
	}
	look, err := c.Outlook([]float64{0})
	if err != nil {
		return nil, err
	}
	return weigh(c, look, cases.Choice(list), names, do, effort)
}

func weigh(c *cases.Case, look *cases.Outlook, choice *decide.Choice, names, do []string, effort float64) (*show.Next, error) {
	if err := choice.Valid(); err != nil {
		return nil, err
	}
	tests, err := look.Tests()
	if err != nil {
		return nil, err
	}
	d, err := show.FromTests(c.Title, choice, names, do, effort, tests)
	if err != nil {
		return nil, err
	}
	if err := addCauses(d, c); err != nil || !d.Enough {
		return d, err
	}
	if u, err := unmeasured(c, look); err != nil {
		return nil, err
	} else if u != nil {
		d.AddUnmeasured(u)
	}
	return d, nil
}

// addCauses adds what may be behind what was told to go wrong.
func addCauses(d *show.Next, c *cases.Case) error {
	b, err := c.Bike()
	if err != nil {
		return err
	}
	symptoms, _, err := c.Told(b)
	if err != nil || len(symptoms) == 0 {
		return err
	}
	causes, err := c.Causes(b, symptoms)
	if err != nil {
		return err
	}
	d.AddCauses(b, causes)
	return nil
}

// unmeasured returns the number that can be measured, nobody did, and spreads the chance most in doubt more than
// others such; nil where there is none.
func unmeasured(c *cases.Case, look *cases.Outlook) (*say.Unmeasured, error) {
	chances, err := c.Chances()
	if err != nil {
		return nil, err
	}
	most, err := look.Doubtful(chances)
	if err != nil || most == nil {
		return nil, err
	}
	for _, s := range most.By {
		if c.Unmeasured(s.Name) && say.Measurable(s.Name) {
			return &say.Unmeasured{Path: s.Name, Share: s.Share, Fault: sim.Hazards[most.Concern].Words}, nil
		}
	}
	return nil, nil
}
