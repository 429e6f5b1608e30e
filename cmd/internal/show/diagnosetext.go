package show

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"chainpath/cmd/internal/say"
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

// DiagnosisText prints a diagnosis for people: the likeliest cause of each symptom, what the
// model does not know, and whether moving the chainring helps; all adds every other cause. next
// says what to type.
func DiagnosisText(w io.Writer, d *Diagnosis, all bool, next string) error {
	p := &printer{w: w}
	p.printf("%s\n", d.Case)
	d.shiftLines(p)
	for i := range d.Findings {
		f := &d.Findings[i]
		p.printf("%s\n", Item(fmt.Sprintf("%d. %s", i+1, say.Capital(f.told))))
		if f.ofShifts {
			p.item("Check as well: " + strings.Join(f.Check, ", ") + ".")
			continue
		}
		f.suspectLines(p, all)
		for _, c := range f.Explained {
			if len(f.Suspects) == 0 { // what no chance is given for
				p.item(fmt.Sprintf("Possible: %s, in %s (%s: by %s).", c.Cause, strings.Join(c.Explains, ", "), c.Gear, amount(c.Margin, c.Unit)))
			}
		}
		if all {
			for _, m := range f.Moves {
				p.item(fmt.Sprintf("%s off by %+.3g would explain it (%.1f standard uncertainties): %s in %s.", m.Path, m.By, m.Sigmas, m.Cause, m.Gear))
			}
			if len(f.Measure) > 0 {
				p.item("Measure next: " + strings.Join(f.Measure, ", ") + ".")
			}
		}
		for k := range f.Try {
			if k == 0 || all {
				p.item(f.Try[k].tryWords())
			}
		}
	}
	if all {
		p.printf("\n%s\n", Wrap("% is the belief among these causes and what is not modelled, all alike before.", Columns))
		for _, c := range d.Cautions {
			p.printf("%s\n", Wrap(c, Columns))
		}
		p.printf("%s\n", Wrap(say.Caveat, Columns))
		return p.err
	}
	p.printf("\n%s\n", Wrap(say.LookFirst+" "+say.DropCaution(d.drops())+next, Columns))
	return p.err
}

// drops reports whether a symptom is a dropped chain.
func (d *Diagnosis) drops() bool {
	return slices.ContainsFunc(d.Findings, func(f FindingDoc) bool { return f.Symptom == "drop" })
}

func amount(v float64, unit string) string {
	if v < 0 {
		v = -v
	}
	return fmt.Sprintf("%.2f%s", v, say.Unit(unit))
}
