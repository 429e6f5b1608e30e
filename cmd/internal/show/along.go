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

// mostPlaces is how many front chainlines the default answer shows.
const mostPlaces = 9

// alongTable has a row a front chainline; all: every one.
func alongTable(a *decide.Along, all bool) *Table {
	var list []decide.Trouble
	var places []int
	for i := range a.Places {
		if all || shown(a, i) {
			places, list = append(places, i), append(list, a.Places[i].Trouble)
		}
	}
	t := troubleTable([3]string{"front", "chainline", "mm"}, "place", list)
	for i, k := range places {
		t.Rows[i] = append([]string{fmt.Sprintf("%.1f", a.Places[k].Line)}, append(t.Rows[i], mark(a, k))...)
	}
	return t
}

// shown reports whether the default answer has a place: today's, the best, the ends of where it
// is as good, those beside a wall, and a few around today's.
func shown(a *decide.Along, i int) bool {
	switch {
	case i == a.Today || i == a.Best:
		return true
	case a.Best >= 0 && (i == a.Flat[0] || i == a.Flat[1]):
		return true
	}
	x := a.Places[i].Line
	if x < a.From-1 || x > a.To+1 {
		return false
	}
	if i > 0 && a.Places[i-1].Line < a.From && x >= a.From || i+1 < len(a.Places) && a.Places[i+1].Line > a.To && x <= a.To {
		return true
	}
	away := i - a.Today
	return away%2 == 0 && away >= -mostPlaces/2 && away <= mostPlaces/2
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

// alongWords say where the chainring should sit.
func alongWords(a *decide.Along) string {
	if a.Best < 0 {
		return fmt.Sprintf("The chainring has no place: it would touch the %s below %.1f mm and the %s above %.1f mm.", wallName(a.FromBy), a.From, wallName(a.ToBy), a.To)
	}
	best, today := &a.Places[a.Best], &a.Places[a.Today]
	lo, hi := a.Places[a.Flat[0]].Line, a.Places[a.Flat[1]].Line
	if a.Today >= a.Flat[0] && a.Today <= a.Flat[1] {
		return fmt.Sprintf("Leave the chainring where it is. No other position helps by more than the model can resolve (fault score %.2f).", today.Sum)
	}
	side, near, far := "inboard", today.Line-hi, today.Line-lo
	if best.Line > today.Line {
		side, near, far = "outboard", lo-today.Line, hi-today.Line
	}
	if best.Sum >= today.Sum { // today's place is beyond a wall
		wall, at := wallName(a.FromBy), a.From
		if today.Line > a.To {
			wall, at = wallName(a.ToBy), a.To
		}
		return fmt.Sprintf("The chainring is too close to the %s. It clears it from %.1f mm %s, but there the fault score rises from %.2f to %.2f. Look at the %s first.",
			wall, at, side, today.Sum, best.Sum, wall)
	}
	move, place := fmt.Sprintf("%.1f to %.1f mm %s", near, far, side), fmt.Sprintf("%.1f to %.1f mm", lo, hi)
	if lo == hi {
		move, place = fmt.Sprintf("%.1f mm %s", far, side), fmt.Sprintf("%.1f mm", lo)
	}
	return fmt.Sprintf("Move the chainring %s, to %s. The fault score falls from %.2f to %.2f.", move, place, today.Sum, best.Sum)
}

// wallWords say where the chainring would touch something.
func wallWords(a *decide.Along) string {
	low, high := !math.IsInf(a.From, 0), !math.IsInf(a.To, 0)
	switch {
	case low && high:
		return fmt.Sprintf("Below %.1f mm it would touch the %s, above %.1f mm the %s.", a.From, wallName(a.FromBy), a.To, wallName(a.ToBy))
	case low:
		return fmt.Sprintf("Below %.1f mm it would touch the %s.", a.From, wallName(a.FromBy))
	case high:
		return fmt.Sprintf("Above %.1f mm it would touch the %s.", a.To, wallName(a.ToBy))
	}
	return "No limit is known: give chainstay and tyre in the bike file."
}

// WeightWords lists weights by the faults' codes.
func WeightWords(w *decide.Weights) (s string) {
	for k, x := range w {
		if s != "" {
			s += ", "
		}
		s += fmt.Sprintf("%s %g", sim.Concern(k), x)
	}
	return s
}
