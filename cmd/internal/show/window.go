package show

import (
	"fmt"
	"io"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Window is the JSON document of the window command.
type Window struct {
	Case       string      `json:"case"`
	Answer     string      `json:"answer"` // where the chainring should sit
	Lines      Lines       `json:"lines"`
	Known      float64     `json:"front_line_known_to_mm"` // either way, 95 %
	Rooms      []Room      `json:"rooms"`
	Thresholds []Threshold `json:"thresholds"`
	Along      *Along      `json:"along"`
	Map        []MapCell   `json:"map"`
	Note       string      `json:"note"`
}

// Between is between which front lines something holds, with the gears that end it; null: it does as far
// as was looked.
type Between struct {
	From     *float64 `json:"from_mm"`
	FromGear string   `json:"from_gear"`
	To       *float64 `json:"to_mm"`
	ToGear   string   `json:"to_gear"`
	Possible bool     `json:"possible"` // at some front line at all; else both gears are the one that keeps it least
}

// Room is between which front lines ring and chain leave the room that is asked for beside a part.
type Room struct {
	Part  string `json:"part"`
	Words string `json:"words"`
	Between
}

// Threshold is between which front lines the chance of a fault stays below a level in every gear.
type Threshold struct {
	Concern string  `json:"concern"`
	Words   string  `json:"words"`
	Chance  float64 `json:"below_chance"`
	Between
}

func between(b *sim.Bike, lo, hi decide.End, none bool) Between {
	x := Between{Possible: !none}
	gear := func(e decide.End) string { return fmt.Sprintf("%d/%d", b.Rings[e.Ring].Teeth, b.Cogs[e.Cog].Teeth) }
	if none {
		x.FromGear, x.ToGear = gear(lo), gear(hi)
		return x
	}
	if x.From = optional(!lo.Open, lo.Line); !lo.Open {
		x.FromGear = gear(lo)
	}
	if x.To = optional(!hi.Open, hi.Line); !hi.Open {
		x.ToGear = gear(hi)
	}
	return x
}

// FromWindow returns the document of what holds the rings, and of the chances along the front line.
func FromWindow(c *cases.Case, b *sim.Bike, w *decide.Walls, along *decide.Along, chances [][]sim.Chances) Window {
	d := Window{
		Case: c.Title, Answer: adviceOf(along).Words(), Lines: Lines{round(w.Front), round(w.Rear), round(w.Front - w.Rear)},
		Rooms: []Room{}, Thresholds: []Threshold{}, Along: fromAlong(along, c.RingStep), Note: say.Caveat,
	}
	for _, r := range w.Rooms {
		d.Rooms = append(d.Rooms, Room{r.Part, say.ClearOf(r.Part), between(b, r.Lo, r.Hi, r.None)})
	}
	for _, r := range along.Ranges(chances, len(b.Cogs)) {
		d.Thresholds = append(d.Thresholds, Threshold{r.Concern.String(), sim.Hazards[r.Concern].Words, r.Level, between(b, r.Lo, r.Hi, r.None)})
	}
	return d
}

// WindowHeader names the columns of the window command's CSV.
var WindowHeader = []string{"name", "below_chance", "from_mm", "from_gear", "to_mm", "to_gear", "possible"}

// Rows returns the CSV rows: one a room, then one a fault and level.
func (d *Window) Rows() (rows [][]string) {
	add := func(name, level string, x *Between) {
		rows = append(rows, []string{name, level, num(x.From), x.FromGear, num(x.To), x.ToGear, fmt.Sprint(x.Possible)})
	}
	for i := range d.Rooms {
		add(d.Rooms[i].Part, "", &d.Rooms[i].Between)
	}
	for i := range d.Thresholds {
		t := &d.Thresholds[i]
		add(t.Concern, fmt.Sprint(t.Chance), &t.Between)
	}
	return rows
}

// WindowTable prints a window for people: where the chainring should sit, why, what other places
// would do, and what to type next; all adds every place, the weights, and between which lines a fault is
// unlikely and the room beside tyre and chainstay is left. Step names the parts that move the chainring.
func WindowTable(out io.Writer, d *Window, b *sim.Bike, along *decide.Along, step func(by float64) string, all bool, next string) error {
	today := fmt.Sprintf("Today %s.", say.Lines(d.Lines.Front, d.Lines.Rear, len(b.Rings), len(b.Cogs)))
	s := screen{above: []string{d.Case, d.Answer, today + known(d.Known)}, table: alongTable(along, step, all)}
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
	t := &Table{
		Head: [][]string{{"what", "from", "set by", "to", "set by", "today"}, {"", "mm", "", "mm", "", ""}},
		Left: map[int]bool{0: true, 2: true, 4: true, 5: true},
	}
	for i := range d.Rooms {
		t.Rows = append(t.Rows, betweenRow(d.Rooms[i].Words, d.Lines.Front, &d.Rooms[i].Between))
	}
	for i := range d.Thresholds {
		if x := &d.Thresholds[i]; x.Chance == 0.5 {
			t.Rows = append(t.Rows, betweenRow(x.Words, d.Lines.Front, &x.Between))
		}
	}
	if t.Rows != nil {
		p.printf("\nFront chainlines with the room that is asked for, and at which a fault stays\nbelow 50 %% in every gear\n\n")
		p.write(t.Write)
	}
	return p.err
}

// known says how well the front chainline is known, after another sentence; "" where it is exact.
func known(within float64) string {
	if within == 0 {
		return ""
	}
	return " " + say.Known(within)
}

func betweenRow(words string, today float64, x *Between) []string {
	row := []string{words, "open", x.FromGear, "open", x.ToGear, "inside"}
	if !x.Possible {
		return []string{words, "", x.FromGear, "", "", "nowhere"}
	}
	if x.From != nil {
		row[1] = fmt.Sprintf("%.2f", *x.From)
		if today < *x.From {
			row[5] = fmt.Sprintf("%.2f mm inboard", *x.From-today)
		}
	}
	if x.To != nil {
		row[3] = fmt.Sprintf("%.2f", *x.To)
		if today > *x.To {
			row[5] = fmt.Sprintf("%.2f mm outboard", today-*x.To)
		}
	}
	return row
}
