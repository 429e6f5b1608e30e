package engine

import (
	"context"
	"fmt"
	"slices"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
)

// learn puts observations into a case, or takes one out, and learns from what there is
// then: the answer is the case's text with both blocks, comments and readings kept.
func (a *answer) learn(ctx context.Context, q *request) error {
	text := cases.WithoutLearned([]byte(q.YAML))
	c, err := cases.Parse("case", text)
	if err != nil {
		return err
	}
	c = c.Within(ctx)
	if n := len(c.Observations); q.Drop > 0 {
		if q.Drop > n {
			return fmt.Errorf("request: drop %d of %d observations", q.Drop, n)
		}
		c.Observations = slices.Delete(c.Observations, q.Drop-1, q.Drop)
	}
	for _, line := range q.Seen {
		o, err := cases.ParseSeen(line)
		if err != nil {
			return err
		}
		if err := c.AddSeen(o); err != nil {
			return err
		}
	}
	a.Seen = observations(c)
	if len(c.Observations)+len(c.Symptoms) == 0 {
		a.YAML = string(cases.WithoutSeen(text))
		return nil
	}
	b, err := c.Bike()
	if err != nil {
		return err
	}
	l, err := c.Learn(show.Version, nil)
	if err != nil {
		return err
	}
	if a.Learned, err = show.FromLesson(l, b); err != nil {
		return err
	}
	a.Said = a.Learned.Said(mostSaid)
	whole, err := l.Text(text)
	a.YAML = string(whole)
	return err
}

// mostSaid is how many changed chances the page tells of.
const mostSaid = 5

func observations(c *cases.Case) (list []string) {
	for i := range c.Observations {
		list = append(list, c.Observations[i].String())
	}
	return list
}
