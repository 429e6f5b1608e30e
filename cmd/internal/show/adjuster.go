package show

import (
	"fmt"
	"io"
	"strconv"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim/judge"
)

// Adjuster is the document of bench adjuster.
type Adjuster struct {
	Test     string       `json:"test"`
	Clicks   float64      `json:"clicks"`
	PerClick float64      `json:"pulley_per_click_mm"`
	Inboard  string       `json:"first_inboard"`
	Outer    string       `json:"first_outboard"`
	Before   AdjusterRoom `json:"before"`
	After    AdjusterRoom `json:"after"`
}

// AdjusterRoom is what a bicycle's shifts are before and after the count.
type AdjusterRoom struct {
	Width   judge.Size `json:"width_mm"`
	AnyLate float64    `json:"chance_any_late"`
}

// FromAdjuster returns the document of a bicycle before its range was counted and after.
func FromAdjuster(was, is *cases.Shifting) *Adjuster {
	room := func(s *cases.Shifting) AdjusterRoom { return AdjusterRoom{rounded(s.Window), share(s.Late)} }
	x := is.Counted
	return &Adjuster{"adjuster", x.Clicks.Value, round(is.Click), x.Inboard, x.Outer, room(was), room(is)}
}

// AdjusterHeader names the columns of its CSV.
var AdjusterHeader = []string{"when", "width_mm", "width_low_mm", "width_high_mm", "chance_any_late"}

// Rows returns the CSV rows.
func (d *Adjuster) Rows() (rows [][]string) {
	for i, x := range []AdjusterRoom{d.Before, d.After} {
		rows = append(rows, []string{[]string{"before", "after"}[i], fmt.Sprint(x.Width[1]), fmt.Sprint(x.Width[0]), fmt.Sprint(x.Width[2]), fmt.Sprint(x.AnyLate)})
	}
	return rows
}

// AdjusterText prints it for people, and what to type next.
func AdjusterText(w io.Writer, d *Adjuster, next string) error {
	p := &printer{w: w}
	t := &Table{Head: [][]string{{"count", "room for the setting, mm", "some shift is late"}}, Left: map[int]bool{0: true}}
	for i, x := range []AdjusterRoom{d.Before, d.After} {
		t.Rows = append(t.Rows, []string{[]string{"before it", "after it"}[i], fmt.Sprintf("%.1f (%.1f to %.1f)", say.Zeroed(x.Width[1]), say.Zeroed(x.Width[0]), say.Zeroed(x.Width[2])), say.Percent(x.AnyLate)})
	}
	p.write(t.Write)
	p.printf("\nInto the bike file:\n\ntensioner:\n  adjuster_range:\n    clicks: %s\n", strconv.FormatFloat(d.Clicks, 'g', -1, 64))
	for i, key := range []string{"first_inboard", "first_outboard"} {
		if step := []string{d.Inboard, d.Outer}[i]; step != "" {
			p.printf("    %s: %s\n", key, step)
		}
	}
	p.printf("\n%s\n%s", Wrap(fmt.Sprintf("One click moves the pulleys %.2f mm. Set the adjuster in the middle, %.0f clicks from either end.", d.PerClick, d.Clicks/2), Columns), wrapped(say.Next(next)))
	return p.err
}
