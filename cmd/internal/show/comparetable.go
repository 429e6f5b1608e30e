package show

import (
	"fmt"
	"io"
	"strings"

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
	return "riding/backwards: " + strings.Join(out, "; ") + "; ? cannot tell; - none of these"
}

// marks returns the letters of what may well happen in a gear, riding/backwards.
func marks(c *sim.Chances) string {
	var out [2]string
	for d := range out {
		for _, k := range concernsOf[d] {
			switch {
			case c[k] >= atLikely:
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

// CompareTable prints set-ups side by side: which has the least trouble, what that is made
// of, which gears change, then a compact table, a row a gear, from the smallest cog on.
func CompareTable(w io.Writer, d *Comparison, sets []SetUp) error {
	p := &printer{w: w}
	p.printf("%s\n\n", Wrap(d.Answer, Columns))
	list := &Table{Head: [][]string{
		{"no.", "set-up", "front", "rear", "links", "top", "bottom"},
		{"", "", "mm", "mm", "", "°", "°"},
	}, Left: map[int]bool{1: true}, Flow: 2}
	for i, s := range sets {
		m := &d.SetUps[i].Summary
		list.Rows = append(list.Rows, []string{
			fmt.Sprint(i + 1), s.Name, fmt.Sprintf("%.1f", s.Result.Front), fmt.Sprintf("%.1f", s.Result.Rear), fmt.Sprint(s.Result.Links),
			fmt.Sprintf("%.2f", m.WorstTopBend), fmt.Sprintf("%.2f", m.WorstBottomBend),
		})
	}
	p.printf("top, bottom: the largest bend of any gear\n\n")
	p.write(list.Write)
	t := troubleTable([3]string{"set-up", "", ""}, "", d.trouble)
	for i := range t.Rows {
		t.Rows[i] = append([]string{fmt.Sprint(i + 1)}, t.Rows[i]...)
	}
	p.printf("\n%s\n\n", troubleNote(d.weights))
	p.write(t.Write)
	for i := range d.SetUps {
		d.SetUps[i].changeLines(p, i+1)
	}
	p.printf("\n%s\n", Wrap(letterNote(), Columns))
	for from := 0; from < len(sets); from += abreast {
		gearsAbreast(p, sets, from, min(from+abreast, len(sets)))
	}
	p.printf("\n%s\n", Wrap(Caveat, Columns))
	return p.err
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
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%d/%d", c.RingTeeth, c.CogTeeth), c.concern.Words(), ChanceText(c.First), ChanceText(c.Chance)})
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
		if strings.Join(row, "") != "" {
			t.Rows = append(t.Rows, row)
		}
	}
	p.printf("\n")
	p.write(t.Write)
}
