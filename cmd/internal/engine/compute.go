package engine

import (
	"context"
	"math"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// input is a number of the case that the page has a slider for.
type input struct {
	Path  string  `json:"path"`
	Value float64 `json:"value"`
	Unit  string  `json:"unit"`
	Lo    float64 `json:"lo"`
	Hi    float64 `json:"hi"`
	Doc   string  `json:"doc"`
}

// controls are the fields that the page has sliders for.
var controls = []string{
	"front.line", "frame.stay", "rear.line", "front.rings[0]", "chain.slack", "load.torque", "tyre.width",
}

// read parses a request's case, to be worked on within the context, and makes its edits; the answer's text is that of the case
// then, what did not change as it stood.
func (a *answer) read(ctx context.Context, q *request) (*cases.Case, error) {
	c, err := cases.Parse("case", []byte(q.YAML))
	if err != nil {
		return nil, err
	}
	said := map[string]string{}
	for _, e := range q.Edits {
		said[e.Path] = e.Value
		if e.Value == "" {
			c, err = c.Unset(e.Path)
		} else {
			c, err = c.Set(e.Path, e.Value)
		}
		if err != nil {
			return nil, err
		}
	}
	a.YAML = q.YAML
	if len(q.Edits) > 0 {
		text, err := cases.Keep([]byte(q.YAML), c, said)
		if err != nil {
			return nil, err
		}
		a.YAML = string(text)
	}
	return c.Within(ctx), nil
}

// evaluated is a case with its bike and what each gear does.
func (a *answer) evaluated(ctx context.Context, q *request) (*cases.Case, *sim.Bike, *sim.Result, error) {
	c, err := a.read(ctx, q)
	if err != nil {
		return nil, nil, nil, err
	}
	b, err := c.Bike()
	if err != nil {
		return nil, nil, nil, err
	}
	r, err := b.Evaluate()
	return c, b, r, c.Explain(err)
}

func (a *answer) compute(ctx context.Context, q *request) error {
	c, b, r, err := a.evaluated(ctx, q)
	if err != nil {
		return err
	}
	a.Seen, a.Bike, a.Hazards, a.Small = observations(c), bikeOf(c, b), hazards(), say.SmallWords()
	doc, err := documentOf(c, b, r)
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	a.Document, a.Shape = doc, shapeOf(b, r)
	if q.Space {
		a.Space = spaceOf(b, r, doc, q.Ring, q.Cog)
	}
	if a.Inputs, err = inputs(c, b); err != nil {
		return err
	}
	if from := takeRest(q.YAML); from != nil && len(q.Edits) == 1 && q.Drag {
		if err := a.moved(ctx, q, from); err != nil {
			return err
		}
	}
	if q.Chances {
		from, err := restOf(c, a.YAML, r)
		if err != nil {
			return err
		}
		if a.Figure, err = picture(from.s, r, doc, from.ground); err != nil {
			return err
		}
		from.keep()
	} else if q.Window && !q.Quick {
		if err := doc.AddChances(c, b, r); err != nil {
			return err
		}
	}
	if q.Chances || q.Window && !q.Quick {
		warned, err := c.Warnings()
		if err != nil {
			return err
		}
		for _, w := range warned {
			a.Warnings = append(a.Warnings, w.Words)
		}
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if !q.Window {
		return nil
	}
	w, err := decide.FindWalls(c.Work(), b, r.Links)
	if err != nil {
		return c.Explain(err)
	}
	along, chances, err := c.Along(w, &decide.Usual)
	if err != nil {
		return c.Explain(err)
	}
	window := show.FromWindow(c, b, w, along, chances)
	window.AddMap(b, along.Map(chances))
	a.Window = &window
	return nil
}

// inputs are the sliders' numbers; what the case cannot move has none.
func inputs(c *cases.Case, b *sim.Bike) (list []input, err error) {
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
			lo, hi, unit, about, err = 9, 80, "teeth", "teeth of the smallest chainring", nil
		}
		if err != nil {
			return nil, err
		}
		if _, err := c.Set(p, cases.Q(math.Round(v*1000)/1000).String()); err != nil {
			continue // a sibling says it, which this would contradict
		}
		list = append(list, input{p, math.Round(v*1000) / 1000, unit, lo, hi, about})
	}
	return list, nil
}
