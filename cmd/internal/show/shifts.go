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
)

// Shifting is the document of the shifts command.
type Shifting struct {
	Case     string          `json:"case"`
	Answer   string          `json:"answer"`
	Now      float64         `json:"pulley_now_mm"`
	Turn     *float64        `json:"pulley_per_turn_mm"`
	Runs     CommonSetting   `json:"runs"`
	Setting  CommonSetting   `json:"setting"`
	Straight *cases.Size     `json:"setting_width_hanger_straight_mm"` // of a bent one
	Windows  []IndexedGear   `json:"windows"`
	Shifts   []ShiftDoc      `json:"shifts"`
	Along    []LineOfSetting `json:"along"`
	Gates    bool            `json:"gates_given"`
	Front    []TrimOfRing    `json:"front"`
	Notes    []string        `json:"notes"`
}

// CommonSetting is one setting of the cable for all gears: 5, 50 and 95 % points, mm
// outboard of the cogs.
type CommonSetting struct {
	From     cases.Size `json:"from_mm"`
	To       cases.Size `json:"to_mm"`
	Width    cases.Size `json:"width_mm"`
	Exists   float64    `json:"chance_it_exists"`
	Fine     float64    `json:"chance_now_inside"`
	Inboard  string     `json:"bound_inboard"`
	Outboard string     `json:"bound_outboard"`
}

// IndexedGear is where the guide pulley may stand in a gear.
type IndexedGear struct {
	RingTeeth int        `json:"ring_teeth"`
	CogTeeth  int        `json:"cog_teeth"`
	From      cases.Size `json:"from_mm"`
	To        cases.Size `json:"to_mm"`
	Inboard   string     `json:"bound_inboard"`
	Outboard  string     `json:"bound_outboard"`
	Hanger    float64    `json:"hanger_mm"`
	Fine      float64    `json:"chance_now_inside"`
	words     [2]string
}

// ShiftDoc is a shift from one cog to the next.
type ShiftDoc struct {
	RingTeeth int        `json:"ring_teeth"`
	From      int        `json:"from_teeth"`
	To        int        `json:"to_teeth"`
	Past      cases.Size `json:"past_target_mm"`
	Lean      float64    `json:"lean_mm"`
	Places    float64    `json:"places_per_turn"`
	Of        int        `json:"places_of"`
	Degrees   float64    `json:"wheel_deg"`
	Never     float64    `json:"chance_no_place"`
	Delay     float64    `json:"delay_turns"`
	Crisp     float64    `json:"crisp"`
	Slow      float64    `json:"slow"`
	Reluctant float64    `json:"reluctant"`
}

// LineOfSetting is how wide the window in which every gear runs is at another front line.
type LineOfSetting struct {
	Front float64 `json:"front_line_mm"`
	Width float64 `json:"width_mm"`
}

// TrimOfRing is what a ring runs on at one place of the front cage.
type TrimOfRing struct {
	RingTeeth int     `json:"ring_teeth"`
	Trim      int     `json:"trim"`
	Place     float64 `json:"position_mm"`
	Cogs      []int   `json:"cogs"`
}

// trims lists for every ring and place of the front cage the cogs that run free of it.
func trims(b *sim.Bike, r *sim.Result) (out []TrimOfRing) {
	out = []TrimOfRing{}
	for ring := range b.Rings {
		for k, cogs := range b.TrimFree(ring, r) {
			t := TrimOfRing{b.Rings[ring].Teeth, k + 1, round(b.FrontCage.Places[k]), []int{}}
			for _, c := range cogs {
				t.Cogs = append(t.Cogs, b.Cogs[c].Teeth)
			}
			out = append(out, t)
		}
	}
	return out
}

