package show

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Parts is the JSON document of the parts command.
type Parts struct {
	Answer       string      `json:"answer"`
	Case         string      `json:"case"`
	Catalogue    string      `json:"catalogue"`
	Complaint    []string    `json:"complaint"`
	Combinations int         `json:"combinations"`
	Evaluated    int         `json:"evaluated"`
	Looked       int         `json:"looked_at_closely"`
	Failed       int         `json:"failed"`
	Partial      bool        `json:"partial"`
	Before       PartsScore  `json:"before"`
	Best         []PartsBest `json:"best"`
	Compared     Comparison  `json:"compared"`
	LeftOut      []LeftOut   `json:"left_out"`
}

// LeftOut is a change of the list that does not fit the bike.
type LeftOut struct {
	Change string `json:"change"`
	Why    string `json:"why"`
}

// LeftOutOf returns what does not fit; never nil.
func LeftOutOf(list []cases.LeftOut) []LeftOut {
	out := []LeftOut{}
	for _, x := range list {
		out = append(out, LeftOut{x.Name, x.Why})
	}
	return out
}

// LeftOutWords says which changes do not fit, so many of them by name; "" for none.
func LeftOutWords(list []LeftOut, most int) string {
	var unfit []say.Unfit
	for _, x := range list {
		unfit = append(unfit, say.Unfit{Name: x.Change, Why: x.Why})
	}
	return say.LeftOut(unfit, most)
}

// PartsScore is what is to be expected of a combination; sums by the weights.
type PartsScore struct {
	Left float64 `json:"complaint_trouble"`
	Harm float64 `json:"new_harm"`
	Trouble
	Links   int      `json:"links"`
	AnyLate *float64 `json:"chance_any_late"` // that some shift is late; null where nothing is shifted
}

// PartsBest is one combination that is worth its price and changes.
type PartsBest struct {
	Changes []string  `json:"changes"`
	Price   float64   `json:"price"`
	Avoided float64   `json:"trouble_avoided"`
	Surer   *float64  `json:"sets_better"`
	Worse   []Changed `json:"worse"`
	PartsScore
	wasLate *float64 // AnyLate of the bike as it is
}

// ScoreOf returns what is to be expected.
func ScoreOf(e *cases.Expected) PartsScore {
	return PartsScore{share(e.Judged.Left), share(e.Judged.Harm), troubleOf(&e.Trouble), e.Judged.Links, lateShare(e)}
}

// lateShare is the chance that some shift is late, as it is printed; nil where nothing is shifted.
func lateShare(e *cases.Expected) *float64 {
	late := e.Late()
	if late == nil {
		return nil
	}
	x := share(*late)
	return &x
}

// BestOf returns a combination with its changes' names; before is the bike as it is.
func BestOf(p *decide.Plan, o *decide.Effect, e, before *cases.Expected) PartsBest {
	b := PartsBest{Price: o.Price, PartsScore: ScoreOf(e), Changes: []string{}, Worse: []Changed{}, wasLate: lateShare(before)}
	b.Avoided = share(before.Judged.Sum() - e.Judged.Sum())
	if len(o.Picks) > 0 {
		x := share(e.Surer)
		b.Surer = &x
	}
	for _, i := range o.Picks {
		b.Changes = append(b.Changes, p.Options[i].Name)
	}
	for _, c := range changesOf(e, before) {
		if c.Chance > c.First {
			b.Worse = append(b.Worse, c)
		}
	}
	return b
}

// Better returns the chances that a change makes smaller, those that change most first.
func Better(e, before *cases.Expected) []Changed {
	list := []Changed{}
	for _, c := range changesOf(e, before) {
		if c.Chance < c.First {
			list = append(list, c)
		}
	}
	return list
}

func changesOf(e, before *cases.Expected) []Changed {
	now, was := SetUp{Result: e.Result, Chances: e.Chances}, SetUp{Result: before.Result, Chances: before.Chances}
	return now.changes(&was)
}

// Name returns the changes in words.
func (b PartsBest) Name() string {
	if len(b.Changes) == 0 {
		return say.AsItIs
	}
	return strings.Join(b.Changes, " + ")
}

// Change is the combination as an advice; less are the chances it makes smaller, prices false
// leaves the price out.
func (b *PartsBest) Change(less []Changed, prices bool) *say.Change {
	c := &say.Change{Before: b.score() + b.Avoided, After: b.score(), Helps: b.Surer, Less: movedOf(less), More: movedOf(b.Worse)}
	if b.AnyLate != nil && b.wasLate != nil {
		c.Shifts = &say.LateShift{Before: *b.wasLate, After: *b.AnyLate}
	}
	if len(b.Changes) > 0 {
		c.Name = b.Name()
	}
	if prices {
		c.Price = &b.Price
	}
	return c
}

// score is what is left of the fault score: of what is complained of, and all else that grew.
func (b *PartsBest) score() float64 { return b.Left + b.Harm }

// Sure returns on how many of 100 bikes like this the change is for the better, in words.
func (b PartsBest) Sure() string { return b.Change(nil, true).OfHundred() }

// Harms names what becomes likelier, in short.
func (b PartsBest) Harms() string { return b.Change(nil, true).Side() }

// NameAndShifts is the name with what it does to shifting, where it does much.
func (b PartsBest) NameAndShifts() string { return b.Name() + b.Change(nil, true).Shifts.Aside() }

