package show

import (
	"fmt"
	"math"

	"chainpath/sim"
	"chainpath/sim/decide"
)

// Along is the trouble to be expected along the front line, between the hard walls.
type Along struct {
	From     *float64           `json:"from_mm"`
	FromBy   string             `json:"from_by"`
	To       *float64           `json:"to_mm"`
	ToBy     string             `json:"to_by"`
	Best     *float64           `json:"best_mm"`
	GoodFrom *float64           `json:"good_from_mm"`
	GoodTo   *float64           `json:"good_to_mm"`
	Weights  map[string]float64 `json:"weights"`
	Places   []Place            `json:"places"`
}

// Place is one front line: shares of time in gears that have a concern, 0 to 1, and their
// sum by the weights.
type Place struct {
	Line    float64            `json:"front_line_mm"`
	Shares  map[string]float64 `json:"shares"`
	Trouble float64            `json:"trouble"`
}

func share(x float64) float64 { return math.Round(x*1e4) / 1e4 }

func fromAlong(a *decide.Along) *Along {
	d := &Along{
		From: optional(!math.IsInf(a.From, 0), a.From), FromBy: a.FromBy,
		To: optional(!math.IsInf(a.To, 0), a.To), ToBy: a.ToBy,
		Weights: map[string]float64{},
	}
	if a.Best >= 0 {
		d.Best = optional(true, a.Places[a.Best].Line)
		d.GoodFrom, d.GoodTo = optional(true, a.Places[a.Flat[0]].Line), optional(true, a.Places[a.Flat[1]].Line)
	}
	for k, w := range a.Weights {
		d.Weights[sim.Concern(k).String()] = w
	}
	for _, p := range a.Places {
		x := Place{Line: round(p.Line), Shares: map[string]float64{}, Trouble: share(p.Sum)}
		for k, s := range p.By {
			x.Shares[sim.Concern(k).String()] = share(s)
		}
		d.Places = append(d.Places, x)
	}
	return d
}

// AlongHeader names the columns of the window command's CSV with --along.
var AlongHeader = alongHeader()

func alongHeader() []string {
	h := []string{"front_line_mm"}
	for k := range sim.NumConcerns {
		h = append(h, sim.Concern(k).String())
	}
	return append(h, "trouble")
}

// Rows returns the CSV rows, one a front line.
func (d *Along) Rows() (rows [][]string) {
	for _, p := range d.Places {
		row := []string{fmt.Sprint(p.Line)}
		for k := range sim.NumConcerns {
			row = append(row, fmt.Sprint(p.Shares[sim.Concern(k).String()]))
		}
		rows = append(rows, append(row, fmt.Sprint(p.Trouble)))
	}
	return rows
}

// alongTable prints the answer by chances.
func alongTable(p *printer, a *decide.Along) {
	p.printf("%s\n%s\n\n", Wrap(alongWords(a), 80), Wrap(wallWords(a), 80))
	t := &Table{
		Head: [][]string{
			{"front", "noise", "off", "off", "next", "next", "tyre", "top", "trouble", ""},
			{"line", "", "riding", "back", "cog", "ring", "", "slack", "", ""},
			{"mm", "%", "%", "%", "%", "%", "%", "%", "", ""},
		},
		Left: map[int]bool{9: true},
	}
	var has [sim.NumConcerns]bool // there is such a thing on this bike
	for _, x := range a.Places {
		for k, share := range x.By {
			has[k] = has[k] || share > 0
		}
	}
	for i, x := range a.Places {
		row := []string{fmt.Sprintf("%.1f", x.Line)}
		for _, k := range []sim.Concern{sim.NoiseRiding, sim.DropRiding, sim.DropBackwards, sim.RubsNextCog, sim.RubsNextRing, sim.RubsTyreAt, sim.TopSlackBackwards} {
			if !has[k] {
				row = append(row, "-")
				continue
			}
			row = append(row, fmt.Sprintf("%.1f", 100*x.By[k]))
		}
		row = append(row, fmt.Sprintf("%.2f", x.Sum), mark(a, i))
		t.Rows = append(t.Rows, row)
	}
	p.write(t.Write)
	p.printf("\n%s\n\n", Wrap("% of time in gears that have it, by chances over the drawn sets; trouble is their sum by weights ("+weightWords(&a.Weights)+").", 80))
}

func mark(a *decide.Along, i int) string {
	x := a.Places[i].Line
	switch {
	case i == a.Today && i == a.Best:
		return "today, best"
	case i == a.Today:
		return "today"
	case i == a.Best:
		return "best"
	case x < a.From:
		return wallName(a.FromBy)
	case x > a.To:
		return wallName(a.ToBy)
	}
	return ""
}

func wallName(kind string) string {
	if kind == "stay" {
		return "chainstay"
	}
	return kind
}

func alongWords(a *decide.Along) string {
	if a.Best < 0 {
		return fmt.Sprintf("No place for the ring: the %s is met below %.1f mm, the %s above %.1f mm.", wallName(a.FromBy), a.From, wallName(a.ToBy), a.To)
	}
	best, today := &a.Places[a.Best], &a.Places[a.Today]
	where := fmt.Sprintf("%.1f mm", best.Line)
	if lo, hi := a.Places[a.Flat[0]].Line, a.Places[a.Flat[1]].Line; lo < hi {
		where = fmt.Sprintf("%.1f to %.1f mm", lo, hi)
	}
	if a.Today >= a.Flat[0] && a.Today <= a.Flat[1] {
		return fmt.Sprintf("Leave the ring where it is: from %s nothing is better than today's line by more than the chances can tell (trouble %.2f).", where, today.Sum)
	}
	side := "inboard"
	if best.Line > today.Line {
		side = "outboard"
	}
	away := math.Abs(best.Line - today.Line)
	return fmt.Sprintf("Best for the ring: %s. Trouble falls from %.2f today to %.2f, %.1f mm %s: %.3f for each mm.",
		where, today.Sum, best.Sum, away, side, (today.Sum-best.Sum)/away)
}

func wallWords(a *decide.Along) string {
	low, high := !math.IsInf(a.From, 0), !math.IsInf(a.To, 0)
	switch {
	case low && high:
		return fmt.Sprintf("Hard walls: below %.1f mm it meets the %s, above %.1f mm the %s.", a.From, wallName(a.FromBy), a.To, wallName(a.ToBy))
	case low:
		return fmt.Sprintf("Hard wall: below %.1f mm it meets the %s.", a.From, wallName(a.FromBy))
	case high:
		return fmt.Sprintf("Hard wall: above %.1f mm it meets the %s.", a.To, wallName(a.ToBy))
	}
	return "No hard wall is known: give chainstay and tyre."
}

func weightWords(w *decide.Weights) (s string) {
	for k, x := range w {
		if s != "" {
			s += ", "
		}
		s += fmt.Sprintf("%s %g", sim.Concern(k), x)
	}
	return s
}
