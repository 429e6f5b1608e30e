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

// DiagnosisText prints a diagnosis for people: what explains several symptoms, the likeliest cause
// of each, what the model does not know, and whether moving the chainring helps; where a screen has room, what may
// be behind all of it, and with more symptoms than it holds, what moving does to the first alone. All adds every
// other cause. next says what to type.
func DiagnosisText(w io.Writer, d *Diagnosis, all bool, next string) error {
	var text strings.Builder
	for _, short := range []struct {
		look  bool
		tries int
	}{{true, len(d.Findings)}, {false, len(d.Findings)}, {false, 1}} {
		text.Reset()
		if err := d.print(&text, all, short.look, short.tries, next); err != nil {
			return err
		}
		if all || strings.Count(text.String(), "\n") <= screenLines {
			break
		}
	}
	_, err := io.WriteString(w, text.String())
	return err
}

// print prints it, with what may be behind all of it, and with what moving the chainring does to the first
// symptoms.
func (d *Diagnosis) print(w io.Writer, all, look bool, tries int, next string) error {
	p := &printer{w: w}
	p.printf("%s\n", d.Case)
	if d.Together != nil {
		p.printf("%s\n", Wrap(d.Together.Words, Columns))
	}
	if look && d.Look != "" {
		p.printf("%s\n", Wrap(d.Look, Columns))
	}
	d.shiftLines(p)
	for i := range d.Findings {
		f := &d.Findings[i]
		p.printf("%s\n", Item(fmt.Sprintf("%d. %s", i+1, f.Words)))
		switch {
		case f.ofShifts:
			p.item(say.CheckAsWell(f.Check))
		case all:
			f.everyLine(p)
		default:
			for _, words := range f.lines(i < tries) {
				p.item(words)
			}
		}
	}
	if all {
		p.printf("\n%s\n", Wrap(say.ShareOfWhole, Columns))
		for _, c := range d.Cautions {
			p.printf("%s\n", Wrap(c, Columns))
		}
		p.printf("%s\n", Wrap(say.Caveat, Columns))
		return p.err
	}
	last := ""
	if slices.ContainsFunc(d.Findings, func(f FindingDoc) bool { return !f.ofShifts && len(f.Suspects) > 0 }) {
		last = say.ShareOf + " "
	}
	last += say.LookFirst + " " + say.DropCaution(d.drops())
	if tries < len(d.Findings) {
		last += "More: --all."
	}
	p.printf("\n%s%s", wrapped(strings.TrimSpace(last)), wrapped(say.Next(next)))
	return p.err
}

// everyLine prints all that is known of a symptom.
func (f *FindingDoc) everyLine(p *printer) {
	for _, words := range f.suspectWords(true) {
		p.item(words)
	}
	if len(f.Measure) > 0 {
		p.item("Measure next: " + strings.Join(f.Measure, ", ") + ".")
	}
	for k := range f.Try {
		p.item(f.Try[k].Words)
	}
}

// lines are the default answer to a symptom; try: with what moving the chainring does.
func (f *FindingDoc) lines(try bool) []string {
	out := f.suspectWords(false)
	if try && len(f.Try) > 0 {
		out = append(out, f.Try[0].said().Here())
	}
	return out
}

// drops reports whether a symptom is a dropped chain.
func (d *Diagnosis) drops() bool {
	return slices.ContainsFunc(d.Findings, func(f FindingDoc) bool { return f.Symptom == "drop" })
}
