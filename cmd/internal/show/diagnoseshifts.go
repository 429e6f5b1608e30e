package show

import (
	"fmt"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// AddShifting adds what is behind the symptoms of shifts, all of them together.
func (d *Diagnosis) AddShifting(b *sim.Bike, s *cases.Shifting) {
	var x Shifting
	x.Do, x.Suspects = []DoDoc{}, []ShiftSuspect{}
	x.advise(b, s)
	d.Do, d.Shifting, d.Check = x.Do, x.Suspects, x.Check
}

// shiftLines prints what is behind the symptoms of shifts.
func (d *Diagnosis) shiftLines(p *printer) {
	if len(d.Shifting) == 0 {
		for i := range d.Findings {
			if d.Findings[i].ofShifts {
				p.printf("\n%s\n", Wrap("Shifting: tell what is slow or skips as well (slow_to_larger, slow_to_smaller, skips_in_one, skips_in_some, noisy_in_one).", Columns))
				return
			}
		}
		return
	}
	x := Shifting{Do: d.Do, Check: d.Check}
	if len(d.Do) == 0 {
		x.Do = nil
		p.printf("\n%s\n\n", Wrap("Shifting: nothing stands out. Count the adjuster's range (chainpath measure adjuster), and try each shift ten times (--seen).", Columns))
	} else {
		p.printf("\n%s\n\n", Wrap("Shifting, all of it together: "+strings.Join(x.doWords(), " "), Columns))
	}
	t := &Table{Head: [][]string{{"behind slow shifts", "chance", "where", "size"}}, Left: map[int]bool{0: true, 2: true}, Flow: 1}
	for _, s := range d.Shifting {
		if s.Share < 0.01 {
			continue
		}
		size := fmt.Sprintf("%.1f %s", s.Size, strings.NewReplacer("_", " ", "percent", "%").Replace(s.Unit))
		if s.Fault == "as_told" {
			size = "-"
		}
		t.Rows = append(t.Rows, []string{s.Words, say.Percent(s.Share), s.At, size})
	}
	p.write(t.Write)
	p.printf("\n%s\n", Wrap("Simulated bikes with each of these faults show your symptoms this often. How common each fault is, is assumed.", Columns))
}
