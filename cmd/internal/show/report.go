//go:build !js

package show

import (
	"cmp"
	_ "embed"
	"encoding/base64"
	"fmt"
	"html/template"
	"io"
	"slices"
	"strings"

	"chainpath/cmd/internal/say"
	"chainpath/plots"
	"chainpath/sim/decide"
)

//go:embed report.html
var reportHTML string

var reportPage = template.Must(template.New("report").Funcs(template.FuncMap{"inc": func(i int) int { return i + 1 }, "safety": func() string { return say.Safety("This sheet") }, "partsfit": func() string { return say.PartsFit }, "exact": func() string { return say.Exact }, "weights": func(w string) string { return say.Together(say.Weights(w), say.BetterOn) }, "questions": func() []string { return Questions }, "speeds": func(n int) string { return Plural(float64(n), "speed") }}).Parse(reportHTML))

// Report is one self-contained page about one or more bikes.
type Report struct {
	Title string
	// Who it is for, whose shop, what they call it, and when; empty: left out.
	Customer, Shop, Ref, Date string
	// Class leaves the answers for the second side.
	Class   bool
	Weights string // how concerns weigh
	Bikes   []ReportBike
	Compare *ReportFigure
	Best    []PartsBest
	Of      string // what the list is worth, in words; "" without one
	Version string
}

// ReportBike is one bike on it.
type ReportBike struct {
	Name, About string
	Speeds      int
	Hash        string
	Complaint   string
	Mud, Flex   float64 // room asked for beside tyre and chainstay, mm
	Given       []ReportInput
	Gears       Gears
	First       ReportFigure // the answer, or for the class the question
	Advice      *Advice      // what to do; nil: nothing is said of that
	Figures     []ReportFigure
	Window      []string
	Shifts      []string // how it shifts; none without a derailleur
}

// ReportInput is what was measured or given, in plain words.
type ReportInput struct{ What, Value, From string }

// Care is what is said of cogs that brake, of each kind once.
func (r *Report) Care() (said []string) {
	for _, b := range r.Bikes {
		if c := b.Gears.Load.Caution; c != nil && !slices.Contains(said, *c) {
			said = append(said, *c)
		}
	}
	return said
}

// Head is the line below the title.
func (r *Report) Head() string {
	var parts []string
	for _, x := range [][2]string{{"", r.Shop}, {"for ", r.Customer}, {"no. ", r.Ref}, {"", r.Date}} {
		if x[1] != "" {
			parts = append(parts, x[0]+x[1])
		}
	}
	return strings.Join(parts, " · ")
}

// mostOptions is how many usual changes stand on the first side.
const mostOptions = 3

// Questions are what the class version asks in the place of the answer.
var Questions = []string{
	"Which gear has the straightest chain, and why is it not the middle one?",
	"Which gears will be noisy, and which will drop the chain when you back-pedal? Mark them in the figure.",
	"What would move if the chainring were 2 mm further inboard? What would be in its way?",
}

// ReportFigure is a figure inside the page.
type ReportFigure struct {
	Source template.URL
	Alt    string
	Paper  *plots.Figure // for paper
}

// NewReportFigure puts an SVG into the page as data, so that nothing is loaded.
func NewReportFigure(svg []byte, alt string) ReportFigure {
	return ReportFigure{Source: template.URL("data:image/svg+xml;base64," + base64.StdEncoding.EncodeToString(svg)), Alt: alt}
}

// Difference returns how the lines lie to each other in words.
func (b ReportBike) Difference() string {
	return say.Capital(b.Gears.lines(say.Lines)) + "."
}

// reportRow is a gear in the page's table.
type reportRow struct {
	Ring, Cog                                                        int
	Ratio, Top, Bottom, Riding, Backwards, Loss, NextCog, Tyre, Stay string
	BadRiding, BadBack                                               bool
}

// free is what is free where so much less was left with what is asked for.
func free(left *float64, wanted float64) *float64 {
	if left == nil {
		return nil
	}
	x := *left + wanted
	return &x
}

