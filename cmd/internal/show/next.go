package show

import (
	"fmt"
	"io"
	"sort"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim/decide"
)

// Next is the JSON document of the next command.
type Next struct {
	Answer  string       `json:"answer"`
	Case    string       `json:"case"`
	Best    string       `json:"best_now"`
	Trouble float64      `json:"trouble"`
	Before  float64      `json:"trouble_as_it_is"`
	Perfect float64      `json:"avoided_if_all_were_known"`
	Effort  float64      `json:"effort"`
	Options []NextOption `json:"options"`
	Tests   []NextTest   `json:"tests"`
	Enough  bool         `json:"enough_known"`
}

// NextOption is something that can be chosen.
type NextOption struct {
	Name    string  `json:"name"`
	Trouble float64 `json:"trouble"`
}

// NextTest is something that can be tried or measured first.
type NextTest struct {
	Text    string  `json:"text"`
	Minutes float64 `json:"minutes"`
	Turns   float64 `json:"chance_it_turns_the_choice"`
	Avoided float64 `json:"trouble_avoided"`
}

// A test that turns the choice less often than leastTurns, or avoids less than leastWorth
// of the trouble to be expected, is not worth its minutes (assumptions).
const (
	leastTurns = 0.05
	leastWorth = 0.02
	leastShown = 0.0005 // of trouble: less is printed as nothing
)

// FromTests weighs tests before a choice; the first option is the bike as it is, to every
// other one belongs an effort, in trouble.
func FromTests(title string, c *decide.Choice, names []string, effort float64, tests []cases.Test) (*Next, error) {
	for i := range c.Trouble[1:] {
		for k := range c.Trouble[i+1] {
			c.Trouble[i+1][k] += effort
		}
	}
	best, trouble := c.Best()
	d := &Next{Case: title, Best: names[best], Trouble: share(trouble), Before: share(c.Expected(0)), Perfect: share(c.Perfect()), Effort: effort, Tests: []NextTest{}}
	for i, n := range names {
		d.Options = append(d.Options, NextOption{n, share(c.Expected(i))})
	}
	for i := range tests {
		t := &tests[i]
		w, err := c.Worth(t.Likely)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", t.Text, err)
		}
		d.Tests = append(d.Tests, NextTest{t.Text, t.Minutes, share(w.Turns), share(w.Avoided)})
	}
	sort.SliceStable(d.Tests, func(i, j int) bool { return d.Tests[i].Avoided > d.Tests[j].Avoided })
	d.Enough = true
	for i := range d.Tests {
		d.Enough = d.Enough && !d.worthwhile(&d.Tests[i])
	}
	d.Answer = d.words()
	return d, nil
}

func (d *Next) worthwhile(t *NextTest) bool {
	return t.Turns >= leastTurns && t.Avoided >= leastWorth*d.Trouble
}

func (d *Next) words() string {
	choice := fmt.Sprintf("As things are known now, the best is %s: fault score %.2f with the work counted as %.2g, against %.2f left alone.", d.Best, d.Trouble, d.Effort, d.Before)
	if d.Best == d.Options[0].Name {
		choice = fmt.Sprintf("As things are known now, leave it: fault score %.2f.", d.Before)
	}
	if d.Enough {
		return "Nothing is left to check: no test is likely to change what you should do. " + choice
	}
	for i := range d.Tests {
		if t := &d.Tests[i]; d.worthwhile(t) {
			return fmt.Sprintf("First %s. The chance that this changes what you should do is %s. %s", t.Text, say.Percent(t.Turns), choice)
		}
	}
	return choice
}

// NextHeader names the columns of the next command's CSV, one row a test.
var NextHeader = []string{"text", "minutes", "chance_it_turns_the_choice", "trouble_avoided"}

// Rows returns the CSV rows.
func (d *Next) Rows() (rows [][]string) {
	for _, t := range d.Tests {
		rows = append(rows, []string{t.Text, fmt.Sprint(t.Minutes), fmt.Sprint(t.Turns), fmt.Sprint(t.Avoided)})
	}
	return rows
}

// NextTable prints the answer and the tests that are worth most.
func NextTable(w io.Writer, d *Next, top int) error {
	t := &Table{Head: [][]string{{"lowers", "changes", "minutes", "what to check, the most useful first"}, {"score", "the choice", "", ""}}, Left: map[int]bool{3: true}, Flow: 4}
	for i := range d.Tests[:min(top, len(d.Tests))] {
		if x := &d.Tests[i]; x.Avoided >= leastShown {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("%.3f", x.Avoided), say.Percent(x.Turns), fmt.Sprintf("%g", x.Minutes), x.Text})
		}
	}
	s := screen{above: []string{d.Case, d.Answer}, below: []string{"Not modelled: a bent hanger, for one. Look at it yourself. Do not test whether the chain drops when riding: it can throw you."}, notes: []string{say.Model}}
	if len(t.Rows) > 0 && !d.Enough {
		s.table = t
	}
	return s.write(w)
}
