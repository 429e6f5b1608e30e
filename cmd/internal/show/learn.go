package show

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// Learning is the document of the learn command.
type Learning struct {
	Case       string        `json:"case"`
	Answer     *Answer       `json:"answer"`
	Shop       string        `json:"shop,omitempty"`
	Candidates int           `json:"candidates"`
	Size       float64       `json:"effective_size"`
	Temper     float64       `json:"temper"`
	Seen       []LearnedFrom `json:"observations"`
	Contrary   []string      `json:"contradictions"` // of two entries, in words
	Unknowns   []Unknown     `json:"unknowns"`
	Gears      []LearnedGear `json:"gears"`
	Shifts     *ShiftsSeen   `json:"shifts"` // what was seen of shifts; null: nothing was
}

// ShiftsSeen is what was seen of shifts, which teaches other commands.
type ShiftsSeen struct {
	Seen  []string `json:"observations"`
	Words string   `json:"words"`
}

// shiftsSeen says what entries of shifts teach; nil where there are none.
func shiftsSeen(c *cases.Case, b *sim.Bike) (*ShiftsSeen, error) {
	seen := c.SeenOfShifts()
	if len(seen) == 0 {
		return nil, nil
	}
	s, err := c.Shifting()
	if err != nil {
		return nil, err
	}
	var d Shifting
	d.advise(b, s)
	return &ShiftsSeen{seen, say.ShiftsTeach(len(seen), say.DoShifts(advice(d.Do), text(d.Check), s.Found))}, nil
}

// LearnedFrom is an observation beside all the others.
type LearnedFrom struct {
	Text       string  `json:"text"`
	Before     float64 `json:"chance_before"`
	Others     float64 `json:"chance_by_others"`
	Best       float64 `json:"chance_at_best"`
	Contrary   bool    `json:"contradicts_others"`
	Impossible bool    `json:"beyond_the_model"`
	Words      string  `json:"words"` // what does not fit; "" where it does
}

// Unknown is a free number before and after: 5, 50 and 95 % points in its unit.
type Unknown struct {
	Name   string     `json:"name"`
	Unit   string     `json:"unit"`
	Before [3]float64 `json:"before"`
	After  [3]float64 `json:"after"`
	Told   bool       `json:"told"`
}

// LearnedGear is a gear's chances before and after.
type LearnedGear struct {
	RingTeeth int    `json:"ring_teeth"`
	CogTeeth  int    `json:"cog_teeth"`
	Before    Chance `json:"chance_before"`
	After     Chance `json:"chance"`
}

// FromLesson returns the document of what a case's observations teach.
func FromLesson(l *cases.Lesson, b *sim.Bike) (*Learning, error) {
	d := &Learning{Case: l.Case.Title, Shop: l.Shop, Candidates: l.Candidates, Size: round(l.Size), Temper: round(l.Temper), Gears: []LearnedGear{}, Contrary: []string{}}
	var err error
	if d.Answer, err = answerOf(l.Case, b, l.After); err != nil {
		return nil, err
	}
	for i := range l.Seen {
		s := &l.Seen[i]
		x := LearnedFrom{Text: s.Text, Before: share(s.Before), Others: share(s.Others), Best: share(s.Best), Contrary: s.Contrary(), Impossible: s.Impossible()}
		if x.Contrary || x.Impossible {
			x.Words = say.Odd(x.Text, x.Others, x.Impossible)
		}
		d.Seen = append(d.Seen, x)
	}
	if d.Shifts, err = shiftsSeen(l.Case, b); err != nil {
		return nil, err
	}
	contrary, err := l.Case.Contrary()
	if err != nil {
		return nil, err
	}
	for _, x := range contrary {
		d.Contrary = append(d.Contrary, x.Words+".")
	}
	for i := range l.Moves {
		m := &l.Moves[i]
		u := Unknown{Name: m.Name, Unit: m.Unit, Told: m.Told()}
		for k := range m.Before {
			u.Before[k], u.After[k] = round(m.Before[k]), round(m.After[k])
		}
		d.Unknowns = append(d.Unknowns, u)
	}
	for i := range l.After {
		d.Gears = append(d.Gears, LearnedGear{b.Rings[i/len(b.Cogs)].Teeth, b.Cogs[i%len(b.Cogs)].Teeth, chanceOf(&l.Before[i]), chanceOf(&l.After[i])})
	}
	return d, nil
}

// LearningHeader names the columns of the learn command's CSV, one row a gear and concern.
var LearningHeader = []string{"ring_teeth", "cog_teeth", "concern", "chance_before", "chance"}

// Rows returns the CSV rows.
func (d *Learning) Rows() (rows [][]string) {
	for _, g := range d.Gears {
		for k := range sim.NumConcerns {
			c := sim.Concern(k)
			rows = append(rows, []string{fmt.Sprint(g.RingTeeth), fmt.Sprint(g.CogTeeth), c.String(), num(g.Before.at(c)), num(g.After.at(c))})
		}
	}
	return rows
}

