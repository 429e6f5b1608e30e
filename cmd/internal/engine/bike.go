package engine

import (
	"context"
	"strconv"

	"chainpath/cases"
	"chainpath/sim"
)

// bike is what the page lets a hand enter: rings and cogs, and fields as the case says them.
type bike struct {
	Title     string  `json:"title"`
	Rings     []int   `json:"rings"`
	Cogs      []int   `json:"cogs"`
	Tensioner bool    `json:"tensioner"`
	Fields    []field `json:"fields"`
	Cassettes [][]int `json:"cassettes"` // that are usual, to choose from
}

// field is one that can be typed; empty: not said, and then what is usual stands.
type field struct {
	Path  string `json:"path"`
	Says  string `json:"says"`
	Usual string `json:"usual"`
	Unit  string `json:"unit"`
	Doc   string `json:"doc"`
}

// typed are the fields that can be typed, as text as in a case file.
var typed = []string{
	"front.line", "front.measured.tube_width", "front.measured.gap", "rear.line", "rear.measured.dropouts", "rear.measured.stack", "rear.measured.gap",
	"frame.stay", "frame.drop", "front.form", "rear.drive", "tyre.size", "tyre.width", "chainstay.gap", "tensioner.guide_teeth", "tensioner.tension_teeth", "tensioner.cage",
	"chain.slack", "load.torque", "load.cadence",
}

func bikeOf(c *cases.Case, b *sim.Bike) *bike {
	k := &bike{Title: c.Title, Tensioner: b.Tensioner != nil, Cassettes: cases.Cassettes()}
	for _, w := range b.Rings {
		k.Rings = append(k.Rings, w.Teeth)
	}
	for _, w := range b.Cogs {
		k.Cogs = append(k.Cogs, w.Teeth)
	}
	for _, p := range typed {
		f := field{Path: p, Says: c.Says(p)}
		_, _, f.Unit, f.Doc, _ = cases.Bounds(p) // what is chosen from a list has no bounds
		if v, err := c.Number(p); err == nil {
			f.Usual = strconv.FormatFloat(v, 'g', 5, 64)
		}
		k.Fields = append(k.Fields, f)
	}
	return k
}

// draft is what is said of a new bike, each as mybike takes it; empty: not known.
type draft struct {
	Title string `json:"title"`
	Rings string `json:"rings"`
	Cogs  string `json:"cogs"`
	Front string `json:"front"`
	Rear  string `json:"rear"`
	Stay  string `json:"stay"`
	Form  string `json:"form"`
	Tyre  string `json:"tyre"`
}

// start writes a case for a new bike.
func (a *answer) start(_ context.Context, q *request) error {
	d := cases.Draft{Title: q.Draft.Title, Tyre: q.Draft.Tyre}
	plain := func(set func(string) error) func(string) (string, error) {
		return func(s string) (string, error) { return "", set(s) }
	}
	for _, x := range []struct {
		answer string
		set    func(string) (string, error)
	}{{q.Draft.Rings, plain(d.SetRings)}, {q.Draft.Cogs, plain(d.SetCogs)}, {q.Draft.Front, d.SetFront}, {q.Draft.Rear, d.SetRear}, {q.Draft.Stay, d.SetStay}, {q.Draft.Form, d.SetForm}} {
		note, err := x.set(x.answer)
		if err != nil {
			return err
		}
		if note != "" {
			a.Notes = append(a.Notes, note)
		}
	}
	text, err := d.Write()
	a.YAML = string(text)
	return err
}

// measure tells a case's front or rear line anew.
func (a *answer) measure(ctx context.Context, q *request) error {
	c, err := a.read(ctx, q)
	if err != nil {
		return err
	}
	c, said, notes, err := c.Measure(q.Draft.Front, q.Draft.Rear)
	if err != nil {
		return err
	}
	a.Notes = notes
	text, err := cases.Keep([]byte(a.YAML), c, said)
	a.YAML = string(text)
	return err
}
