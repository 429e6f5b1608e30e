// Package engine answers the page's questions with the code of the command line, in the
// server of the page or compiled to WebAssembly. Everything goes through one function from JSON to
// JSON, so that it can be tested without a browser.
package engine

import (
	"context"
	"encoding/json"
	"fmt"
	"math"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// request is what the page asks.
type request struct {
	Op    string `json:"op"`   // shipped, text, compute, learn
	Name  string `json:"name"` // of a shipped case, for text
	YAML  string `json:"yaml"`
	Edits []edit `json:"edits"`
	// Window asks for the line window, which takes longer.
	Window bool `json:"window"`
	// Seen are further observations, for learn, as the command's --seen takes them; Drop is
	// the number of one that is in the case already and is to go, from 1 on.
	Seen []string `json:"seen"`
	Drop int      `json:"drop"`
}

type edit struct {
	Path  string `json:"path"`
	Value string `json:"value"`
}

// answer is what it gets.
type answer struct {
	Error    string       `json:"error,omitempty"`
	Cases    []named      `json:"cases,omitempty"`
	YAML     string       `json:"yaml,omitempty"`
	Document *show.Gears  `json:"document,omitempty"`
	Shape    *shape       `json:"shape,omitempty"`
	Inputs   []input      `json:"inputs,omitempty"`
	Window   *show.Window `json:"window,omitempty"`
	// Learned is what the observations teach; nothing where none are left.
	Learned *show.Learning `json:"learned,omitempty"`
	// Seen are the case's observations, as --seen takes them.
	Seen []string `json:"seen,omitempty"`
}

type named struct {
	Name  string `json:"name"`
	Title string `json:"title"`
}

// input is a number of the case that the page has a control for.
type input struct {
	Path  string  `json:"path"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Lo    float64 `json:"lo"`
	Hi    float64 `json:"hi"`
	Doc   string  `json:"doc"`
}

// controls are the fields that the page has controls for.
var controls = []string{
	"front.line", "frame.stay", "rear.line", "front.rings[0]", "chain.slack", "load.torque", "tyre.width",
}

// Answer answers a request in JSON with JSON. What is wrong comes back as error, in
// the words of the command line. When the context ends, so does the work at its next stage.
func Answer(ctx context.Context, text []byte) []byte {
	var q request
	a := answer{}
	if err := json.Unmarshal(text, &q); err != nil {
		a.Error = "request: " + err.Error()
	} else if err := a.fill(ctx, &q); err != nil {
		a = answer{Error: err.Error()}
	}
	out, err := json.Marshal(a)
	if err != nil { // a number that is not finite would be an error of ours
		out, _ = json.Marshal(answer{Error: err.Error()})
	}
	return out
}

func (a *answer) fill(ctx context.Context, q *request) error {
	switch q.Op {
	case "shipped":
		for _, n := range cases.Shipped() {
			c, err := cases.Load(n, nil)
			if err != nil {
				return err
			}
			a.Cases = append(a.Cases, named{n, c.Title})
		}
		return nil
	case "text":
		text, err := cases.ShippedText(q.Name)
		a.YAML = string(text)
		return err
	case "compute":
		return a.compute(ctx, q)
	case "learn":
		return a.learn(q)
	}
	return fmt.Errorf("request: no op %q", q.Op)
}

func (a *answer) compute(ctx context.Context, q *request) error {
	c, err := cases.Parse("case", []byte(q.YAML))
	if err != nil {
		return err
	}
	for _, e := range q.Edits {
		if c, err = c.Set(e.Path, e.Value); err != nil {
			return err
		}
	}
	a.YAML = q.YAML
	if len(q.Edits) > 0 {
		text, err := cases.Format(c)
		if err != nil {
			return err
		}
		a.YAML = string(text)
	}
	a.Seen = observations(c)
	b, err := c.Bike()
	if err != nil {
		return err
	}
	r, err := b.Evaluate()
	if err != nil {
		return c.Explain(err)
	}
	shares, err := c.Shares(b)
	if err != nil {
		return err
	}
	doc, err := show.FromResult(c, b, r, shares)
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if q.Window { // with what takes longer
		if err := doc.AddChances(c, b, r); err != nil {
			return err
		}
	}
	a.Document, a.Shape = &doc, shapeOf(b, r)
	for _, p := range controls {
		if p == "tyre.width" && b.Tyre == nil {
			continue
		}
		v, err := c.Number(p)
		if err != nil {
			continue // not on this bike
		}
		lo, hi, unit, about, err := cases.Bounds(p)
		if p == "front.rings[0]" {
			lo, hi, unit, about, err = 9, 80, "teeth", "teeth of the smallest ring", nil
		}
		if err != nil {
			return err
		}
		a.Inputs = append(a.Inputs, input{p, math.Round(v*1000) / 1000, unit, lo, hi, about})
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if q.Window {
		w, err := decide.FindWindow(b, r.Links)
		if err != nil {
			return c.Explain(err)
		}
		along, chances, err := c.Along(w, &b.Load, &decide.Usual)
		if err != nil {
			return c.Explain(err)
		}
		doc := show.FromWindow(c, b, w, nil, along)
		doc.AddMap(b, along.Map(chances))
		a.Window = &doc
	}
	return nil
}

// shape is what the views draw, mm: x forward, y to the drive side, z up.
type shape struct {
	Pitch float64     `json:"pitch"`
	Axle  [2]float64  `json:"axle"` // x, z
	Rings []disc      `json:"rings"`
	Cogs  []disc      `json:"cogs"`
	Tyre  *tyre       `json:"tyre"`
	Stay  *stay       `json:"stay"`
	Gears []gearShape `json:"gears"`
}

type disc struct {
	Teeth int     `json:"teeth"`
	Line  float64 `json:"line"`
	Pitch float64 `json:"pitch"` // radius
	Tip   float64 `json:"tip"`   // radius
	Thick float64 `json:"thick"`
}

type tyre struct {
	Outside float64 `json:"outside"` // radius
	Width   float64 `json:"width"`
	Dish    float64 `json:"dish"`
}

type stay struct {
	Face  float64 `json:"face"`
	At    float64 `json:"at"`
	Slope float64 `json:"slope"`
}

// gearShape is a gear's loop in riding order.
type gearShape struct {
	Wheels []wheelShape `json:"wheels"`
	Spans  [][4]float64 `json:"spans"` // x, z of both ends
}

type wheelShape struct {
	Part  string  `json:"part"`
	X     float64 `json:"x"`
	Z     float64 `json:"z"`
	R     float64 `json:"r"`
	Sense int     `json:"sense"` // +1 anticlockwise seen from the drive side
	Wrap  float64 `json:"wrap"`  // rad
	Line  float64 `json:"line"`
}

func shapeOf(b *sim.Bike, r *sim.Result) *shape {
	p := b.Chain.Pitch
	x, z := b.Frame.Axle()
	s := &shape{Pitch: p, Axle: [2]float64{x, z}}
	discs := func(w []sim.Wheel) (out []disc) {
		for _, d := range w {
			out = append(out, disc{d.Teeth, d.Line, d.PitchRadius(p), d.TipRadius(p), d.Thickness()})
		}
		return out
	}
	s.Rings, s.Cogs = discs(b.Rings), discs(b.Cogs)
	if t := b.Tyre; t != nil {
		s.Tyre = &tyre{t.OutsideDiameter() / 2, t.Width, t.Dish}
	}
	if t := b.Stay; t != nil {
		s.Stay = &stay{t.Face, t.Radius, math.Tan(t.Angle)}
	}
	for i := range r.Gears {
		l := &r.Gears[i].Loop
		g := gearShape{}
		for _, k := range l.Path() {
			w, sp := l.Wheels[k], l.Spans[k]
			g.Wheels = append(g.Wheels, wheelShape{k.String(), w.Centre.X, w.Centre.Y, w.Radius, int(w.Sense), l.Wraps[k], l.Line[k]})
			g.Spans = append(g.Spans, [4]float64{sp.From.X, sp.From.Y, sp.To.X, sp.To.Y})
		}
		s.Gears = append(s.Gears, g)
	}
	return s
}
