package engine

import (
	"context"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// card is a change that would help, with the case as it would then be.
type card struct {
	Name   string         `json:"name"`
	Price  float64        `json:"price"` // without a catalogue the usual one
	Best   show.PartsBest `json:"best"`
	Better []show.Changed `json:"better"` // gears that change most, for the better
	Lines  []string       `json:"lines"`  // what it costs and does, what gets likelier
	Worse  int            `json:"worse"`  // how many of the last lines say what gets likelier
	Option string         `json:"option"` // the same in short, for a report
	YAML   string         `json:"yaml"`
}

// most is how many cards there are, and how many combinations are looked at.
const (
	mostCards        = 6
	mostCombinations = 20000
)

// parts looks for what would help, from a catalogue or of what is usually changed.
func (a *answer) parts(ctx context.Context, q *request) error {
	c, err := a.read(ctx, q)
	if err != nil {
		return err
	}
	s, found, err := judged(ctx, c, q.Catalogue)
	if err != nil {
		return err
	}
	doc := show.Parts{Before: show.ScoreOf(s.Judging.Before())}
	a.Before = &doc.Before
	for i := range found.Best {
		best := found.Doc(s, i)
		doc.Best = append(doc.Best, best)
		asItIs := len(best.Changes) == 0
		if asItIs && i > 0 { // what is no better than the bike as it is helps nothing
			break
		}
		x := card{Name: best.Name(), Price: best.Price, Best: best, Better: []show.Changed{}}
		if len(a.Cards) == mostCards {
			continue
		}
		e := found.Expected[found.Best[i].Index]
		x.Better = show.Better(e, s.Judging.Before())
		change := best.Change(x.Better, true)
		change.Usual = q.Catalogue == ""
		x.Lines, x.Worse, x.Option = change.Lines(), change.Worse(), change.Option()
		text, err := cases.Keep([]byte(a.YAML), e.Case, nil)
		if err != nil {
			return err
		}
		x.YAML = string(text)
		a.Cards = append(a.Cards, x)
		if asItIs {
			break
		}
	}
	if q.Catalogue == "" {
		return a.byRule(c, s)
	}
	rule := decide.UsualRule()
	a.Advice = say.Together(show.PartsWords(&doc, s.Judging.Before(), &decide.Usual, true, rule.Pays(len(c.Symptoms) > 0)), show.LeftOutWords(show.LeftOutOf(s.LeftOut), len(s.LeftOut)))
	return nil
}

// byRule says what to do where there is no catalogue, as fix does.
func (a *answer) byRule(c *cases.Case, s *ask.Screened) error {
	found, err := c.Advise(decide.UsualRule(), nil, nil)
	if err != nil {
		return c.Explain(err)
	}
	d, err := show.FromAdvice(found, c, s.Judging.Before().Bike)
	if err != nil {
		return err
	}
	a.Advice = d.Answer
	return nil
}

// judged are a catalogue's combinations, or without one what is usually changed, one at a time.
func judged(ctx context.Context, c *cases.Case, catalogue string) (*ask.Screened, *ask.Looked, error) {
	if catalogue == "" {
		cat, err := c.UsualChanges(nil)
		if err != nil {
			return nil, nil, err
		}
		return ask.LookAtEach(c, cat, &decide.Usual)
	}
	cat, err := cases.ParseCatalogue("catalogue", []byte(catalogue))
	if err != nil {
		return nil, nil, err
	}
	all := func(sim.Concern) bool { return true }
	s, err := ask.Screen(ctx, c, cat, all, &decide.Usual, mostCombinations, nil)
	if err != nil {
		return nil, nil, err
	}
	if s.Partial {
		return nil, nil, context.Canceled
	}
	found := s.Look()
	return &s, &found, nil
}

// next ranks what can be tried or measured first.
func (a *answer) next(ctx context.Context, q *request) error {
	c, err := a.read(ctx, q)
	if err != nil {
		return err
	}
	a.Next, err = ask.NextOfLine(c, &decide.Usual, ask.Effort)
	return c.Explain(err)
}

// diagnose looks for what is behind the case's symptoms.
func (a *answer) diagnose(ctx context.Context, q *request) error {
	c, b, r, err := a.evaluated(ctx, q)
	if err != nil {
		return err
	}
	d, err := ask.Diagnose(c, b, r)
	if len(d.Findings) > 0 {
		a.Diagnosis = &d
	}
	return err
}

// compare puts the case beside another, which was before.
func (a *answer) compare(ctx context.Context, q *request) error {
	var sets []show.SetUp
	for i, text := range []string{q.Before, q.YAML} {
		c, b, r, err := a.evaluated(ctx, &request{YAML: text})
		if err != nil {
			return err
		}
		s, err := show.NewSetUp([]string{"before", "now"}[i], c, b, r)
		if err != nil {
			return err
		}
		sets = append(sets, s)
	}
	d, err := show.FromSetUps(sets, &decide.Usual)
	if err != nil {
		return err
	}
	a.Compared, a.Said = &d, []string{d.Since()}
	return nil
}

// shifts tells how a bike with a derailleur shifts; nothing for one without.
func (a *answer) shifts(ctx context.Context, q *request) error {
	c, b, r, err := a.evaluated(ctx, q)
	if err != nil || b.Tensioner == nil || len(b.Cogs) < 2 {
		return err
	}
	got, err := c.Shifting()
	if err != nil {
		return c.Explain(err)
	}
	a.Shifting = show.FromShifting(got, nil, c, b, r)
	return nil
}
