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
	"chainpath/sim/learn"
)

// Learning is the document of the learn command.
type Learning struct {
	Case      string        `json:"case"`
	Answer    *Answer       `json:"answer"`
	Shop      string        `json:"shop,omitempty"`
	Versions  int           `json:"versions"`
	Stages    int           `json:"stages"`
	Accepted  [2]float64    `json:"accepted"` // of moves of numbers, of offsets
	Ancestors int           `json:"ancestors"`
	Judged    int           `json:"judged"`
	Misread   LinesMisread  `json:"misread_chance"`
	Seen      []LearnedFrom `json:"observations"`
	Contrary  []string      `json:"contradictions"` // of two entries, in words
	Rates     []LearnedRate `json:"rates"`
	Unknowns  []Unknown     `json:"unknowns"`
	Gears     []LearnedGear `json:"gears"`
	Shifts    *ShiftsSeen   `json:"shifts"` // what was seen of shifts; null: nothing was
}

// LinesMisread are the chances that a line was misread; before anything was seen 0.1.
type LinesMisread struct {
	Front float64 `json:"front_line"`
	Rear  float64 `json:"rear_line"`
	words []string
}

// LearnedRate is the share of tries in which a fault happens in a gear.
type LearnedRate struct {
	RingTeeth int     `json:"ring_teeth"`
	CogTeeth  int     `json:"cog_teeth"`
	Concern   string  `json:"concern"`
	Off       int     `json:"off"` // counted
	Of        int     `json:"of"`
	Rate      float64 `json:"rate"`
	Next      [2]int  `json:"next_ten"` // at least and at most, with a chance of 0.8
	InTen     float64 `json:"above_one_in_ten_chance"`
	Words     string  `json:"words"` // of what was counted; "" where nothing was
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

// LearnedFrom is an observation beside all of them.
type LearnedFrom struct {
	Text     string  `json:"text"`
	Before   float64 `json:"chance_before"`
	After    float64 `json:"chance"`
	Unlikely bool    `json:"stays_unlikely"`
	Words    string  `json:"words"` // that it does; "" where not
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
	d := &Learning{Case: l.Case.Title, Shop: l.Shop, Versions: l.Particles, Stages: l.Stages, Ancestors: l.Ancestors, Judged: l.Evaluated, Gears: []LearnedGear{}, Contrary: []string{}, Rates: []LearnedRate{}}
	d.Accepted = [2]float64{round(l.Accepted[0]), round(l.Accepted[1])}
	d.Misread = misread(l)
	var err error
	if d.Answer, err = answerOf(l.Case, b, l.After); err != nil {
		return nil, err
	}
	for i := range l.Seen {
		s := &l.Seen[i]
		x := LearnedFrom{Text: s.Text, Before: share(s.Before), After: share(s.After), Unlikely: s.Unlikely()}
		if x.Unlikely {
			x.Words = say.Odd(x.Text, x.After)
		}
		d.Seen = append(d.Seen, x)
	}
	for i := range l.Rates {
		d.Rates = append(d.Rates, rateOf(&l.Rates[i], b))
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

func misread(l *cases.Lesson) LinesMisread {
	m := LinesMisread{Front: share(l.Misread[0]), Rear: share(l.Misread[1])}
	for i, end := range [...]string{"front", "rear"} {
		if p := l.Misread[i]; p >= learn.MisreadFrom {
			m.words = append(m.words, say.Misread(end, p))
		}
	}
	return m
}

func rateOf(r *learn.Rate, b *sim.Bike) LearnedRate {
	x := LearnedRate{
		RingTeeth: b.Rings[r.Gear/len(b.Cogs)].Teeth, CogTeeth: b.Cogs[r.Gear%len(b.Cogs)].Teeth, Concern: r.Concern.String(),
		Off: r.Off, Of: r.Of, Rate: share(r.Mean), Next: [2]int{r.Least, r.Most}, InTen: share(r.InTen),
	}
	if r.Of > 0 {
		c := say.Counted{What: fmt.Sprintf("the %d", x.CogTeeth), Off: r.Off, Of: r.Of, Least: r.Least, Most: r.Most, InTen: r.InTen}
		if len(b.Rings) > 1 {
			c.What = fmt.Sprintf("%d/%d", x.RingTeeth, x.CogTeeth)
		}
		if r.Concern == sim.DropBackwards {
			c.What += " when you back-pedal"
		}
		x.Words = c.Words()
	}
	return x
}

// counted are the words about what was counted: where most is, first.
func (d *Learning) counted() (out []string) {
	var rates []LearnedRate
	for _, r := range d.Rates {
		if r.Words != "" {
			rates = append(rates, r)
		}
	}
	sort.SliceStable(rates, func(i, j int) bool { return rates[i].Rate > rates[j].Rate })
	for _, r := range rates {
		out = append(out, r.Words)
	}
	return out
}

// mostCounted is how many counts the default answer tells of.
const mostCounted = 2

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
	counted := d.counted()
	if !all {
		counted = counted[:min(len(counted), mostCounted)]
	}
	s := screen{above: append(append([]string{d.Case}, counted...), words), table: d.changedTable(all), next: next}
	if d.Shop != "" {
		s.below = append(s.below, "This starts from a shop's memory: "+d.Shop+".")
	}
	s.below = append(s.below, d.Contrary[:min(len(d.Contrary), mostContrary)]...)
	for _, x := range d.Seen {
		if x.Words != "" {
			s.below = append(s.below, x.Words)
		}
	}
	s.below = append(s.below, d.Misread.words...)
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
	t := &Table{Head: [][]string{{"observation", "chance", ""}, {"", "before", "now"}}, Left: map[int]bool{0: true}, Flow: 1}
	for _, x := range d.Seen {
		t.Rows = append(t.Rows, []string{x.Text, say.Percent(x.Before), say.Percent(x.After)})
	}
	if len(d.Seen) > 0 {
		p.write(t.Write)
		p.printf("\n")
	}
	learnedUnknowns(p, d)
	p.printf("%s\n", Wrap(fmt.Sprintf("%d versions of the bike from the %s, in %d stages, %d judged; of the moves of numbers and of offsets %s and %s were taken; they come from %d of the first ones.",
		d.Versions, d.around(), d.Stages, d.Judged, say.Percent(d.Accepted[0]), say.Percent(d.Accepted[1]), d.Ancestors), Columns))
	return p.err
}

func (d *Learning) around() string {
	if d.Shop != "" {
		return "shop's versions"
	}
	return "shipped versions"
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

// Said is what was learned in a few sentences: what was counted, what does not fit, and the chances that changed
// most, so many of them.
func (d *Learning) Said(most int) (out []string) {
	counted := d.counted()
	out = append(out, counted[:min(len(counted), mostCounted)]...)
	out = append(out, d.Contrary...)
	for _, x := range d.Seen {
		if x.Words != "" {
			out = append(out, x.Words)
		}
	}
	out = append(out, d.Misread.words...)
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
