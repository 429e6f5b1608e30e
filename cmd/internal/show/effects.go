package show

import (
	"fmt"
	"io"
	"strconv"

	"chainpath/sim/sweep"
)

// Effects is the JSON document of chart --effects.
type Effects struct {
	From    string   `json:"rows"`
	Result  string   `json:"result"`
	Designs int      `json:"designs"`
	Effects []Effect `json:"effects"`
	Rest    float64  `json:"share_of_the_rest"`
}

// Effect is the share of a result's variance that goes with one variable, or with
// two together beyond that.
type Effect struct {
	Of    string  `json:"of"`
	With  string  `json:"with"`
	Share float64 `json:"share"`
}

// FromEffects returns the document.
func FromEffects(rows, result string, names []string, designs int, main, pairs []sweep.Effect) Effects {
	d := Effects{From: rows, Result: result, Designs: designs, Rest: 1, Effects: []Effect{}}
	for _, e := range append(main, pairs...) {
		x := Effect{Of: names[e.A], Share: round(e.Share)}
		if e.B >= 0 {
			x.With = names[e.B]
		}
		d.Rest -= e.Share
		d.Effects = append(d.Effects, x)
	}
	d.Rest = round(max(0, d.Rest))
	return d
}

// EffectsHeader names the columns of the CSV.
var EffectsHeader = []string{"of", "with", "share"}

// Rows returns the CSV rows.
func (d *Effects) Rows() (rows [][]string) {
	for _, e := range d.Effects {
		rows = append(rows, []string{e.Of, e.With, strconv.FormatFloat(e.Share, 'f', -1, 64)})
	}
	return rows
}

// EffectsTable prints the effects for people.
func EffectsTable(w io.Writer, d *Effects) error {
	p := &printer{w: w}
	p.printf("%s over %d designs of %s: share of its variance\n\n", d.Result, d.Designs, d.From)
	p.printf("alone: the first-order sensitivity index, the variance of the means at each value; with another: of both together, less what each does alone\n\n")
	t := &Table{Head: [][]string{{"variable", "with", "share"}, {"", "", "%"}}, Left: map[int]bool{0: true, 1: true}}
	for _, e := range d.Effects {
		t.Rows = append(t.Rows, []string{e.Of, e.With, fmt.Sprintf("%.1f", 100*e.Share)})
	}
	t.Rows = append(t.Rows, []string{"the rest", "", fmt.Sprintf("%.1f", 100*d.Rest)})
	p.write(t.Write)
	return p.err
}
