package show

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/indexing"
	"chainpath/sim/judge"
)

// Shifting is the document of the shifts command.
type Shifting struct {
	Case     string         `json:"case"`
	Answer   string         `json:"answer"`
	Do       []DoDoc        `json:"do"`
	Suspects []ShiftSuspect `json:"suspects"`
	Check    *string        `json:"check_first"` // what tells the first two suspects apart
	Setting  CableSetting   `json:"setting"`
	Window   SettingWindow  `json:"window"`
	AnyLate  float64        `json:"chance_any_late"`
	Shifts   []ShiftDoc     `json:"shifts"`
	Windows  []IndexedGear  `json:"windows"`
	Gates    bool           `json:"gates"`
	Front    []TrimOfRing   `json:"front"`
	Notes    []string       `json:"notes"`
	Headline string         `json:"headline"` // of the figure
	Rooms    []ShiftRoom    `json:"rooms"`
}

// DoDoc is something to do.
type DoDoc struct {
	Do     string   `json:"do"`
	Fault  string   `json:"fault"`
	Chance float64  `json:"chance"` // of what the file tells: that it is felt; of what was seen: that it is the fault
	From   string   `json:"from"`   // file or seen
	Size   float64  `json:"size"`
	Unit   string   `json:"unit"`
	Clicks *float64 `json:"clicks"` // of the adjuster: > 0 out, < 0 in
	After  *float64 `json:"chance_any_late_after"`
}

// ShiftSuspect is a fault as the cause of what was seen.
type ShiftSuspect struct {
	Fault string  `json:"fault"`
	Words string  `json:"words"`
	Share float64 `json:"share"`
	Size  float64 `json:"size"`
	Unit  string  `json:"unit"`
	At    string  `json:"at"` // the cog or pair; empty: it has none
}

// CableSetting is how the cable is set.
type CableSetting struct {
	Read     bool     `json:"read"` // from the file; else it is set at its best
	Off      float64  `json:"off_best_mm"`
	Clicks   *float64 `json:"clicks_to_turn"` // > 0 out, < 0 in; null: it has none
	PerClick *float64 `json:"pulley_per_click_mm"`
}

// SettingWindow is where the cable may be set for every shift: 5, 50 and 95 % points.
type SettingWindow struct {
	Width   judge.Size  `json:"width_mm"`
	Clicks  *judge.Size `json:"clicks"`
	Exists  float64     `json:"chance_it_exists"`
	Inboard string      `json:"late_first_inboard"`
	Outer   string      `json:"late_first_outboard"`
}

// IndexedGear is where the guide pulley may stand in a gear for the chain to run.
type IndexedGear struct {
	RingTeeth int        `json:"ring_teeth"`
	CogTeeth  int        `json:"cog_teeth"`
	From      judge.Size `json:"from_mm"`
	To        judge.Size `json:"to_mm"`
	Inboard   string     `json:"bound_inboard"`
	Outboard  string     `json:"bound_outboard"`
	Hanger    float64    `json:"hanger_mm"`
}

// ShiftRoom is where the guide pulley may sit for the shifts to a cog, mm outboard of where the best
// setting puts it: 5, 50 and 95 % points of both ends; nil where no shift sets that end.
type ShiftRoom struct {
	CogTeeth int         `json:"cog_teeth"`
	From     *judge.Size `json:"from_mm"`
	To       *judge.Size `json:"to_mm"`
}

// ShiftDoc is a shift from one cog to the next.
type ShiftDoc struct {
	RingTeeth int        `json:"ring_teeth"`
	From      int        `json:"from_teeth"`
	To        int        `json:"to_teeth"`
	Late      float64    `json:"chance_late"`
	Margin    judge.Size `json:"margin_mm"`
}