// FromShifting returns the document of a case's indexing and shifts.
func FromShifting(s *cases.Shifting, c *cases.Case, b *sim.Bike, r *sim.Result) *Shifting {
	d := &Shifting{Case: c.Title, Now: round(s.Now), Windows: []IndexedGear{}, Shifts: []ShiftDoc{}, Front: trims(b, r), Gates: len(b.Gates.Each) > 0}
	if s.Turn > 0 {
		t := round(s.Turn)
		d.Turn = &t
	}
	name := func(g int) string { return gearName(b, sim.Margin{Ring: s.Windows[g].Ring, Cog: s.Windows[g].Cog}) }
	step := func(i int) string {
		x := &s.Shifts[i]
		return fmt.Sprintf("%d to %d", b.Cogs[x.From].Teeth, b.Cogs[x.To].Teeth)
	}
	d.Runs = commonOf(&s.Common, name(s.Common.Binds[0]), name(s.Common.Binds[1]))
	d.Setting = commonOf(&s.Setting, step(s.Setting.Binds[0]), step(s.Setting.Binds[1]))
	for i := range s.Windows {
		w := &s.Windows[i]
		d.Windows = append(d.Windows, IndexedGear{b.Rings[w.Ring].Teeth, b.Cogs[w.Cog].Teeth, rounded(w.From), rounded(w.To), w.Binds[0].String(), w.Binds[1].String(), round(w.Off), share(w.Fine), [2]string{w.Binds[0].Words(), w.Binds[1].Words()}})
	}
	for i := range s.Shifts {
		x := &s.Shifts[i]
		d.Shifts = append(d.Shifts, ShiftDoc{b.Rings[x.Ring].Teeth, b.Cogs[x.From].Teeth, b.Cogs[x.To].Teeth, rounded(x.Past), round(x.Lean), round(x.Places), x.Of, round(x.Degree), share(x.Never), round(x.Delay), share(x.Crisp), share(x.Slow), share(x.Reluctant)})
	}
	for _, a := range s.Along {
		d.Along = append(d.Along, LineOfSetting{round(b.FrontLine() + a.Shift), round(a.Width)})
	}
	if in, out := d.hanger(); in != 0 || out != 0 {
		w := rounded(s.Straight)
		d.Straight = &w
	}
	d.Answer = d.words()
	d.Notes = d.notes()
	return d
}

func commonOf(s *cases.CommonSetting, inboard, outboard string) CommonSetting {
	return CommonSetting{rounded(s.From), rounded(s.To), rounded(s.Width), share(s.Exists), share(s.Fine), inboard, outboard}
}

func rounded(s cases.Size) cases.Size { return cases.Size{round(s[0]), round(s[1]), round(s[2])} }

// words is the answer in a sentence or three.
func (d *Shifting) words() string {
	set := &d.Setting
	var s string
	switch {
	case set.Exists < 0.35:
		s = fmt.Sprintf("No one setting of the cable is likely to make every shift at once: %s asks for the pulleys further outboard, %s further inboard.", set.Inboard, set.Outboard)
	case set.Exists < 0.65:
		s = fmt.Sprintf("Cannot tell whether one setting of the cable makes every shift at once: %s and %s leave %s between them.", set.Inboard, set.Outboard, d.mm(set.Width[1]))
	default:
		s = fmt.Sprintf("One setting of the cable makes every shift at once, in a window of about %s: %s ends it inboard, %s outboard.", d.mm(set.Width[1]), set.Inboard, set.Outboard)
	}
	switch {
	case set.Fine >= 0.65:
		s += " The cable as it is set is likely inside."
	case set.Fine < 0.35:
		s += " The cable as it is set is hardly inside."
	}
	worst := -1
	for i := range d.Shifts {
		if d.Shifts[i].Reluctant >= 0.35 && (worst < 0 || d.Shifts[i].Reluctant > d.Shifts[worst].Reluctant) {
			worst = i
		}
	}
	if worst >= 0 {
		x := &d.Shifts[worst]
		s += fmt.Sprintf(" Most likely reluctant: %d to %d on the ring of %d (%s).", x.From, x.To, x.RingTeeth, say.Percent(x.Reluctant))
	}
	return s + d.lineWords()
}

