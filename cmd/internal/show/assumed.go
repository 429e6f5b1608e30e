package show

import (
	"fmt"
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// Assumed is something that the case leaves out or guesses and results rest on.
type Assumed struct {
	Path     string   `json:"path"`
	Value    string   `json:"value"`
	Basis    string   `json:"basis"`
	Note     string   `json:"note"`
	Concerns []string `json:"concerns"`
}

// assumedOf lists what a case assumes; never nil.
func assumedOf(c *cases.Case) []Assumed {
	out := []Assumed{}
	for _, a := range c.Assumptions() {
		out = append(out, Assumed{a.Path, a.Value, string(a.Basis), a.Note, a.Concerns})
	}
	return out
}

// Warning is something in the case that is possible and not likely meant.
type Warning struct {
	Path  string `json:"path"`
	Line  int    `json:"line"`
	Words string `json:"words"`
}

// warningsOf lists a case's warnings; never nil.
func warningsOf(c *cases.Case) ([]Warning, error) {
	all, err := c.Warnings()
	out := []Warning{}
	for _, w := range all {
		out = append(out, Warning{w.Path, w.Line, w.Words})
	}
	return out, err
}

// WarningText returns warnings for people, each from a line of its own on.
func WarningText(all []Warning, width int) string {
	var b strings.Builder
	for i := range all {
		b.WriteString(Indent(all[i].text(), "  ", width) + "\n")
	}
	return b.String()
}

func (w *Warning) text() string {
	text := w.Path + ": " + w.Words
	if w.Line > 0 {
		text = fmt.Sprintf("line %d: %s", w.Line, text)
	}
	return "warning: " + text
}

// warningLines prints a case's warnings.
func warningLines(p *printer, d *Gears, width int) {
	if len(d.Warnings) > 0 {
		p.printf("\n%s", WarningText(d.Warnings, width))
	}
}

// Warnings returns what in a case cannot all be true, with what is taken instead, and what is not likely
// meant, for people.
func Warnings(c *cases.Case, width int) (string, error) {
	var b strings.Builder
	for _, x := range c.Conflicts() {
		b.WriteString(Indent("warning: "+say.Conflict(x.Words, x.Taken), "  ", width) + "\n")
	}
	all, err := warningsOf(c)
	return b.String() + WarningText(all, width), err
}

// restingOn returns the paths of what a verdict rests on, quiet on all of them; never nil.
func restingOn(code string, all []Assumed) []string {
	out := []string{}
	for _, a := range all {
		if code == sim.IsQuiet.String() || slices.Contains(a.Concerns, code) {
			out = append(out, a.Path)
		}
	}
	return out
}

// nameAssumed names beside every verdict what was assumed for it.
func (d *Gears) nameAssumed() {
	for i := range d.Gears {
		for k := range d.Gears[i].Verdicts {
			v := &d.Gears[i].Verdicts[k]
			v.Assumed = restingOn(v.Code, d.Assumed)
		}
	}
}

// assumedLines prints what was assumed, those that a verdict rests on first.
func assumedLines(p *printer, d *Gears, width int) {
	if len(d.Assumed) == 0 {
		return
	}
	told := map[string]bool{}
	for _, g := range d.Gears {
		for _, v := range g.Verdicts {
			for _, path := range v.Assumed {
				told[path] = told[path] || v.Code != sim.IsQuiet.String()
			}
		}
	}
	p.printf("\nAssumed, because the bike file does not say or guesses (! a fault rests on it):\n")
	for _, first := range []bool{true, false} {
		for _, a := range d.Assumed {
			if told[a.Path] == first {
				mark := "-"
				if first {
					mark = "!"
				}
				p.printf("%s\n", Indent(fmt.Sprintf("%s %s: %s; %s", mark, a.Path, a.Value, a.Note), "  ", width))
			}
		}
	}
}
