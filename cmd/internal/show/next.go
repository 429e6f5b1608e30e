package show

import (
	"fmt"
	"io"
	"sort"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
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
	Causes  []CauseDoc   `json:"causes"`      // of all that was told to go wrong; none where nothing was
	Check   string       `json:"check_first"` // what of them to look at, in words
}

// NextOption is something that can be chosen.
type NextOption struct {
	Name    string  `json:"name"`
	Trouble float64 `json:"trouble"`
}

// NextTest is something that can be tried or measured first.
type NextTest struct {
	Text    string  `json:"text"`
	Words   string  `json:"words"` // with its minutes and chance
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
// other one belongs an effort, in trouble. Do says each in the imperative.
func FromTests(title string, c *decide.Choice, names, do []string, effort float64, tests []cases.Test) (*Next, error) {
	for i := range c.Trouble[1:] {
		for k := range c.Trouble[i+1] {
			c.Trouble[i+1][k] += effort
		}
	}
	best, trouble := c.Best()
	d := &Next{Case: title, Best: names[best], Trouble: share(trouble), Before: share(c.Expected(0)), Perfect: share(c.Perfect()), Effort: effort, Tests: []NextTest{}, Causes: []CauseDoc{}}
	for i, n := range names {
		d.Options = append(d.Options, NextOption{n, share(c.Expected(i))})
	}
	for i := range tests {
		t := &tests[i]
		w, err := c.Worth(t.Likely)
		if err != nil {
			return nil, fmt.Errorf("%s: %w", t.Text, err)
		}
		x := NextTest{Text: t.Text, Minutes: t.Minutes, Turns: share(w.Turns), Avoided: share(w.Avoided)}
		x.Words = x.said().Line()
		d.Tests = append(d.Tests, x)
	}
	sort.SliceStable(d.Tests, func(i, j int) bool { return d.Tests[i].Avoided > d.Tests[j].Avoided })
	d.Enough = true
	for i := range d.Tests {
		d.Enough = d.Enough && !d.worthwhile(&d.Tests[i])
	}
	d.Answer = d.words(do[best])
	return d, nil
}

// AddCauses adds what may be behind all that was told to go wrong.
func (d *Next) AddCauses(b *sim.Bike, list []decide.Ranked) {
	var said []say.ToLook
	d.Causes, said = causesOf(b, list)
	d.Check = say.CheckCauses(said)
}

// AddUnmeasured adds to an answer without tests which number that nobody measured is most in doubt.
func (d *Next) AddUnmeasured(u *say.Unmeasured) {
	d.Answer = say.Together(d.Answer, u.Words())
}

func (d *Next) worthwhile(t *NextTest) bool {
	return t.Turns >= leastTurns && t.Avoided >= leastWorth*d.Trouble
}

// words is the answer: what to check first, or nothing, and what to do as things are known now;
// do says that in the imperative.
func (d *Next) words(do string) string {
	choice := say.Choice{Do: do, Leave: d.Best == d.Options[0].Name, Score: d.Trouble, Effort: d.Effort, Before: d.Before}
	if d.Enough {
		return say.Enough + " " + choice.Words()
	}
	for i := range d.Tests {
		if t := &d.Tests[i]; d.worthwhile(t) {
			return t.said().First() + " As things are known now: " + say.Lower(choice.Words())
		}
	}
	return choice.Words()
}

// said is the test as it is said.
func (t *NextTest) said() *say.Test {
	return &say.Test{Text: t.Text, Minutes: t.Minutes, Turns: t.Turns}
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

// lookAt says what no test is of.
func (d *Next) lookAt() string {
	if d.Check != "" {
		return d.Check + " " + say.NoRideTest
	}
	return say.NotTested
}

// NextTable prints the answer, the tests that are worth most, and what to type next.
func NextTable(w io.Writer, d *Next, top int, next string) error {
	t := &Table{Head: [][]string{{"lowers", "changes", "minutes", "what to check, the most useful first"}, {"score", "the choice", "", ""}}, Left: map[int]bool{3: true}, Flow: 4}
	for i := range d.Tests[:min(top, len(d.Tests))] {
		if x := &d.Tests[i]; x.Avoided >= leastShown {
			t.Rows = append(t.Rows, []string{fmt.Sprintf("%.3f", x.Avoided), say.Percent(x.Turns), fmt.Sprintf("%g", x.Minutes), x.Text})
		}
	}
	s := screen{above: []string{d.Case, d.Answer}, below: []string{d.lookAt()}, notes: []string{say.FaultScore, say.Model}, next: next}
	if len(t.Rows) > 0 && !d.Enough {
		s.table = t
	}
	return s.write(w)
}
