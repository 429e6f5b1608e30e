package show

import (
	"fmt"
	"io"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/budget"
	"chainpath/sim/decide"
)

// Window is the JSON document of the window command.
type Window struct {
	Case        string       `json:"case"`
	Answer      string       `json:"answer"` // where the chainring should sit
	Lines       Lines        `json:"lines"`
	Constraints []Constraint `json:"constraints"`
	Safe        Overlap      `json:"safe"`
	Quiet       Overlap      `json:"quiet"`
	Doubt       *Doubtful    `json:"doubt"`
	Along       *Along       `json:"along"`
	Map         []MapCell    `json:"map"`
	Note        string       `json:"note"`
}

// Constraint is one bar.
type Constraint struct {
	Name      string   `json:"name"`
	Words     string   `json:"words"`
	Direction string   `json:"direction"`
	From      *float64 `json:"from_mm"`
	FromGear  string   `json:"from_gear"`
	To        *float64 `json:"to_mm"`
	ToGear    string   `json:"to_gear"`
	Possible  bool     `json:"possible"`
}

// Overlap is what several constraints allow together.
type Overlap struct {
	Possible bool     `json:"possible"`
	From     *float64 `json:"from_mm"`
	FromBy   string   `json:"from_by"`
	To       *float64 `json:"to_mm"`
	ToBy     string   `json:"to_by"`
	Lacking  *float64 `json:"lacking_mm"`
	Today    bool     `json:"today_inside"`
}

// Doubtful is the safe window's uncertainty, 95 %.
type Doubtful struct {
	SureFrom     float64 `json:"sure_from_mm"`
	SureTo       float64 `json:"sure_to_mm"`
	PossibleFrom float64 `json:"possible_from_mm"`
	PossibleTo   float64 `json:"possible_to_mm"`
	Today        float64 `json:"today_mm"`
	TodayU       float64 `json:"today_u_mm"`
}

func gearName(b *sim.Bike, m sim.Margin) string {
	return fmt.Sprintf("%d/%d", b.Rings[m.Ring].Teeth, b.Cogs[m.Cog].Teeth)
}

// FromWindow returns the document of a window; doubt and along may be nil.
func FromWindow(c *cases.Case, b *sim.Bike, w *decide.Window, doubt *decide.WindowUncertainty, along *decide.Along) Window {
	d := Window{Case: c.Title, Lines: Lines{round(w.Front), round(w.Rear), round(w.Front - w.Rear)}, Note: say.Caveat}
	for _, x := range w.Bars {
		k := Constraint{Name: x.Kind.String(), Words: x.Words(), Direction: x.Direction.String(), Possible: !x.Empty}
		if x.Both {
			k.Direction = "both"
		}
		if x.Never != nil {
			k.FromGear, k.ToGear = gearName(b, *x.Never), gearName(b, *x.Never)
		} else {
			k.From, k.To = optional(!x.Lo.Open, x.Lo.Line), optional(!x.Hi.Open, x.Hi.Line)
			if !x.Lo.Open {
				k.FromGear = gearName(b, x.Lo.Margin)
			}
			if !x.Hi.Open {
				k.ToGear = gearName(b, x.Hi.Margin)
			}
		}
		d.Constraints = append(d.Constraints, k)
	}
	d.Safe, d.Quiet = overlapOf(w, w.Safe), overlapOf(w, w.Quiet)
	if doubt != nil {
		d.Doubt = &Doubtful{round(doubt.Sure[0]), round(doubt.Sure[1]), round(doubt.Possible[0]), round(doubt.Possible[1]), round(doubt.Today.Line), round(doubt.Today.U)}
	}
	if along != nil {
		d.Along, d.Answer = fromAlong(along), adviceOf(along).Words()
	}
	return d
}

func overlapOf(w *decide.Window, o decide.Overlap) Overlap {
	r := Overlap{Possible: !o.Empty}
	if o.Lo >= 0 {
		r.From, r.FromBy = optional(!w.Bars[o.Lo].Lo.Open, o.From), w.Bars[o.Lo].Name()
		r.To, r.ToBy = optional(!w.Bars[o.Hi].Hi.Open, o.To), w.Bars[o.Hi].Name()
	}
	if o.Never >= 0 {
		r.FromBy, r.ToBy, r.From, r.To = w.Bars[o.Never].Name(), w.Bars[o.Never].Name(), nil, nil
	}
	r.Lacking = optional(o.Empty && o.Never < 0, o.Lacking)
	r.Today = !o.Empty && w.Front >= o.From && w.Front <= o.To
	return r
}

