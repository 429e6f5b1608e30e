package show

import (
	"fmt"
	"io"
	"sort"

	"chainpath/cases"
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
	choice := fmt.Sprintf("By what is known now the best is: %s, trouble %.2f, effort included (as it is %.2f).", d.Best, d.Trouble, d.Before)
	if d.Best == d.Options[0].Name {
		choice = fmt.Sprintf("By what is known now it is best left as it is, trouble %.2f.", d.Before)
	}
	if d.Enough {
		return fmt.Sprintf("Nothing more is worth finding out: no test would turn the choice often enough to pay. %s To know everything would avoid another %.2f.", choice, d.Perfect)
	}
	for i := range d.Tests {
		if t := &d.Tests[i]; d.worthwhile(t) {
			return fmt.Sprintf("First %s. It turns the choice with a chance of %.2f. %s", t.Text, t.Turns, choice)
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
	p := &printer{w: w}
	p.printf("%s\n\n%s\n\n", Wrap(d.Answer, Columns), d.Case)
	t := &Table{Head: [][]string{{"avoids", "turns", "min", "what to try or measure, the most useful first"}}, Left: map[int]bool{3: true}, Flow: 4}
	for i := range d.Tests[:min(top, len(d.Tests))] {
		if x := &d.Tests[i]; x.Avoided >= leastShown {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("%.3f", x.Avoided), fmt.Sprintf("%.2f", x.Turns), fmt.Sprintf("%g", x.Minutes), x.Text})
		}
	}
	if len(t.Rows) > 0 {
		p.printf("%s\n\n", Wrap("avoids: of trouble, on average over what the test may show, by choosing after it; turns: the chance that it turns the choice; min: minutes, our guess.", Columns))
		p.write(t.Write)
		p.printf("\n")
	}
	p.printf("%s\n%s\n", Wrap(fmt.Sprintf("A change counts as %.2g of trouble for the effort. Weighed by the drawn sets alone: what no set knows, such as a bent hanger, is not in it. Whether the chain comes off when riding is not asked: it can throw the rider.", d.Effort), Columns), Wrap(Caveat, Columns))
	return p.err
}
