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
	d.OfShifts = say.TellShifts
	if len(d.Shifting) > 0 {
		d.OfShifts = say.ShiftsTogether(advice(d.Do), text(d.Check))
	}
}

// shiftLines prints what is behind the symptoms of shifts.
func (d *Diagnosis) shiftLines(p *printer) {
	if d.OfShifts == "" {
		return
	}
	p.printf("\n%s\n", Wrap(d.OfShifts, Columns))
	if len(d.Shifting) == 0 {
		return
	}
	p.printf("\n")
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
	p.printf("\n%s\n", Wrap(say.ShiftFaith, Columns))
}