// Wanted says how much room the bike file asks for; "" for none.
func (b ReportBike) Wanted() string {
	var list []string
	if b.Mud > 0 {
		list = append(list, fmt.Sprintf("%g mm to the tyre", b.Mud))
	}
	if b.Flex > 0 {
		list = append(list, fmt.Sprintf("%g mm to the chainstay", b.Flex))
	}
	if list == nil {
		return ""
	}
	return "The clearances are what is free. Wanted: " + say.And(list) + "."
}

// Rows returns the table's rows.
func (b ReportBike) Rows() (rows []reportRow) {
	told := func(form string, x *float64) string {
		if x == nil {
			return "–"
		}
		return fmt.Sprintf(form, *x)
	}
	mm := func(x *float64) string { return told("%.2f", x) }
	for _, g := range b.Gears.Gears {
		r := reportRow{
			Ring: g.RingTeeth, Cog: g.CogTeeth, Ratio: fmt.Sprintf("%.2f", g.Ratio), Top: mm(g.Top.Bend), Bottom: mm(g.Bottom.Bend),
			Loss: "–", NextCog: mm(g.Clearances.NextCog), Tyre: mm(free(g.Clearances.Tyre, b.Mud)), Stay: mm(free(g.Clearances.Stay, b.Flex)),
		}
		if g.Loss != nil {
			r.Loss = told("%.1f", g.Loss.Percent)
		}
		words := map[string][]string{}
		bad := map[string]bool{}
		for _, v := range g.Verdicts {
			words[v.Direction] = append(words[v.Direction], v.Words)
			bad[v.Direction] = bad[v.Direction] || Grave(v.Code)
		}
		r.Riding, r.Backwards = strings.Join(words["riding"], ", "), strings.Join(words["backwards"], ", ")
		r.BadRiding, r.BadBack = bad["riding"], bad["backwards"]
		rows = append(rows, r)
	}
	return rows
}

// Expected returns what is to be expected of the bicycle, one sentence each.
func (b ReportBike) Expected() []string {
	a := b.Gears.Answer
	if a == nil {
		return nil
	}
	if a.Usual == nil {
		return []string{a.Words}
	}
	return []string{a.Words, a.Usual.Words}
}

// Cure is a change on the first side: what it costs and leaves.
type Cure struct{ Name, Price, Minutes, Left, Score string }

// Cures are the changes that the advice weighed, the cheapest first; none where nothing is to be changed.
func (b ReportBike) Cures() (list []Cure) {
	if b.Advice == nil {
		return nil
	}
	changes := slices.Clone(b.Advice.Cures)
	slices.SortStableFunc(changes, func(x, y AdviceChange) int { return cmp.Compare(x.Price, y.Price) })
	for _, c := range changes[:min(len(changes), mostOptions)] {
		list = append(list, Cure{c.Name, fmt.Sprintf("%.2f", c.Price), fmt.Sprintf("%.0f", c.Minutes), say.Percent(c.Most), fmt.Sprintf("%.2f", c.Trouble)})
	}
	return list
}

// WindowWords returns where the chainring should sit in sentences; within is how well the front
// chainline is known, mm, 0 where it is exact.
func WindowWords(within float64, along *decide.Along) []string {
	s := []string{adviceOf(along).Words()}
	if within > 0 {
		s = append(s, say.Known(within))
	}
	return s
}

// ShiftWords returns what a shop says of shifting: the answer, the shifts that are late, and
// what runs free of a front cage; notes, what all that rests on too.
func ShiftWords(d *Shifting, notes bool) []string {
	out := []string{d.Answer}
	var late []string
	for _, s := range d.Shifts {
		if s.RingTeeth == d.Shifts[0].RingTeeth && s.Late >= 0.1 {
			late = append(late, fmt.Sprintf("%d to %d (%s)", s.From, s.To, say.Percent(s.Late)))
		}
	}
	if len(late) > 1 {
		out = append(out, say.LateShifts(late))
	}
	if words := trimWords(d.Front); words != "" {
		out = append(out, words)
	}
	if notes {
		out = append(out, d.Notes...)
	}
	return out
}

// Write writes the page.
func (r *Report) Write(w io.Writer) error {
	return reportPage.Execute(w, r)
}