// lineWords says whether another front line would widen where every gear runs.
func (d *Shifting) lineWords() string {
	best, now := 0, len(d.Along)/2
	for i := range d.Along {
		if d.Along[i].Width > d.Along[best].Width {
			best = i
		}
	}
	if gain := d.Along[best].Width - d.Along[now].Width; gain >= 0.1 {
		return fmt.Sprintf(" A front line of %.1f mm would widen where every gear runs by %.1f mm.", d.Along[best].Front, gain)
	}
	return " Another front line would hardly change where every gear runs."
}

// mm prints a width, in turns of the adjuster as well where those are known.
func (d *Shifting) mm(x float64) string {
	s := fmt.Sprintf("%.1f mm", x)
	if d.Turn != nil {
		s += fmt.Sprintf(" (%.1f turns of the adjuster)", x / *d.Turn)
	}
	return s
}

func (d *Shifting) notes() []string {
	n := []string{"Mechanics of plays on stated assumptions, riding; no report of shifting was at hand to score it with."}
	if s := d.hangerWords(); s != "" {
		n = append(n, s)
	}
	if s := d.placeWords(); s != "" {
		n = append(n, s)
	}
	if !d.Gates {
		n = append(n, "Shift gates are not known (rear.gates): shifts are those of plain teeth, which wait longer for a place to cross, and are caught later going inboard.")
	}
	if d.Turn == nil {
		n = append(n, "What a turn of the adjuster does is not known (tensioner.cable_per_shift, tensioner.adjuster_pitch).")
	}
	return n
}

// hanger returns how far a bent hanger puts the pulleys aside at most, inboard (< 0) and
// outboard, mm.
func (d *Shifting) hanger() (in, out float64) {
	for _, w := range d.Windows {
		in, out = min(in, w.Hanger), max(out, w.Hanger)
	}
	return in, out
}

// hangerWords tells of a bent hanger; empty where it is straight.
func (d *Shifting) hangerWords() string {
	if d.Straight == nil {
		return ""
	}
	in, out := d.hanger()
	now, straight := d.Setting.Width[1], d.Straight[1]
	s := fmt.Sprintf("The hanger is bent (tensioner.hanger): set right under the middle cog, the pulleys stand %+.1f to %+.1f mm outboard of the others, which no setting of the cable takes up. ", Zeroed(in), Zeroed(out))
	switch {
	case straight <= 0:
		s += "With a straight one there would be no setting that makes every shift either."
	case now <= 0:
		s += fmt.Sprintf("With a straight one the setting that makes every shift would be about %s wide; as it is there is none.", d.mm(straight))
	default:
		s += fmt.Sprintf("With a straight one the setting that makes every shift would be about %s wide, as it is %s.", d.mm(straight), d.mm(now))
	}
	return s
}

// placeWords tells of shifts for which the cogs may stand so that no link ever crosses.
func (d *Shifting) placeWords() string {
	var most []ShiftDoc
	for _, x := range d.Shifts {
		if x.Never >= 0.1 && x.From < x.To && !slices.ContainsFunc(most, func(y ShiftDoc) bool { return x.From == y.From && x.To == y.To }) {
			most = append(most, x)
		}
	}
	if len(most) == 0 {
		return ""
	}
	slices.SortStableFunc(most, func(x, y ShiftDoc) int { return cmp.Compare(y.Never, x.Never) })
	var names []string
	for _, x := range most[:min(len(most), 4)] {
		names = append(names, fmt.Sprintf("%d and %d (%s)", x.From, x.To, say.Percent(x.Never)))
	}
	and := ""
	if len(most) > len(names) {
		and = fmt.Sprintf(" and %d more", len(most)-len(names))
	}
	return "Two cogs may stand to each other so that no place of a turn lets a link cross, which counts as a wait of one turn; the chance of that: " + strings.Join(names, ", ") + and + "."
}

