package cli

import (
	"math"
	"slices"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
)

// answerFigure works out the one figure of a bicycle, to be drawn.
func answerFigure(c *cases.Case, b *sim.Bike, r *sim.Result, doc *show.Gears) (*plots.Answer, error) {
	f, err := ask.Figure(c, b, r, doc)
	if err != nil {
		return nil, err
	}
	a := &plots.Answer{Title: f.Words, Second: f.Second, Quiet: f.Quiet, Climb: f.Climb, From: math.Inf(-1), To: math.Inf(1), FromBy: f.FromBy, ToBy: f.ToBy, Shapes: map[string]plots.Shape{}}
	for name, g := range f.Glyphs {
		a.Shapes[string(name)] = plots.Shape(g)
	}
	if f.From != nil {
		a.From = *f.From
	}
	if f.To != nil {
		a.To = *f.To
	}
	for _, w := range f.Rings {
		a.Rings = append(a.Rings, plots.AnswerRing{Teeth: w.Teeth, Line: w.Line})
	}
	for _, w := range f.Cogs {
		a.Cogs = append(a.Cogs, plots.AnswerCog{Teeth: w.Teeth, Line: w.Line, Radius: w.Radius})
	}
	for _, w := range f.Ways {
		way := plots.AnswerWay{Name: w.Name, Note: w.Note}
		for _, m := range w.Marks {
			way.Mark = append(way.Mark, plots.AnswerMark{
				Ring: slices.IndexFunc(f.Rings, func(x show.FigureRing) bool { return x.Teeth == m.RingTeeth }),
				Cog:  slices.IndexFunc(f.Cogs, func(x show.FigureCog) bool { return x.Teeth == m.CogTeeth }),
				Bend: m.Bend, Fits: m.Fits, Chance: m.Worst().Chance, Text: say.Percent(m.Worst().Chance), Mark: string(m.Worst().Mark), Words: m.Worst().Words, Curve: m.Curve,
			})
		}
		a.Ways = append(a.Ways, way)
	}
	return a, nil
}
