package engine

import (
	"context"
	"fmt"
	"slices"
	"sync"

	"chainpath/cases"
	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
)

// rest is a case with its drawn bikes and what stands behind its figure, from where a dimension is dragged. For one
// goroutine at a time.
type rest struct {
	text   string
	s      *cases.Settled
	by     *cases.Settled // what is dragged is judged by: the case, or where its doubts are others the first place it was dragged to
	ground *ask.Ground    // of by, where that has the case's dimensions but for the front chainline; else nil
}

// mostRests is how many are kept: of as many bikes that somebody may be dragging at once.
const mostRests = 4

// rests are those used last, the last one at the end, while nobody works with them.
var rests struct {
	sync.Mutex
	list []*rest
}

// takeRest takes that of a case out of those kept; nil where it is not kept.
func takeRest(text string) *rest {
	rests.Lock()
	defer rests.Unlock()
	at := slices.IndexFunc(rests.list, func(r *rest) bool { return r.text == text })
	if at < 0 {
		return nil
	}
	r := rests.list[at]
	rests.list = slices.Delete(rests.list, at, at+1)
	return r
}

// keep puts one among those kept, in the place of another of the same case.
func (r *rest) keep() {
	rests.Lock()
	defer rests.Unlock()
	rests.list = slices.DeleteFunc(rests.list, func(x *rest) bool { return x.text == r.text })
	if len(rests.list) == mostRests {
		rests.list = slices.Delete(rests.list, 0, 1)
	}
	rests.list = append(rests.list, r)
}

// restOf settles a case that has such a result.
func restOf(c *cases.Case, text string, result *sim.Result) (*rest, error) {
	s, err := c.Settle()
	if err != nil {
		return nil, err
	}
	g, err := ask.GroundOf(s, result)
	return &rest{text, s, s, g}, c.Explain(err)
}

// picture is the document with chances of a settled case and its figure, before a ground.
func picture(s *cases.Settled, r *sim.Result, doc *show.Gears, ground *ask.Ground) (*show.Figure, error) {
	seen, err := s.Foresee()
	if err != nil {
		return nil, err
	}
	if err := doc.AddForeseen(s.Case, s.Bike, r, seen); err != nil {
		return nil, err
	}
	return ground.Figure(s.Case, s.Bike, r, doc), nil
}

// drag answers for a case with one of its dimensions elsewhere: gears with chances, shape and figure, by the bikes that
// were drawn of the case as it stands.
func (a *answer) drag(ctx context.Context, q *request) error {
	if len(q.Edits) != 1 {
		return fmt.Errorf("request: %d edits, want 1", len(q.Edits))
	}
	from := takeRest(q.YAML)
	if from == nil {
		c, _, r, err := (&answer{}).evaluated(ctx, &request{YAML: q.YAML})
		if err != nil {
			return err
		}
		if from, err = restOf(c, q.YAML, r); err != nil {
			return err
		}
	}
	return a.moved(ctx, q, from)
}

// moved answers so from a case at rest, which is kept then.
func (a *answer) moved(ctx context.Context, q *request, from *rest) error {
	defer from.keep()
	e := q.Edits[0]
	s, err := from.s.Moved(ctx, e.Path, e.Value, from.by)
	if err != nil {
		return err
	}
	r, err := s.Bike.Evaluate()
	if err != nil {
		return s.Case.Explain(err)
	}
	if a.Document, err = documentOf(s.Case, s.Bike, r); err != nil {
		return err
	}
	a.Shape = shapeOf(s.Bike, r)
	along, own := e.Path == "front.line", !s.Same(from.by)
	var ground *ask.Ground
	if along && !own && from.ground != nil {
		ground = from.ground.Moved(s.Bike.FrontLine() - from.by.Bike.FrontLine())
	} else if ground, err = ask.GroundOf(s, r); err != nil {
		return s.Case.Explain(err)
	}
	if own {
		from.by, from.ground = s, nil
		if along {
			from.ground = ground
		}
	}
	if a.Figure, err = picture(s, r, a.Document, ground); err != nil {
		return s.Case.Explain(err)
	}
	if q.Space {
		a.Space = spaceOf(s.Bike, r, a.Document, q.Ring, q.Cog)
	}
	return nil
}

// documentOf returns the document of a result without chances.
func documentOf(c *cases.Case, b *sim.Bike, r *sim.Result) (*show.Gears, error) {
	shares, err := c.Shares(b)
	if err != nil {
		return nil, err
	}
	doc, err := show.FromResult(c, b, r, shares)
	return &doc, err
}