// ShiftsHeader names the columns of the shifts command's CSV, one row a shift.
var ShiftsHeader = []string{"ring_teeth", "from_teeth", "to_teeth", "past_target_mm", "past_target_low_mm", "past_target_high_mm", "lean_mm", "places_per_turn", "wheel_deg", "chance_no_place", "delay_turns", "crisp", "slow", "reluctant"}

// Rows returns the CSV rows.
func (d *Shifting) Rows() (rows [][]string) {
	for _, x := range d.Shifts {
		rows = append(rows, []string{fmt.Sprint(x.RingTeeth), fmt.Sprint(x.From), fmt.Sprint(x.To), fmt.Sprint(x.Past[1]), fmt.Sprint(x.Past[0]), fmt.Sprint(x.Past[2]), fmt.Sprint(x.Lean), fmt.Sprint(x.Places), fmt.Sprint(x.Degrees), fmt.Sprint(x.Never), fmt.Sprint(x.Delay), fmt.Sprint(x.Crisp), fmt.Sprint(x.Slow), fmt.Sprint(x.Reluctant)})
	}
	return rows
}

// IndexHeader names the columns of its CSV with --rows windows, one row a gear.
var IndexHeader = []string{"ring_teeth", "cog_teeth", "from_mm", "from_low_mm", "from_high_mm", "to_mm", "to_low_mm", "to_high_mm", "bound_inboard", "bound_outboard", "hanger_mm", "chance_now_inside"}

// IndexRows returns its CSV rows.
func (d *Shifting) IndexRows() (rows [][]string) {
	for _, w := range d.Windows {
		rows = append(rows, []string{fmt.Sprint(w.RingTeeth), fmt.Sprint(w.CogTeeth), fmt.Sprint(w.From[1]), fmt.Sprint(w.From[0]), fmt.Sprint(w.From[2]), fmt.Sprint(w.To[1]), fmt.Sprint(w.To[0]), fmt.Sprint(w.To[2]), w.Inboard, w.Outboard, fmt.Sprint(w.Hanger), fmt.Sprint(w.Fine)})
	}
	return rows
}

// ShiftsText prints the answer, the shifts and the windows of one ring each.
func ShiftsText(w io.Writer, d *Shifting) error {
	p := &printer{w: w}
	p.printf("%s\n\n%s\n\n", Wrap(d.Answer, Columns), d.Case)
	span := func(s cases.Size) string {
		return fmt.Sprintf("%+.1f (%+.1f to %+.1f)", Zeroed(s[1]), Zeroed(s[0]), Zeroed(s[2]))
	}
	t := &Table{Head: [][]string{{"pulleys, mm outboard", "from", "to"}}, Left: map[int]bool{0: true}}
	t.Rows = [][]string{
		{"every gear runs", span(d.Runs.From), span(d.Runs.To)},
		{"and every shift is made at once", span(d.Setting.From), span(d.Setting.To)},
	}
	p.write(t.Write)
	rings := map[int]bool{}
	for _, x := range d.Shifts {
		rings[x.RingTeeth] = true
	}
	p.printf("\nShifts: how far past the target cog the pulleys must go (less than 0: before\nit), places of a turn where the teeth let a link cross, and the mean wait.\n\n")
	t = &Table{Head: [][]string{{"ring", "shift", "reluctant", "past target, mm", "places", "wait, turns"}}, Left: map[int]bool{1: true}}
	for _, x := range d.Shifts {
		if x.RingTeeth != d.Shifts[0].RingTeeth && !d.differs(&x) {
			continue
		}
		t.Rows = append(t.Rows, []string{fmt.Sprint(x.RingTeeth), fmt.Sprintf("%d to %d", x.From, x.To), say.Percent(x.Reluctant), span(x.Past), fmt.Sprintf("%.1f of %d", x.Places, x.Of), fmt.Sprintf("%.2f", x.Delay)})
	}
	p.write(t.Write)
	if len(rings) > 1 {
		p.printf("Shifts on other rings are listed where they differ by 0.05 mm and more.\n")
	}
	p.printf("\nWhere the pulleys may stand in each gear without touching a neighbour or\ntrying to leave:\n\n")
	t = &Table{Head: [][]string{{"gear", "inside now", "from, mm", "to, mm", "ends it inboard"}}, Left: map[int]bool{0: true, 4: true}, Flow: 5}
	for _, x := range d.Windows {
		t.Rows = append(t.Rows, []string{fmt.Sprintf("%d/%d", x.RingTeeth, x.CogTeeth), say.Percent(x.Fine), fmt.Sprintf("%+.1f", Zeroed(x.From[1])), fmt.Sprintf("%+.1f", Zeroed(x.To[1])), x.words[0]})
	}
	p.write(t.Write)
	p.printf("\n")
	trimText(p, d.Front)
	for _, n := range d.Notes {
		p.printf("%s\n", Wrap(n, Columns))
	}
	return p.err
}

