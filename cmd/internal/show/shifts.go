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
)

// Shifting is the document of the shifts command.
type Shifting struct {
	Case     string          `json:"case"`
	Answer   string          `json:"answer"`
	Do       []DoDoc         `json:"do"`
	Suspects []ShiftSuspect  `json:"suspects"`
	Check    *string         `json:"check_first"` // what tells the first two suspects apart
	Setting  CableSetting    `json:"setting"`
	Window   SettingWindow   `json:"window"`
	AnyLate  float64         `json:"chance_any_late"`
	Shifts   []ShiftDoc      `json:"shifts"`
	Windows  []IndexedGear   `json:"windows"`
	Gates    bool            `json:"gates"`
	Front    []TrimOfRing    `json:"front"`
	Notes    []string        `json:"notes"`
	cogs     []cases.CogRoom // for the figure
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
	Width   cases.Size  `json:"width_mm"`
	Clicks  *cases.Size `json:"clicks"`
	Exists  float64     `json:"chance_it_exists"`
	Inboard string      `json:"late_first_inboard"`
	Outer   string      `json:"late_first_outboard"`
}

// IndexedGear is where the guide pulley may stand in a gear for the chain to run.
type IndexedGear struct {
	RingTeeth int        `json:"ring_teeth"`
	CogTeeth  int        `json:"cog_teeth"`
	From      cases.Size `json:"from_mm"`
	To        cases.Size `json:"to_mm"`
	Inboard   string     `json:"bound_inboard"`
	Outboard  string     `json:"bound_outboard"`
	Hanger    float64    `json:"hanger_mm"`
}

// ShiftDoc is a shift from one cog to the next.
type ShiftDoc struct {
	RingTeeth int        `json:"ring_teeth"`
	From      int        `json:"from_teeth"`
	To        int        `json:"to_teeth"`
	Late      float64    `json:"chance_late"`
	Margin    cases.Size `json:"margin_mm"`
}

