package show

import (
	"fmt"
	"io"
	"strings"

	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// letterNote explains the letters of concerns in compact tables.
func letterNote() string {
	var out []string
	seen := map[string]int{}
	for _, k := range sim.ToldOrder() {
		h := &sim.Hazards[k]
		if i, ok := seen[h.Letter]; ok {
			out[i] += ", " + h.Words
			continue
		}
		seen[h.Letter] = len(out)
		out = append(out, h.Letter+" "+h.Words)
	}
	return "riding/back-pedalling: " + strings.Join(out, "; ") + "; ? could go either way; - no fault expected"
}

// marks returns the letters of what may well happen in a gear, riding/backwards.
func marks(c *sim.Chances) string {
	var out [2]string
	for d := range out {
		for _, k := range concernsOf[d] {
			switch {
			case say.LevelOf(c[k]) == say.Probable:
				out[d] += sim.Hazards[k].Letter
			case c[k] >= MayBe:
				out[d] += sim.Hazards[k].Letter + "?"
			}
		}
		if out[d] == "" {
			out[d] = "-"
		}
	}
	return out[0] + "/" + out[1]
}

// CompareTable prints set-ups side by side: which is best, what the fault score is made of,
// the gears that change most, and what to type next; all adds every change and every gear.
func CompareTable(w io.Writer, d *Comparison, sets []SetUp, all bool, next string) error {
	s := screen{above: []string{d.Answer}, table: d.setUpTable(sets), next: next}
	if !all {
		s.notes = append(s.notes, d.mostChanged()...)
	}
	if d.Rider != "" {
		s.notes = append(s.notes, say.RiddenAs(d.Rider))
	}
	s.notes = append(s.notes, say.ShareOfTime, say.Model)
	if !all {
		s.notes = append(s.notes, "Every gear and change: --all.")
	}
	if err := s.write(w); err != nil || !all {
		return err
	}
	p := &printer{w: w}
	p.printf("\n%s\n", weightNote(d.weights))
	for i := range d.SetUps {
		d.SetUps[i].changeLines(p, i+1)
	}
	p.printf("\n%s\n", Wrap(letterNote(), Columns))
	for from := 0; from < len(sets); from += abreast {
		gearsAbreast(p, sets, from, min(from+abreast, len(sets)))
	}
	return p.err
}

// setUpTable has a row a set-up: its lines, its largest angles, its faults and their score.
func (d *Comparison) setUpTable(sets []SetUp) *Table {
	t := troubleTable([3]string{"set-up", "", ""}, "", d.trouble)
	for i := range t.Head {
		t.Head[i] = append([][]string{{"set-up", "front", "rear", "top"}, {"", "mm", "mm", "°"}, {"", "", "", ""}}[i], t.Head[i][1:]...)
	}
	t.Left = map[int]bool{0: true}
	t.Flow = 1
	for i := range t.Rows {
		r := sets[i].Result
		head := []string{fmt.Sprintf("%d %s", i+1, sets[i].Name), fmt.Sprintf("%.1f", r.Front), fmt.Sprintf("%.1f", r.Rear), fmt.Sprintf("%.2f", d.SetUps[i].Summary.WorstTopBend)}
		t.Rows[i] = append(head, t.Rows[i]...)
	}
	return t
}

// mostTold is how many changes of a set-up the default answer names.
const mostTold = 3

// mostChanged names what changes most in each set-up.
func (d *Comparison) mostChanged() (out []string) {
	for i := range d.SetUps {
		var list []string
		for _, m := range movedOf(d.SetUps[i].Changes[:min(mostTold, len(d.SetUps[i].Changes))]) {
			list = append(list, m.Words())
		}
		if list != nil {
			out = append(out, fmt.Sprintf("%d against 1: %s.", i+1, strings.Join(list, ", ")))
		}
	}
	return out
}

// mostChanges is how many changes of a set-up the table shows.
const mostChanges = 6

func (s *ComparedSetUp) changeLines(p *printer, n int) {
	if len(s.Changes) == 0 {
		return
	}
	p.printf("\n")
	p.printf("What %d changes against 1\n", n)
	t := &Table{Head: [][]string{{"gear", "chance of", "in 1", fmt.Sprintf("in %d", n)}}, Left: map[int]bool{0: true, 1: true}}
	for _, c := range s.Changes[:min(len(s.Changes), mostChanges)] {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%d/%d", c.RingTeeth, c.CogTeeth), c.concern.Words(), say.Percent(c.First), say.Percent(c.Chance)})
	}
	p.write(t.Write)
	if more := len(s.Changes) - mostChanges; more > 0 {
		p.printf("and %d more, all in --format json\n", more)
	}
}

// abreast is how many set-ups a line of gears holds.
const abreast = 2

func gearsAbreast(p *printer, sets []SetUp, from, to int) {
	t := &Table{Left: map[int]bool{}, Head: [][]string{nil, nil}}
	rows := 0
	for i := from; i < to; i++ {
		t.Head[0] = append(t.Head[0], fmt.Sprintf("%d: gear", i+1), "top", "bottom", "what")
		t.Head[1] = append(t.Head[1], "", "°", "°", "")
		t.Left[4*(i-from)], t.Left[4*(i-from)+3] = true, true
		rows = max(rows, len(sets[i].Result.Gears))
	}
	for k := range rows {
		var row []string
		for _, s := range sets[from:to] {
			if k >= len(s.Result.Gears) {
				row = append(row, "", "", "", "")
				continue
			}
			g := &s.Result.Gears[k]
			top, bottom := bends(g)
			row = append(row, fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), top, bottom, marks(&s.Chances[k]))
		}
		t.Rows = append(t.Rows, row)
	}
	p.printf("\n")
	p.write(t.Write)
}
