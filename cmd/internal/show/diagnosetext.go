package show

import (
	"fmt"
	"io"
	"strings"
)

// DiagnosisHeader names the columns of the diagnose command's CSV.
var DiagnosisHeader = []string{"symptom", "direction", "in_gears", "concern", "likelihood_ratio", "share", "not_expected_in", "expected_in_as_well"}

// Rows returns the CSV rows, one a symptom and suspect; the last of a symptom is what is
// not in the model.
func (d *Diagnosis) Rows() (rows [][]string) {
	for _, f := range d.Findings {
		head := []string{f.Symptom, f.Direction, strings.Join(f.Gears, ";")}
		for _, s := range f.Suspects {
			rows = append(rows, append(append([]string{}, head...), s.Concern, fmt.Sprint(s.Ratio), fmt.Sprint(s.Share), strings.Join(s.Unexpected, ";"), strings.Join(s.Unseen, ";")))
		}
		if f.ofShifts {
			continue
		}
		rows = append(rows, append(append([]string{}, head...), "not_in_the_model", "1", fmt.Sprint(f.Outside), "", ""))
	}
	for _, s := range d.Shifting {
		rows = append(rows, []string{"shifting", "riding", s.At, s.Fault, "", fmt.Sprint(s.Share), "", ""})
	}
	return rows
}

// DiagnosisText prints a diagnosis for people.
func DiagnosisText(w io.Writer, d *Diagnosis) error {
	p := &printer{w: w}
	p.printf("%s\n", d.Case)
	d.shiftLines(p)
	for i := range d.Findings {
		f := &d.Findings[i]
		if f.ofShifts {
			p.printf("\n%s\n", Wrap(fmt.Sprintf("%d. %s", i+1, capital(complaintOf[f.Symptom])), Columns))
			p.item("check as well: " + strings.Join(f.Check, ", "))
			continue
		}
		p.printf("\n%s\n", Wrap(fmt.Sprintf("%d. %s, %s, in %s", i+1, strings.ReplaceAll(f.Symptom, "_", " "), f.Direction, strings.Join(f.Gears, ", ")), Columns))
		f.suspectLines(p)
		for _, c := range f.Explained {
			if len(f.Suspects) == 0 { // what no chance is given for
				p.item(fmt.Sprintf("may come from: %s, in %s (%s: by %s)", c.Cause, strings.Join(c.Explains, ", "), c.Gear, amount(c.Margin, c.Unit)))
			}
		}
		for _, m := range f.Moves {
			p.item(fmt.Sprintf("would explain it: %s off by %+.3g (%.1f standard uncertainties): %s in %s", m.Path, m.By, m.Sigmas, m.Cause, m.Gear))
		}
		p.item("check as well: " + strings.Join(f.Check, ", "))
		if len(f.Measure) > 0 {
			p.item("measure next: " + strings.Join(f.Measure, ", "))
		}
		for _, t := range f.Try {
			p.item(t.tryWords())
		}
	}
	p.printf("\n%s\n", Wrap("% is belief among these causes and what is not in the model, all alike before; N to 1 is how much better a cause tells the gears from the others than a fault that knows nothing of the chain line (anywhere, or from some cog on).", Columns))
	for _, c := range d.Cautions {
		p.printf("%s\n", Wrap(c, Columns))
	}
	p.printf("%s\n", Wrap(d.Note, Columns))
	return p.err
}

func amount(v float64, unit string) string {
	if v < 0 {
		v = -v
	}
	return fmt.Sprintf("%.2f %s", v, map[string]string{"deg": "°", "mm": "mm", "n": "N"}[unit])
}