// WindowHeader names the columns of the window command's CSV.
var WindowHeader = []string{"name", "direction", "from_mm", "from_gear", "to_mm", "to_gear", "possible"}

// Rows returns the CSV rows, one a constraint.
func (d *Window) Rows() (rows [][]string) {
	for _, k := range d.Constraints {
		rows = append(rows, []string{k.Name, k.Direction, num(k.From), k.FromGear, num(k.To), k.ToGear, fmt.Sprint(k.Possible)})
	}
	return rows
}

// WindowTable prints a window for people: where the chainring should sit, why, what other places
// would do, and what to type next; all adds every place, the weights and the room beside tyre and
// chainstay.
func WindowTable(out io.Writer, c *cases.Case, b *sim.Bike, w *decide.Window, doubt *decide.WindowUncertainty, along *decide.Along, all bool, next string) error {
	today := fmt.Sprintf("Today %s.", say.Lines(w.Front, w.Rear, len(b.Rings), len(b.Cogs)))
	if doubt != nil {
		today += " " + known(c, doubt)
	}
	s := screen{above: []string{c.Title, adviceOf(along).Words(), today}, table: alongTable(along, all)}
	s.below, s.next = []string{say.Parts}, next
	s.notes = []string{say.ShareOfTime, say.Model, "Every place, weights, clearances: --all."}
	if all {
		s.notes = s.notes[:2]
	}
	if err := s.write(out); err != nil || !all {
		return err
	}
	p := &printer{w: out}
	p.printf("\n%s\n", weightNote(&along.Weights))
	roomTable(p, b, w)
	return p.err
}

// known says how well the front chainline is known: by the shape of its own ± where it is typed as
// one number.
func known(c *cases.Case, doubt *decide.WindowUncertainty) string {
	today := budget.Input{U: doubt.Today.U}
	if in, ok, err := cases.AsInput("front.line", c.Front.Line); ok && err == nil {
		today.Dist = in.Dist
	}
	return say.Known(today.Within95())
}

// roomTable tells between which front lines the chain and the ring clear tyre and chainstay.
func roomTable(p *printer, b *sim.Bike, w *decide.Window) {
	t := &Table{
		Head: [][]string{{"clearance", "from", "set by", "to", "set by", "today"}, {"", "mm", "", "mm", "", ""}},
		Left: map[int]bool{0: true, 2: true, 4: true, 5: true},
	}
	for _, x := range w.Bars {
		if x.Kind == sim.ToTyre || x.Kind == sim.ToStay {
			t.Rows = append(t.Rows, roomRow(b, w, &x))
		}
	}
	if t.Rows == nil {
		return
	}
	p.printf("\nClearance to tyre and chainstay, with the room to be kept\n\n")
	p.write(t.Write)
}

func roomRow(b *sim.Bike, w *decide.Window, x *decide.Bar) []string {
	row := []string{x.Words(), "open", "", "open", "", "inside"}
	if x.Never != nil {
		return []string{x.Words(), "", gearName(b, *x.Never), "", "", "none"}
	}
	if !x.Lo.Open {
		row[1], row[2] = fmt.Sprintf("%.2f", x.Lo.Line), gearName(b, x.Lo.Margin)
	}
	if !x.Hi.Open {
		row[3], row[4] = fmt.Sprintf("%.2f", x.Hi.Line), gearName(b, x.Hi.Margin)
	}
	switch {
	case x.Empty:
		row[5] = fmt.Sprintf("none: lacks %.2f mm", x.Lo.Line-x.Hi.Line)
	case w.Front < x.Lo.Line:
		row[5] = fmt.Sprintf("%.2f mm inboard", x.Lo.Line-w.Front)
	case w.Front > x.Hi.Line:
		row[5] = fmt.Sprintf("%.2f mm outboard", w.Front-x.Hi.Line)
	}
	return row
}