// FromShifting returns the document of a case's shifts; windows may be nil.
func FromShifting(s *cases.Shifting, windows []cases.IndexedGear, c *cases.Case, b *sim.Bike, r *sim.Result) *Shifting {
	d := &Shifting{
		Case: c.Title, Do: []DoDoc{}, Suspects: []ShiftSuspect{}, Shifts: []ShiftDoc{}, Windows: []IndexedGear{}, Front: trims(b, r), Gates: b.Tensioner.Stops.Gates,
		AnyLate: share(s.Late), cogs: s.Cogs,
		Setting: CableSetting{Read: s.Found, Off: round(s.Off)},
		Window:  SettingWindow{Width: rounded(s.Window), Exists: share(s.Exists), Inboard: stepName(b, s.Inboard), Outer: stepName(b, s.Outer)},
	}
	if s.Click > 0 {
		per, turn, clicks := round(s.Click), round(s.Clicks), cases.Size{}
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
	d.advise(b, s)
	d.Answer = d.words()
	d.Notes = d.notes(c, s)
	return d
}

func rounded(s cases.Size) cases.Size { return cases.Size{round(s[0]), round(s[1]), round(s[2])} }

func stepName(b *sim.Bike, s indexing.Shift) string {
	return fmt.Sprintf("%d>%d", b.Cogs[s.From()].Teeth, b.Cogs[s.To()].Teeth)
}

// said says a step's name in words: 17>19 is 17 to 19.
func said(step string) string { return strings.ReplaceAll(step, ">", " to ") }

// Rooms returns where the pulley may stand for the shifts to each cog.
func (d *Shifting) Rooms() []cases.CogRoom { return d.cogs }

// words is the answer: what to do, the window, the worst shift.
func (d *Shifting) words() string {
	var s []string
	s = append(s, d.doWords()...)
	w := &d.Window
	switch {
	case say.LevelOf(w.Exists) < say.Either:
		s = append(s, "No setting of the cable makes every shift.")
	case say.LevelOf(w.Exists) == say.Either:
		s = append(s, fmt.Sprintf("Whether one setting makes every shift could go either way (%s).", say.Percent(w.Exists)))
	default:
		s = append(s, fmt.Sprintf("One setting makes every shift, with %s from end to end.", d.room(w.Width[1])))
	}
	s = append(s, fmt.Sprintf("Turned too far in, %s is late first; too far out, %s.", said(w.Outer), said(w.Inboard)))
	worst := d.worst()
	if x := d.Shifts[worst]; say.LevelOf(x.Late) > say.Quiet {
		s = append(s, fmt.Sprintf("Worst shift: %d to %d is late on %s.", x.From, x.To, say.OfBikes(x.Late)))
	} else {
		s = append(s, "No shift is expected to be late.")
	}
	return strings.Join(s, " ")
}

// doWords says what to do, or that nothing is.
func (d *Shifting) doWords() (s []string) {
	if len(d.Do) == 0 {
		if d.Setting.Read {
			return []string{"Leave the cable as it is set."}
		}
		return []string{"Set the cable at its best and leave the rest alone."}
	}
	for i, x := range d.Do {
		if i == 2 {
			break
		}
		switch {
		case x.From == "file":
			s = append(s, say.Capital(x.Do)+". "+say.Felt(x.Chance))
		case i == 0:
			s = append(s, fmt.Sprintf("Most likely (%s): %s.", say.Percent(x.Chance), x.Do))
		default:
			s = append(s, fmt.Sprintf("Or (%s): %s.", say.Percent(x.Chance), x.Do))
		}
	}
	if d.Check != nil {
		s = append(s, fmt.Sprintf("To tell them apart, %s.", *d.Check))
	}
	return s
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

// room prints a width in mm and clicks.
func (d *Shifting) room(mm float64) string {
	s := fmt.Sprintf("%.1f mm", Zeroed(mm))
	if d.Setting.PerClick != nil {
		s += fmt.Sprintf(" or %.1f clicks", Zeroed(mm / *d.Setting.PerClick))
	}
	return s
}

func (d *Shifting) notes(c *cases.Case, s *cases.Shifting) []string {
	var n []string
	if d.Setting.Read {
		n = append(n, fmt.Sprintf("The cable is set %s of its best, as the file has it.", aside(s.Off)))
	} else {
		n = append(n, "The bike file does not say how the cable is set (tensioner.index_error). Room and chances are those with the cable at its best.")
	}
	switch {
	case s.Counted != nil:
		n = append(n, fmt.Sprintf("The adjuster's counted range of %g clicks is in it.", s.Counted.Clicks.Value))
	case s.Click > 0:
		n = append(n, "How much room a sound bike has is known within a factor of three. Count the adjuster's range: chainpath measure adjuster.")
	}
	if t := c.Tensioner; t == nil || len(t.Cable) == 0 {
		if s.Click > 0 {
			n = append(n, "Shifter and derailleur are taken to match (tensioner.cable_per_shift, tensioner.ratio).")
		}
	}
	if !d.Gates {
		n = append(n, "The cogs have plain teeth, by the file or because they are few: shifts wait longer then, which is not modelled.")
	}
	return append(n, "Chances count bikes like this, not shifts. Not modelled: how shift ramps time a shift, wear of cogs, the front derailleur's shift, what the chainline adds.")
}

// aside says how far outboard or inboard something stands.
func aside(mm float64) string {
	if mm < 0 {
		return fmt.Sprintf("%.1f mm inboard", -mm)
	}
	return fmt.Sprintf("%.1f mm outboard", mm)
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
// first; all adds every shift, which are alike on every chainring, and where the front derailleur's
// cage runs free.
func ShiftsText(w io.Writer, d *Shifting, all bool) error {
	span := func(s cases.Size) string {
		return fmt.Sprintf("%.1f (%.1f to %.1f)", Zeroed(s[1]), Zeroed(s[0]), Zeroed(s[2]))
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
	s := screen{above: []string{d.Case, d.Answer}, below: []string{room}, notes: d.Notes}
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
func (d *Shifting) everyShift(w io.Writer, room string, span func(cases.Size) string) error {
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

// Zeroed takes the sign off what prints as nothing to one decimal.
func Zeroed(x float64) float64 {
	if math.Abs(x) < 0.05 {
		return 0
	}
	return x
}

// CogTeeth returns the teeth of cog i, from the smallest.
func (d *Shifting) CogTeeth(i int) int {
	if i == 0 {
		return d.Shifts[0].From
	}
	return d.Shifts[2*(i-1)].To
}
