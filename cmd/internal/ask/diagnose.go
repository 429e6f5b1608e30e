package ask

import (
	"slices"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/cmd/internal/show"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Diagnose looks for what can be behind what was seen to go wrong; no findings where nothing was.
func Diagnose(c *cases.Case, b *sim.Bike, r *sim.Result) (show.Diagnosis, error) {
	symptoms, _, err := c.Told(b)
	if err != nil || len(symptoms) == 0 {
		return show.Diagnosis{}, err
	}
	u, err := c.Uncertain()
	if err != nil {
		return show.Diagnosis{}, err
	}
	f, err := decide.Diagnose(func() decide.Maker {
		make := u.Vary().Bike
		return func(x []float64) (*sim.Bike, error) {
			if err := c.Stopped(); err != nil {
				return nil, err
			}
			return make(x)
		}
	}, u.Inputs, r.Links, symptoms)
	if err != nil {
		return show.Diagnosis{}, c.Explain(err)
	}
	doc := show.FromFindings(c, b, f)
	return doc, addSuspects(&doc, c, b, r.Links, symptoms)
}

// addSuspects adds the causes by likelihood, and what moving the ring would do.
func addSuspects(doc *show.Diagnosis, c *cases.Case, b *sim.Bike, links int, symptoms []decide.Symptom) error {
	sets, err := c.ChancesBySet(&b.Load)
	if err != nil {
		return err
	}
	w, err := decide.FindWindowWithin(c.Work(), b, links)
	if err != nil {
		return c.Explain(err)
	}
	along, chances, err := c.Along(w, &b.Load, &decide.Usual)
	if err != nil {
		return err
	}
	ofShifts := false
	var of []int
	var ofLine []decide.Symptom
	for i, s := range symptoms {
		if slices.Contains(decide.OfShifts, s.Complaint) {
			ofShifts = true
			continue
		}
		list, outside := decide.Suspects(sets, s, len(b.Cogs))
		doc.Findings[i].AddSuspects(b, list, outside, along, chances)
		of, ofLine = append(of, i), append(ofLine, s)
	}
	one, ok := decide.Together(sets, ofLine, len(b.Cogs), say.FromEither)
	doc.AddTogether(of, one, ok)
	if !ofShifts {
		return nil
	}
	got, err := c.Shifting()
	if err != nil {
		return c.Explain(err)
	}
	doc.AddShifting(b, got)
	return nil
}
