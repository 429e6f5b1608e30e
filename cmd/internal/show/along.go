package show

import (
	"fmt"
	"math"

	"chainpath/cmd/internal/say"
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
	By   string  `json:"by"` // what parts move the chainring there from today's place; "" where no usual one does
	Trouble
}

func share(x float64) float64 { return math.Round(x*1e4) / 1e4 }

// stepper names the parts that move the chainring by so many mm outboard; "" for none.
type stepper func(by float64) string

func fromAlong(a *decide.Along, step stepper) *Along {
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
		d.Places = append(d.Places, Place{round(p.Line), step(p.Line - a.Places[a.Today].Line), troubleOf(&p.Trouble)})
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

// alongTable has a row a front chainline; all: every one.
func alongTable(a *decide.Along, step stepper, all bool) *Table {
	var list []decide.Trouble
	var places []int
	for i := range a.Places {
		if all || shown(a, step, i) {
			places, list = append(places, i), append(list, a.Places[i].Trouble)
		}
	}
	t := troubleTable([3]string{"front", "chainline", "mm"}, "place", list)
	for i, k := range places {
		t.Rows[i] = append([]string{fmt.Sprintf("%.1f", a.Places[k].Line)}, append(t.Rows[i], mark(a, step, k))...)
	}
	return t
}

// shown reports whether the default answer has a place: today's, the best, the ends of where it is as
// good, those beside a wall, and what usual parts reach.
func shown(a *decide.Along, step stepper, i int) bool {
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
	return step(x-a.Places[a.Today].Line) != ""
}

// mark says what a place is, and by what parts the chainring comes there.
func mark(a *decide.Along, step stepper, i int) string {
	is, by := named(a, i), step(a.Places[i].Line-a.Places[a.Today].Line)
	switch {
	case by != "" && is == "":
		return by
	case by != "" && is == "best":
		return is + ", " + by
	}
	return is
}

func named(a *decide.Along, i int) string {
	x := a.Places[i].Line
	switch {
	case i == a.Today && i == a.Best:
		return "today, best"
	case i == a.Today:
		return "today"
	case i == a.Best && a.Today >= a.Flat[0] && a.Today <= a.Flat[1]: // the advice is to leave it
		return say.NotWorth
	case i == a.Best && a.Places[i].Sum > a.Places[a.Today].Sum: // today's place is beyond a wall
		return say.ClearsIt
	case i == a.Best:
		return "best"
	case x < a.From:
		return say.Wall{By: a.FromBy}.Name()
	case x > a.To:
		return say.Wall{By: a.ToBy}.Name()
	}
	return ""
}

// adviceOf is where the chainring should sit, as an advice.
func adviceOf(a *decide.Along) *say.Place {
	today := &a.Places[a.Today]
	p := &say.Place{Today: today.Line, Score: today.Sum, Low: say.Wall{By: a.FromBy, At: a.From}, High: say.Wall{By: a.ToBy, At: a.To}, Nowhere: a.Best < 0}
	if a.Best >= 0 {
		p.Best, p.Least = a.Places[a.Best].Line, a.Places[a.Best].Sum
		p.From, p.To = a.Places[a.Flat[0]].Line, a.Places[a.Flat[1]].Line
	}
	return p
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
