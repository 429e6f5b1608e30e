package ask

import (
	"fmt"
	"runtime"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim/decide"
)

// NextOfLine weighs what can be tried or measured first, before the ring is put anywhere
// between the walls. An effort is what trouble moving it must avoid to be worth its work.
func NextOfLine(c *cases.Case, weights *decide.Weights, effort float64) (*show.Next, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, err
	}
	links, err := b.ChooseLinks()
	if err != nil {
		return nil, err
	}
	w, err := decide.FindWindowWithin(c.Work(), b, links)
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
	look, err := c.Outlook(nil, shifts)
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
	look, err := c.Outlook(nil, []float64{0})
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
	if err != nil || !d.Enough {
		return d, err
	}
	u, err := unmeasured(c)
	if err == nil && u != nil {
		d.AddUnmeasured(u)
	}
	return d, err
}

// The draws of a doubt, as accuracy makes them where nothing else is said.
const doubtDraws, doubtSeed = 1000, 1

// unmeasured returns what of a case is assumed and has most of the doubt about the limit that is
// most in doubt; nil where that is a reading.
func unmeasured(c *cases.Case) (*say.Unmeasured, error) {
	b, err := c.Bike()
	if err != nil {
		return nil, err
	}
	links, err := b.ChooseLinks()
	if err != nil {
		return nil, err
	}
	u, err := c.Uncertain()
	if err != nil {
		return nil, err
	}
	d, err := decide.Propagate(c.Work(), func() decide.Maker { return u.Vary().Bike }, u.Inputs, links, doubtDraws, doubtSeed, runtime.NumCPU(), nil)
	if err != nil || d.Gear < 0 {
		return nil, err
	}
	for _, s := range d.Shares {
		if s.OnDoubt > 0.5 && c.Unmeasured(s.Input.Name) {
			return &say.Unmeasured{Path: s.Input.Name, Share: s.OnDoubt}, nil
		}
	}
	return nil, nil
}
