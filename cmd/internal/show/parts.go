package show

import (
	"fmt"
	"io"
	"strings"

	"chainpath/sim/decide"
)

// Parts is the JSON document of the parts command.
type Parts struct {
	Case         string      `json:"case"`
	Catalogue    string      `json:"catalogue"`
	Combinations int         `json:"combinations"`
	Evaluated    int         `json:"evaluated"`
	Failed       int         `json:"failed"`
	Partial      bool        `json:"partial"`
	Before       PartsScore  `json:"before"`
	Best         []PartsBest `json:"best"`
	Compared     Comparison  `json:"compared"`
}

// PartsScore is how a combination does.
type PartsScore struct {
	Complaint int `json:"complaint_left"`
	Breaks    int `json:"newly_wrong"`
	NotQuiet  int `json:"not_quiet"`
	Links     int `json:"links"`
}

// PartsBest is one undominated combination.
type PartsBest struct {
	Changes []string `json:"changes"`
	Price   float64  `json:"price"`
	PartsScore
}

// ScoreOf returns an outcome's score.
func ScoreOf(o decide.Outcome) PartsScore { return PartsScore{o.Complaint, o.Breaks, o.Quiet, o.Links} }

// BestOf returns an outcome with its changes' names.
func BestOf(p *decide.Plan, o decide.Outcome) PartsBest {
	b := PartsBest{Price: o.Price, PartsScore: ScoreOf(o), Changes: []string{}}
	for _, i := range o.Picks {
		b.Changes = append(b.Changes, p.Options[i].Name)
	}
	return b
}

// Name returns the changes in words.
func (b PartsBest) Name() string {
	if len(b.Changes) == 0 {
		return "as it is"
	}
	return strings.Join(b.Changes, " + ")
}

// PartsHeader names the columns of the parts command's CSV.
var PartsHeader = []string{"rank", "changes", "number", "price", "complaint_left", "newly_wrong", "not_quiet", "links"}

// Rows returns the CSV rows, one an undominated combination.
func (d *Parts) Rows() (rows [][]string) {
	for i, b := range d.Best {
		rows = append(rows, []string{fmt.Sprint(i + 1), b.Name(), fmt.Sprint(len(b.Changes)), num(&b.Price), fmt.Sprint(b.Complaint), fmt.Sprint(b.Breaks), fmt.Sprint(b.NotQuiet), fmt.Sprint(b.Links)})
	}
	return rows
}

// mostRanks is how many ranks the table shows.
const mostRanks = 15

// PartsTable prints the ranking and the best set-ups beside the present one.
func PartsTable(w io.Writer, d *Parts, sets []SetUp) error {
	p := &printer{w: w}
	p.printf("%s: %s\n%d of %d combinations evaluated", d.Case, d.Catalogue, d.Evaluated, d.Combinations)
	if d.Failed > 0 {
		p.printf(", %d of them cannot be built", d.Failed)
	}
	if d.Partial {
		p.printf("; PARTIAL: stopped early, better ones may be missing")
	}
	p.printf("\ncounts are gears and directions; before: %d wrong of the complaint, %d not quiet\n\n", d.Before.Complaint, d.Before.NotQuiet)
	t := &Table{Head: [][]string{{"rank", "complaint left", "newly wrong", "changes", "price", "not quiet", "links", ""}}, Left: map[int]bool{7: true}}
	for i, b := range d.Best[:min(len(d.Best), mostRanks)] {
		t.Rows = append(t.Rows, []string{fmt.Sprint(i + 1), fmt.Sprint(b.Complaint), fmt.Sprint(b.Breaks), fmt.Sprint(len(b.Changes)), fmt.Sprintf("%.2f", b.Price), fmt.Sprint(b.NotQuiet), fmt.Sprint(b.Links), b.Name()})
	}
	p.write(t.Write)
	if more := len(d.Best) - mostRanks; more > 0 {
		p.printf("and %d more, all in --format csv\n", more)
	}
	p.printf("\nNone of these is beaten by another in every column. Check what fits together with\nthe makers; try what can be undone first.\n\n")
	if p.err != nil {
		return p.err
	}
	return CompareTable(w, sets)
}