// FromShifting returns the document of a case's shifts; windows may be nil.
func FromShifting(s *cases.Shifting, windows []cases.IndexedGear, c *cases.Case, b *sim.Bike, r *sim.Result) *Shifting {
	d := &Shifting{
		Case: c.Title, Do: []DoDoc{}, Suspects: []ShiftSuspect{}, Shifts: []ShiftDoc{}, Windows: []IndexedGear{}, Front: trims(b, r), Gates: b.Tensioner.Stops.Gates,
		AnyLate: share(s.Late), Rooms: []ShiftRoom{},
		Setting: CableSetting{Read: s.Found, Off: round(s.Off)},
		Window:  SettingWindow{Width: rounded(s.Window), Exists: share(s.Exists), Inboard: stepName(b, s.Inboard), Outer: stepName(b, s.Outer)},
	}
	if s.Click > 0 {
		per, turn, clicks := round(s.Click), round(s.Clicks), judge.Size{}
		for i, x := range s.Window {
			clicks[i] = round(x / s.Click)
		}
		d.Setting.PerClick, d.Setting.Clicks, d.Window.Clicks = &per, &turn, &clicks
	}
	for i := range s.Shifts {
		x := &s.Shifts[i]
		d.Shifts = append(d.Shifts, ShiftDoc{b.Rings[x.Ring].Teeth, b.Cogs[x.From()].Teeth, b.Cogs[x.To()].Teeth, share(x.Late), rounded(x.Margin)})
	}
	for i := range windows {
		w := &windows[i]
		d.Windows = append(d.Windows, IndexedGear{b.Rings[w.Ring].Teeth, b.Cogs[w.Cog].Teeth, rounded(w.From), rounded(w.To), w.Binds[0].String(), w.Binds[1].String(), round(w.Off)})
	}
	for i, x := range s.Cogs {
		d.Rooms = append(d.Rooms, ShiftRoom{b.Cogs[i].Teeth, endOf(x.From), endOf(x.To)})
	}
	d.advise(b, s)
	d.Answer, d.Headline = d.words(), d.headline()
	d.Notes = d.notes(c, s)
	return d
}

func rounded(s judge.Size) judge.Size { return judge.Size{round(s[0]), round(s[1]), round(s[2])} }

// endOf is an end of a room; nil where nothing sets it.
func endOf(s judge.Size) *judge.Size {
	if math.IsInf(s[1], 0) {
		return nil
	}
	r := rounded(s)
	return &r
}

func stepName(b *sim.Bike, s indexing.Shift) string {
	return fmt.Sprintf("%d>%d", b.Cogs[s.From()].Teeth, b.Cogs[s.To()].Teeth)
}

// said says a step's name in words: 17>19 is 17 to 19.
func said(step string) string { return strings.ReplaceAll(step, ">", " to ") }

// words is the answer: what to do, the window, the worst shift.
func (d *Shifting) words() string {
	return say.DoShifts(advice(d.Do), text(d.Check), d.Setting.Read) + " " + d.oneSetting().Words()
}

// text is what is told, "" for nothing.
func text(s *string) string {
	if s == nil {
		return ""
	}
	return *s
}

// oneSetting is the window and the worst shift as they are said.
func (d *Shifting) oneSetting() *say.OneSetting {
	x := d.Shifts[d.worst()]
	s := &say.OneSetting{Width: d.Window.Width, Exists: d.Window.Exists, Inboard: said(d.Window.Inboard), Outer: said(d.Window.Outer), Worst: [2]int{x.From, x.To}, Late: x.Late}
	if d.Setting.PerClick != nil {
		s.Click = *d.Setting.PerClick
	}
	return s
}

// headline is the figure's first line.
func (d *Shifting) headline() string {
	turn := 0.0
	if n := d.Setting.Clicks; n != nil && d.Setting.Read {
		turn = *n
	}
	return d.oneSetting().Headline(turn)
}

// worst returns the place of the shift that is late most likely.
func (d *Shifting) worst() (at int) {
	for i := range d.Shifts {
		if d.Shifts[i].Late > d.Shifts[at].Late {
			at = i
		}
	}
	return at
}

func (d *Shifting) notes(c *cases.Case, s *cases.Shifting) []string {
	n := say.ShiftNotes{Set: d.Setting.Read, Off: s.Off, Adjuster: s.Click > 0, Unmatched: c.Tensioner == nil || len(c.Tensioner.Cable) == 0, Gates: d.Gates}
	if s.Counted != nil {
		n.Counted = &s.Counted.Clicks.Value
	}
	return n.Words()
}

// ShiftsHeader names the columns of the shifts command's CSV, one row a shift.
var ShiftsHeader = []string{"ring_teeth", "from_teeth", "to_teeth", "chance_late", "margin_mm", "margin_low_mm", "margin_high_mm"}

// Rows returns the CSV rows.
func (d *Shifting) Rows() (rows [][]string) {
	for _, x := range d.Shifts {
		rows = append(rows, []string{fmt.Sprint(x.RingTeeth), fmt.Sprint(x.From), fmt.Sprint(x.To), fmt.Sprint(x.Late), fmt.Sprint(x.Margin[1]), fmt.Sprint(x.Margin[0]), fmt.Sprint(x.Margin[2])})
	}
	return rows
}

