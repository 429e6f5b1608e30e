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
	doc := show.FromSymptoms(c, b, symptoms)
	causes, err := c.Causes(b, symptoms)
	if err != nil {
		return show.Diagnosis{}, c.Explain(err)
	}
	doc.AddCauses(b, causes, len(c.Observations) > 0)
	return doc, addSuspects(&doc, c, b, r.Links, symptoms)
}

// addSuspects adds the causes by likelihood, and what moving the ring would do.
func addSuspects(doc *show.Diagnosis, c *cases.Case, b *sim.Bike, links int, symptoms []decide.Symptom) error {
	look, err := c.Outlook([]float64{0})
	if err != nil {
		return err
	}
	sets := look.Sets()
	w, err := decide.FindWalls(c.Work(), b, links)
	if err != nil {
		return c.Explain(err)
	}
	along, chances, err := c.Along(w, &decide.Usual)
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
		if err := measureNext(&doc.Findings[i], c, look, list, len(b.Cogs)); err != nil {
			return err
		}
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

// measureNext names what to measure for the likeliest cause of a symptom: the numbers that somebody can
// read and that spread its chance in those gears most.
func measureNext(f *show.FindingDoc, c *cases.Case, look *cases.Outlook, list []decide.Suspect, cogs int) error {
	if len(list) == 0 || len(list[0].Gears) == 0 {
		return nil
	}
	var gears []int
	for _, g := range list[0].Gears {
		gears = append(gears, g[0]*cogs+g[1])
	}
	by, err := look.Spread(func(k int) float64 { return look.Mean(k, gears, list[0].Concern) })
	if err != nil {
		return c.Explain(err)
	}
	for _, s := range by {
		if say.Measurable(s.Name) {
			f.Measure = append(f.Measure, s.Name)
		}
	}
	return nil
}
