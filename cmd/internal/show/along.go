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

// Place is one front line.
type Place struct {
	Line float64 `json:"front_line_mm"`
	Trouble
}

func share(x float64) float64 { return math.Round(x*1e4) / 1e4 }

func fromAlong(a *decide.Along) *Along {
	d := &Along{
		From: optional(!math.IsInf(a.From, 0), a.From), FromBy: a.FromBy,
		To: optional(!math.IsInf(a.To, 0), a.To), ToBy: a.ToBy,
		Weights: weightsOf(&a.Weights),
	}
	if a.Best >= 0 {
		d.Best = optional(true, a.Places[a.Best].Line)
		d.GoodFrom, d.GoodTo = optional(true, a.Places[a.Flat[0]].Line), optional(true, a.Places[a.Flat[1]].Line)
	}
	for i := range a.Places {
		p := &a.Places[i]
		d.Places = append(d.Places, Place{round(p.Line), troubleOf(&p.Trouble)})
	}
	return d
}

// AlongHeader names the columns of the window command's CSV with --along.
var AlongHeader = alongHeader()

func alongHeader() []string {
	return append(append([]string{"front_line_mm"}, chanceColumns()...), "trouble")
}

// Rows returns the CSV rows, one a front line.
func (d *Along) Rows() (rows [][]string) {
	for _, p := range d.Places {
		row := []string{fmt.Sprint(p.Line)}
		for k := range sim.NumConcerns {
			row = append(row, fmt.Sprint(p.Shares[sim.Concern(k).String()]))
		}
		rows = append(rows, append(row, fmt.Sprint(p.Trouble.Trouble)))
	}
	return rows
}

// alongTable prints the answer by chances.
func alongTable(p *printer, a *decide.Along) {
	p.printf("%s\n%s\n\n", Wrap(alongWords(a), Columns), Wrap(wallWords(a), Columns))
	list := make([]decide.Trouble, len(a.Places))
	for i := range a.Places {
		list[i] = a.Places[i].Trouble
	}
	t := troubleTable([3]string{"front", "line", "mm"}, "place", list)
	for i, x := range a.Places {
		t.Rows[i] = append([]string{fmt.Sprintf("%.1f", x.Line)}, append(t.Rows[i], mark(a, i))...)
	}
	p.printf("%s\n\n", troubleNote(&a.Weights))
	p.write(t.Write)
	p.printf("\n")
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
	if best.Sum >= today.Sum { // today's place is beyond a wall
		wall, at := wallName(a.FromBy), a.From
		if today.Line > a.To {
			wall, at = wallName(a.ToBy), a.To
		}
		return fmt.Sprintf("Where the ring stands today it comes too near to the %s, which it clears from %.1f mm %s. There trouble rises from %.2f to %.2f: look at the %s first.",
			wall, at, side, today.Sum, best.Sum, wall)
	}
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

func WeightWords(w *decide.Weights) (s string) {
	for k, x := range w {
		if s != "" {
			s += ", "
		}
		s += fmt.Sprintf("%s %g", sim.Concern(k), x)
	}
	return s
}