// differs reports whether a shift on another ring differs from the same on the first.
func (d *Shifting) differs(x *ShiftDoc) bool {
	for i := range d.Shifts {
		y := &d.Shifts[i]
		if y.RingTeeth == d.Shifts[0].RingTeeth && y.From == x.From && y.To == x.To {
			return math.Abs(x.Past[1]-y.Past[1]) >= 0.05
		}
	}
	return true
}

// Zeroed takes the sign off what prints as nothing to one decimal.
func Zeroed(x float64) float64 {
	if math.Abs(x) < 0.05 {
		return 0
	}
	return x
}

// freeTrims are, ring by ring, the places of the front cage at which cogs run free of it; of a
// ring with none one place without cogs.
func freeTrims(front []TrimOfRing) (out []TrimOfRing) {
	for i, x := range front {
		if len(x.Cogs) > 0 {
			out = append(out, x)
		}
		last := i+1 == len(front) || front[i+1].RingTeeth != x.RingTeeth
		if last && (len(out) == 0 || out[len(out)-1].RingTeeth != x.RingTeeth) {
			out = append(out, TrimOfRing{RingTeeth: x.RingTeeth})
		}
	}
	return out
}

// trimText prints, ring by ring, how far one place of the front cage takes it.
func trimText(p *printer, front []TrimOfRing) {
	if len(front) == 0 {
		return
	}
	t := &Table{Head: [][]string{{"front cage, nominal", "trim", "at, mm", "cogs that run free of it"}}, Left: map[int]bool{0: true, 3: true}}
	for _, x := range freeTrims(front) {
		row := []string{fmt.Sprintf("ring of %d", x.RingTeeth), "-", "-", "none"}
		if len(x.Cogs) > 0 {
			row = []string{row[0], fmt.Sprint(x.Trim), fmt.Sprintf("%.1f", x.Place), cogRun(x.Cogs)}
		}
		t.Rows = append(t.Rows, row)
	}
	p.write(t.Write)
	p.printf("\n")
}

// trimWords is the same in a sentence; empty without a front cage.
func trimWords(front []TrimOfRing) string {
	var said []string
	for _, x := range freeTrims(front) {
		if len(x.Cogs) == 0 {
			said = append(said, fmt.Sprintf("no cog on the ring of %d", x.RingTeeth))
		} else {
			said = append(said, fmt.Sprintf("%s on the ring of %d at trim %d (%.1f mm)", cogRun(x.Cogs), x.RingTeeth, x.Trim, x.Place))
		}
	}
	if len(said) == 0 {
		return ""
	}
	return "Free of the front cage, by the nominal dimensions: " + strings.Join(said, "; ") + "."
}

// cogRun names cogs in a row by the first and the last.
func cogRun(cogs []int) string {
	if len(cogs) < 3 {
		return strings.Trim(strings.ReplaceAll(fmt.Sprint(cogs), " ", ", "), "[]")
	}
	return fmt.Sprintf("%d to %d", cogs[0], cogs[len(cogs)-1])
}
