package show

import (
	"fmt"
	"io"
	"math"
	"sort"
	"strings"

	"chainpath/cases"
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
	Unknowns   []Unknown     `json:"unknowns"`
	Gears      []LearnedGear `json:"gears"`
}

// LearnedFrom is an observation beside all the others.
type LearnedFrom struct {
	Text       string  `json:"text"`
	Before     float64 `json:"chance_before"`
	Others     float64 `json:"chance_by_others"`
	Best       float64 `json:"chance_at_best"`
	Contrary   bool    `json:"contradicts_others"`
	Impossible bool    `json:"beyond_the_model"`
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
	d := &Learning{Case: l.Case.Title, Shop: l.Shop, Candidates: l.Candidates, Size: round(l.Size), Temper: round(l.Temper), Gears: []LearnedGear{}}
	var err error
	if d.Answer, err = answerOf(l.Case, b, l.After); err != nil {
		return nil, err
	}
	for i := range l.Seen {
		s := &l.Seen[i]
		d.Seen = append(d.Seen, LearnedFrom{s.Text, share(s.Before), share(s.Others), share(s.Best), s.Contrary(), s.Impossible()})
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

// changed is how far a chance has to move to be told of.
const changed = 0.05

// LearningText prints what was learned: the answer, what contradicts, the chances that
// changed, the unknowns that moved, and those that nothing told of.
func LearningText(w io.Writer, d *Learning) error {
	p := &printer{w: w}
	p.printf("%s\n%s\n", d.Case, Wrap(d.by()+lower(d.Answer.Words), Columns))
	if u := d.Answer.Usual; u != nil {
		p.printf("%s\n", Wrap(u.Words, Columns))
	}
	p.printf("\n")
	if d.Shop != "" {
		p.printf("%s\n\n", Wrap("Starts from a shop's memory: "+d.Shop+".", Columns))
	}
	if len(d.Seen) == 0 {
		p.printf("Nothing was seen of this bike itself.\n")
	}
	t := &Table{Head: [][]string{{"observation", "chance", "by the", "note"}, {"", "before", "others", ""}}, Left: map[int]bool{0: true, 3: true}, Flow: 1}
	for _, s := range d.Seen {
		word := ""
		if s.Contrary {
			word = "contradicts the others"
		}
		if s.Impossible {
			word = "beyond the model"
		}
		t.Rows = append(t.Rows, []string{s.Text, fmt.Sprintf("%.2f", s.Before), fmt.Sprintf("%.2f", s.Others), word})
	}
	if len(d.Seen) > 0 {
		p.write(t.Write)
	}
	for _, s := range d.Seen {
		switch {
		case s.Impossible:
			p.printf("\n%s\n", Wrap(fmt.Sprintf("Nothing in the model makes %q: look at the hanger, the cable and the indexing, a stiff link, worn or bent teeth, and at the observation itself.", s.Text), Columns))
		case s.Contrary:
			p.printf("\n%s\n", Wrap(fmt.Sprintf("%q contradicts all the others, which give it a chance of %.2f: look again, or for a cause that the model does not know.", s.Text, s.Others), Columns))
		}
	}
	p.printf("\n")
	learnedChances(p, d)
	learnedUnknowns(p, d)
	p.printf("%s\n%s\n", Wrap(fmt.Sprintf("%d candidates around the %s, effective size %.0f%s.", d.Candidates, d.around(), d.Size, tempered(d.Temper)), Columns), Wrap(Caveat, Columns))
	return p.err
}

func (d *Learning) by() string {
	if len(d.Seen) == 0 {
		return "By the shop's other bikes: "
	}
	return "By what was seen: "
}

func (d *Learning) around() string {
	if d.Shop != "" {
		return "shop's sets"
	}
	return "shipped sets"
}

func tempered(power float64) string {
	if power >= 1 {
		return ""
	}
	return fmt.Sprintf(", what was seen counted by the power of %.2f to keep it there", power)
}

func lower(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func learnedChances(p *printer, d *Learning) {
	type move struct {
		row []string
		by  float64
	}
	var moves []move
	for _, g := range d.Gears {
		for k := range sim.NumConcerns {
			c := sim.Concern(k)
			before, after := g.Before.at(c), g.After.at(c)
			if before == nil || after == nil || math.Abs(*after-*before) < changed {
				continue
			}
			moves = append(moves, move{[]string{fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), c.Words(), fmt.Sprintf("%.2f", *before), fmt.Sprintf("%.2f", *after)}, math.Abs(*after - *before)})
		}
	}
	if len(moves) == 0 {
		p.printf("No chance of any gear changed by %.2f and more.\n\n", changed)
		return
	}
	sort.SliceStable(moves, func(i, j int) bool { return moves[i].by > moves[j].by })
	t := &Table{Head: [][]string{{"gear", "chance of", "before", "now"}}, Left: map[int]bool{0: true, 1: true}}
	for _, m := range moves {
		t.Rows = append(t.Rows, m.row)
	}
	p.write(t.Write)
	p.printf("\n")
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
		p.printf("%s\n\n", Wrap("What was seen does not tell: "+strings.Join(silent, "; ")+".", Columns))
	}
}