// IndexHeader names the columns of its CSV with --rows windows, one row a gear.
var IndexHeader = []string{"ring_teeth", "cog_teeth", "from_mm", "from_low_mm", "from_high_mm", "to_mm", "to_low_mm", "to_high_mm", "bound_inboard", "bound_outboard", "hanger_mm"}

// IndexRows returns its CSV rows.
func (d *Shifting) IndexRows() (rows [][]string) {
	for _, w := range d.Windows {
		rows = append(rows, []string{fmt.Sprint(w.RingTeeth), fmt.Sprint(w.CogTeeth), fmt.Sprint(w.From[1]), fmt.Sprint(w.From[0]), fmt.Sprint(w.From[2]), fmt.Sprint(w.To[1]), fmt.Sprint(w.To[0]), fmt.Sprint(w.To[2]), w.Inboard, w.Outboard, fmt.Sprint(w.Hanger)})
	}
	return rows
}

// mostLate is how many late shifts the default answer lists.
const mostLate = 6

// ShiftsText prints the answer, the room for the setting and the shifts that are late, the worst
// first, and what to type next; all adds every shift, which are alike on every chainring, and where
// the front derailleur's cage runs free.
func ShiftsText(w io.Writer, d *Shifting, all bool, next string) error {
	span := func(s judge.Size) string {
		return fmt.Sprintf("%.1f (%.1f to %.1f)", say.Zeroed(s[1]), say.Zeroed(s[0]), say.Zeroed(s[2]))
	}
	room := fmt.Sprintf("Room for the cable's setting: %s mm", span(d.Window.Width))
	if d.Window.Clicks != nil {
		room += fmt.Sprintf(", %s clicks", span(*d.Window.Clicks))
	}
	room += "; in brackets 90 of 100 bikes."
	if all {
		return d.everyShift(w, room, span)
	}
	var late []ShiftDoc
	for _, x := range d.Shifts {
		if x.RingTeeth == d.Shifts[0].RingTeeth && say.LevelOf(x.Late) > say.Quiet {
			late = append(late, x)
		}
	}
	slices.SortStableFunc(late, func(a, b ShiftDoc) int { return cmp.Compare(b.Late, a.Late) })
	s := screen{above: []string{d.Case, d.Answer}, below: []string{room}, notes: d.Notes, next: next}
	if words := trimWords(d.Front); words != "" {
		s.notes = append([]string{words}, s.notes...)
	}
	if len(late) > 1 {
		s.table = &Table{Head: [][]string{{"shift", "late", "room left, mm"}}, Left: map[int]bool{0: true}}
		for _, x := range late[:min(len(late), mostLate)] {
			s.table.Rows = append(s.table.Rows, []string{fmt.Sprintf("%d to %d", x.From, x.To), say.Percent(x.Late), span(x.Margin)})
		}
	}
	s.notes = append(s.notes, "Every shift: --all.")
	return s.write(w)
}

// everyShift prints all there is.
func (d *Shifting) everyShift(w io.Writer, room string, span func(judge.Size) string) error {
	p := &printer{w: w}
	p.printf("%s\n%s\n\n", d.Case, Wrap(d.Answer, Columns))
	if len(d.Do) > 1 {
		t := &Table{Head: [][]string{{"what to do", "chance", "late after"}}, Left: map[int]bool{0: true}, Flow: 1}
		for _, x := range d.Do {
			after := "-"
			if x.After != nil {
				after = say.Percent(*x.After)
			}
			t.Rows = append(t.Rows, []string{x.Do, say.Percent(x.Chance), after})
		}
		p.write(t.Write)
		p.printf("\n")
	}
	p.printf("%s\n\n", Wrap(room, Columns))
	t := &Table{Head: [][]string{{"shift", "late", "room left, mm", "back", "late", "room left, mm"}}, Left: map[int]bool{0: true, 3: true}}
	late := func(x *ShiftDoc) []string {
		p := "-"
		if say.LevelOf(x.Late) > say.Quiet {
			p = say.Percent(x.Late)
		}
		return []string{fmt.Sprintf("%d to %d", x.From, x.To), p, span(x.Margin)}
	}
	for i := 0; i+1 < len(d.Shifts) && d.Shifts[i].RingTeeth == d.Shifts[0].RingTeeth; i += 2 {
		t.Rows = append(t.Rows, append(late(&d.Shifts[i]), late(&d.Shifts[i+1])...))
	}
	p.write(t.Write)
	p.printf("\n\"-\": no fault expected.\n\n")
	trimText(p, d.Front)
	for _, n := range d.Notes {
		p.printf("%s\n", Wrap(n, Columns))
	}
	return p.err
}
