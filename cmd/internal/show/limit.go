package show

import (
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
)

// LimitDoc is the JSON document of the limit command.
type LimitDoc struct {
	Case    string     `json:"case"`
	Answer  string     `json:"answer"`
	Path    string     `json:"path"`
	Unit    string     `json:"unit"`
	Today   float64    `json:"today"`
	Level   float64    `json:"chance"`
	Less    LimitSide  `json:"less"`
	More    LimitSide  `json:"more"`
	Already []LimitRow `json:"already"` // faults that are as likely today: they end nothing
	Note    string     `json:"note"`
	lines   []string
}

// LimitSide is one side: where the number ends, null where nothing ends it as far as was looked.
type LimitSide struct {
	Looked  float64  `json:"looked_to"`
	At      *float64 `json:"at"`
	Concern string   `json:"concern"`
	Gear    string   `json:"gear"`
	Cannot  string   `json:"cannot_be"` // why the bike cannot be beyond; else ""
	Tenth   *float64 `json:"at_chance_0.1"`
	Most    *float64 `json:"at_chance_0.65"`
}

// LimitRow is a fault in its likeliest gear.
type LimitRow struct {
	Concern string  `json:"concern"`
	Gear    string  `json:"gear"`
	Chance  float64 `json:"chance"`
}

// FromHowFar returns the document of how far a number may go.
func FromHowFar(c *cases.Case, l *cases.HowFar) LimitDoc {
	_, _, unit, _, _ := cases.Bounds(l.Path)
	with := func(x float64) string {
		return strings.TrimSpace(strconv.FormatFloat(told3(x), 'f', -1, 64) + " " + unit)
	}
	gear := func(x cases.LimitBy) string { return fmt.Sprintf("%d/%d", x.Ring, x.Cog) }
	d := LimitDoc{Case: c.Title, Path: l.Path, Unit: unit, Today: round(l.Today), Level: l.Level, Already: []LimitRow{}, Note: say.Caveat}
	d.lines = []string{say.LimitOf(say.Reading(l.Path), with(l.Today))}
	for i, e := range l.Ends {
		s := &d.Less
		if i == 1 {
			s = &d.More
		}
		*s = LimitSide{Looked: round(e.Looked), Cannot: e.Cannot}
		said := say.Limit{More: i == 1, Open: e.Open, Looked: with(e.Looked), Chance: l.Level, Cannot: e.Cannot}
		if !e.Open {
			s.At, said.At = optional(true, e.At), with(e.At)
			if e.Cannot == "" {
				s.Concern, s.Gear = e.By.Concern.String(), gear(e.By)
				said.Fault, said.Gear = e.By.Concern.Words(), s.Gear
				for k, to := range [2]**float64{&s.Tenth, &s.Most} {
					if x := e.Between[k]; !math.IsNaN(x) {
						*to, said.Between[k] = optional(true, x), with(x)
					}
				}
			}
		}
		d.lines = append(d.lines, said.Words())
	}
	var list []string
	for _, x := range l.Already {
		d.Already = append(d.Already, LimitRow{x.Concern.String(), gear(x), share(x.Chance)})
		list = append(list, fmt.Sprintf("%s in %s (%s)", x.Concern.Words(), gear(x), say.Percent(x.Chance)))
	}
	if list != nil {
		d.lines = append(d.lines, say.AsLikely(strings.Join(list, ", "), l.Level))
	}
	d.Answer = strings.Join(d.lines, " ")
	return d
}

// told3 rounds to what a limit is worth: three digits, or whole numbers.
func told3(x float64) float64 {
	if math.Abs(x) >= 100 {
		return math.Round(x)
	}
	x, _ = strconv.ParseFloat(strconv.FormatFloat(x, 'g', 3, 64), 64)
	return x
}

// LimitHeader names the columns of the limit command's CSV, one row a side.
var LimitHeader = []string{"path", "unit", "today", "side", "looked_to", "at", "concern", "gear", "at_chance_0.1", "at_chance_0.65", "cannot_be"}

// Rows returns the CSV rows.
func (d *LimitDoc) Rows() (rows [][]string) {
	for i, s := range [2]*LimitSide{&d.Less, &d.More} {
		rows = append(rows, []string{d.Path, d.Unit, num(&d.Today), [2]string{"less", "more"}[i], num(&s.Looked), num(s.At), s.Concern, s.Gear, num(s.Tenth), num(s.Most), s.Cannot})
	}
	return rows
}

// LimitTable prints the answer, a line a side, and what to type next.
func LimitTable(w io.Writer, d *LimitDoc, next string) error {
	s := screen{above: append([]string{d.Case}, d.lines...), notes: []string{say.Model, say.Parts}, next: next}
	if room := say.RoomOf(d.Path); room != "" {
		s.below = []string{room}
	}
	return s.write(w)
}