// Picks returns which combinations are named: that worth most beyond its price, where a fault score
// of 1 is worth so much money, that with the fewest faults, the cheapest that halves today's score and
// the best free one, each of the latter nil where there is none. Best are in the order of trouble, and
// hold the bike as it is; priced false leaves prices out.
func (d *Parts) Picks(priced bool, worth float64) (top, least, half, free *PartsBest) {
	least = &d.Best[0]
	top = least
	for i := range d.Best {
		b := &d.Best[i]
		if priced && b.score() <= b.Avoided && len(b.Changes) > 0 && (half == nil || b.Price < half.Price) {
			half = b
		}
		if priced && b.Avoided*worth-b.Price > top.Avoided*worth-top.Price {
			top = b
		}
		if priced && b.Price == 0 && len(b.Changes) > 0 && (free == nil || b.score() < free.score()) {
			free = b
		}
	}
	return top, least, half, free
}

// PartsWords is the answer: what to change, or to leave it, and why; without prices none is named.
func PartsWords(d *Parts, before *cases.Expected, w *decide.Weights, priced bool, worth float64) string {
	if len(d.Best) == 0 {
		return ""
	}
	top, least, half, free := d.Picks(priced, worth)
	if len(least.Changes) == 0 {
		return say.Leave(before.Judged.Sum(), mostOf(&before.Trouble, w))
	}
	var out []string
	if len(top.Changes) == 0 {
		out = append(out, say.LeaveUnpaid)
	} else {
		out = append(out, top.Change(nil, priced).Best())
	}
	if least != top {
		out = append(out, least.Change(nil, priced).Instead("Fewest faults"))
	}
	if half != nil && half != top && half != least && half != free {
		out = append(out, half.Change(nil, true).Instead("Half of them"))
	}
	if free != nil && free != top && free != least {
		out = append(out, free.Change(nil, true).Instead("Free"))
	}
	return strings.Join(out, " ")
}

// mostOf is the concern that a trouble is mostly made of.
func mostOf(t *decide.Trouble, w *decide.Weights) sim.Concern {
	most := 0
	for k := range t.By {
		if t.By[k]*w[k] > t.By[most]*w[most] {
			most = k
		}
	}
	return sim.Concern(most)
}

// PartsHeader names the columns of the parts command's CSV.
var PartsHeader = append([]string{"rank", "changes", "number", "price", "complaint_trouble", "new_harm", "trouble", "trouble_avoided", "sets_better", "links", "chance_any_late"}, chanceColumns()...)

// Rows returns the CSV rows, one a combination; the concerns are shares of time.
func (d *Parts) Rows() (rows [][]string) {
	for i, b := range d.Best {
		row := []string{fmt.Sprint(i + 1), b.Name(), fmt.Sprint(len(b.Changes)), num(&b.Price), num(&b.Left), num(&b.Harm), num(&b.Trouble.Trouble), num(&b.Avoided), num(b.Surer), fmt.Sprint(b.Links), num(b.AnyLate)}
		for _, k := range chanceColumns() {
			row = append(row, fmt.Sprint(b.Shares[k]))
		}
		rows = append(rows, row)
	}
	return rows
}

// mostRanks is how many ranks the default answer shows, and with all of them.
const (
	mostRanks = 5
	allRanks  = 15
)

// mostOut is how many changes that do not fit are named.
func mostOut(all bool) int {
	if all {
		return math.MaxInt
	}
	return 1
}

// ranked are the best so many, the bike as it is always among them.
func ranked(best []PartsBest, most int) []PartsBest {
	at := slices.IndexFunc(best, func(b PartsBest) bool { return len(b.Changes) == 0 })
	if at < most {
		return best[:min(len(best), most)]
	}
	return append(slices.Clone(best[:most-1]), best[at])
}

// PartsTable prints the answer and the ranking; all adds the best set-ups beside the present one.
func PartsTable(w io.Writer, d *Parts, sets []SetUp, all bool, next string) error {
	most := mostRanks
	if all {
		most = allRanks
	}
	t := &Table{Head: [][]string{{"fault", "price", "better", "changes", "side effect"}, {"score", "", "on %", "", ""}}, Left: map[int]bool{3: true, 4: true}, Flow: 4}
	for _, b := range ranked(d.Best, most) {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%.2f", b.score()), fmt.Sprintf("%.2f", b.Price), b.Sure(), b.NameAndShifts(), b.Harms()})
	}
	s := screen{above: []string{"Changes for: " + d.Case, d.Answer}, table: t, below: []string{say.Parts}, next: next}
	if out := LeftOutWords(d.LeftOut, mostOut(all)); out != "" {
		s.below = append([]string{out}, s.below...)
	}
	looked := fmt.Sprintf("%d of %d combinations looked at, %d of them closely.", d.Evaluated, d.Combinations, d.Looked)
	if d.Failed > 0 {
		looked += fmt.Sprintf(" %d cannot be built, or would touch frame, wheel or tyre.", d.Failed)
	}
	if d.Partial {
		s.below = append(s.below, "PARTIAL: stopped early, better ones may be missing.")
	}
	s.notes = []string{say.FaultScore, looked, say.Model}
	if !all {
		s.notes = append(s.notes, "More combinations, gears side by side: --all.")
	}
	if err := s.write(w); err != nil || !all {
		return err
	}
	if _, err := io.WriteString(w, "\n"); err != nil {
		return err
	}
	return CompareTable(w, &d.Compared, sets, true, "")
}