// LearningText prints what was learned: the answer, the chances that changed, what does not
// fit, that nothing is kept yet where it is so, and what to type next; all adds every observation,
// the unknowns that moved, and those that nothing told of.
func LearningText(w io.Writer, d *Learning, all, lost bool, next string) error {
	words := say.Learned(d.Answer.Words)
	if len(d.Seen) == 0 {
		words = "From the shop's other bikes: " + d.Answer.Words + " Nothing was seen of this bike itself."
	}
	if d.Answer.Usual != nil {
		words += " " + d.Answer.Usual.Words
	}
	s := screen{above: []string{d.Case, words}, table: d.changedTable(all), next: next}
	if d.Shop != "" {
		s.below = append(s.below, "This starts from a shop's memory: "+d.Shop+".")
	}
	s.below = append(s.below, d.Contrary[:min(len(d.Contrary), mostContrary)]...)
	for _, x := range d.Seen {
		if x.Words != "" {
			s.below = append(s.below, x.Words)
		}
	}
	if len(d.moves((*say.Moved).Changed)) == 0 {
		s.below = append(s.below, say.Unmoved)
	}
	if d.Shifts != nil {
		s.below = append(s.below, d.Shifts.Words)
	}
	if lost {
		s.below = append(s.below, say.NotKept)
	}
	s.notes = []string{d.silentWords(), say.Model}
	if err := s.write(w); err != nil || !all {
		return err
	}
	p := &printer{w: w}
	p.printf("\n")
	t := &Table{Head: [][]string{{"observation", "chance", "by the"}, {"", "before", "others"}}, Left: map[int]bool{0: true}, Flow: 1}
	for _, x := range d.Seen {
		t.Rows = append(t.Rows, []string{x.Text, say.Percent(x.Before), say.Percent(x.Others)})
	}
	if len(d.Seen) > 0 {
		p.write(t.Write)
		p.printf("\n")
	}
	learnedUnknowns(p, d)
	p.printf("%s\n", Wrap(fmt.Sprintf("%d candidates around the %s, effective size %.0f%s.", d.Candidates, d.around(), d.Size, tempered(d.Temper)), Columns))
	return p.err
}

func (d *Learning) around() string {
	if d.Shop != "" {
		return "shop's versions"
	}
	return "shipped versions"
}

func tempered(power float64) string {
	if power >= 1 {
		return ""
	}
	return fmt.Sprintf("; what was seen counts with the power of %.2f to keep it there", power)
}

// mostContrary is how many contradictions the default answer names.
const mostContrary = 2

// mostMoved is how many changed chances the default answer shows.
const mostMoved = 8

// changedTable has the chances that are spoken of or changed, the greatest before or now first; nil for none.
func (d *Learning) changedTable(all bool) *Table {
	moves := d.moves(func(m *say.Moved) bool { return max(m.Before, m.After) >= say.FromUnlikely || m.Changed() })
	if len(moves) == 0 {
		return nil
	}
	greatest := func(m *say.Moved) float64 { return max(m.Before, m.After) }
	sort.SliceStable(moves, func(i, j int) bool { return greatest(&moves[i]) > greatest(&moves[j]) })
	if !all {
		moves = moves[:min(len(moves), mostMoved)]
	}
	t := &Table{Head: [][]string{{"gear", "chance of", "before", "now"}}, Left: map[int]bool{0: true, 1: true}}
	for _, m := range moves {
		t.Rows = append(t.Rows, []string{m.Gear, m.Of.Words(), say.Percent(m.Before), say.Percent(m.After)})
	}
	return t
}

// moves are the chances before and after that are asked for, those that changed most first.
func (d *Learning) moves(are func(*say.Moved) bool) (out []say.Moved) {
	for _, g := range d.Gears {
		for k := range sim.NumConcerns {
			c := sim.Concern(k)
			before, after := g.Before.at(c), g.After.at(c)
			if before == nil || after == nil {
				continue
			}
			m := say.Moved{Of: c, Gear: fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), Before: *before, After: *after}
			if are(&m) {
				out = append(out, m)
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		return math.Abs(out[i].After-out[i].Before) > math.Abs(out[j].After-out[j].Before)
	})
	return out
}

// Said is what was learned in a few sentences: what does not fit, and the chances that changed
// most, so many of them.
func (d *Learning) Said(most int) (out []string) {
	out = append(out, d.Contrary...)
	for _, x := range d.Seen {
		if x.Words != "" {
			out = append(out, x.Words)
		}
	}
	moves := d.moves((*say.Moved).Changed)
	for _, m := range moves[:min(most, len(moves))] {
		out = append(out, say.Capital(m.Words())+".")
	}
	if len(moves) == 0 {
		out = append(out, say.Unmoved)
	}
	if d.Shifts != nil {
		out = append(out, d.Shifts.Words)
	}
	return out
}

// silentWords say how many unknowns nothing told of.
func (d *Learning) silentWords() string {
	n := 0
	for _, u := range d.Unknowns {
		if !u.Told {
			n++
		}
	}
	if n == 0 {
		return "Every unknown changed (--all)."
	}
	return fmt.Sprintf("%d unknowns did not change (--all).", n)
}

func learnedUnknowns(p *printer, d *Learning) {
	t := &Table{Head: [][]string{{"unknown", "before", "", "", "now", "", "", "unit"}, {"", "5 %", "50 %", "95 %", "5 %", "50 %", "95 %", ""}}, Left: map[int]bool{0: true, 7: true}, Flow: 1}
	var silent []string
	for _, u := range d.Unknowns {
		if !u.Told {
			silent = append(silent, u.Name)
			continue
		}
		row := []string{u.Name}
		for _, x := range append(u.Before[:], u.After[:]...) {
			row = append(row, fmt.Sprintf("%.3g", x))
		}
		t.Rows = append(t.Rows, append(row, u.Unit))
	}
	if len(t.Rows) > 0 {
		p.write(t.Write)
		p.printf("\n")
	}
	if len(silent) > 0 {
		p.printf("%s\n\n", Wrap("Did not change: "+strings.Join(silent, "; ")+".", Columns))
	}
}
