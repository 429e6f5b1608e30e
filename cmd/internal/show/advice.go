package show

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Advice is the JSON document of the fix command without a change list.
type Advice struct {
	Answer     string          `json:"answer"`
	Case       string          `json:"case"`
	Verdict    string          `json:"verdict"`
	Complaints []Complaint     `json:"complaints"`
	Faults     []AdviceFault   `json:"faults"`
	Wrong      []AdviceReading `json:"reads_wrong"`
	Change     *AdviceChange   `json:"change"`
	Cures      []AdviceChange  `json:"cures"`
	Measure    *string         `json:"measure_first"`
	Same       float64         `json:"same_in_redraws"`
	Trouble    float64         `json:"trouble"`
	Worth      float64         `json:"worth"`
	WorthTold  float64         `json:"worth_complained"`
	Hour       float64         `json:"hour"`

	told    string // what was seen, or is likely
	caution string
	rides   bool     // the case tells which gears are used
	checks  []string // what to look at beside the model, for the first complaint that the chainline explains
}

// AdviceFault is a fault that the advice is about.
type AdviceFault struct {
	Concern    string   `json:"concern"`
	Gears      []string `json:"gears"`
	Chance     float64  `json:"chance"`
	Level      float64  `json:"level"`
	Complained bool     `json:"complained"`
}

// AdviceReading is a number that reads wrong.
type AdviceReading struct {
	Field  string  `json:"field"`
	Value  float64 `json:"value"`
	Unit   string  `json:"unit"`
	Limit  float64 `json:"limit"`
	Change string  `json:"change"`
	Bears  bool    `json:"bears_on_complaint"`
	Words  string  `json:"words"`
}

// AdviceChange is a usual change with what it costs and does.
type AdviceChange struct {
	Name    string       `json:"change"`
	Price   float64      `json:"price"`
	Minutes float64      `json:"minutes"`
	Undo    bool         `json:"can_be_undone"`
	Net     float64      `json:"net_worth"`
	Left    float64      `json:"share_of_fault_left"`
	Most    float64      `json:"chance_left"`
	Below   bool         `json:"cured"`
	Trouble float64      `json:"trouble"`
	Surer   float64      `json:"sets_better"`
	Rooms   []AdviceRoom `json:"measure_first"`
	Worse   []Changed    `json:"worse"`
}

// AdviceRoom is a room to be measured before a change; null: not worked out.
type AdviceRoom struct {
	Room  string   `json:"room"`
	Least *float64 `json:"least_mm"`
}

func adviceChange(x *cases.Advised, before *cases.Expected) AdviceChange {
	out := AdviceChange{Name: x.Name, Price: x.Cost.Price, Minutes: x.Cost.Minutes, Undo: !x.Final, Net: round(x.Cure.Net), Left: share(x.Cure.Left), Most: share(x.Cure.Most), Below: x.Cure.Below,
		Trouble: share(x.Result.Trouble.Sum), Surer: share(x.Result.Surer), Rooms: []AdviceRoom{}, Worse: []Changed{}}
	for _, r := range x.Rooms {
		out.Rooms = append(out.Rooms, AdviceRoom{r.Name, optional(r.Least > 0, r.Least)})
	}
	for _, c := range changesOf(x.Result, before) {
		if c.Chance > c.First {
			out.Worse = append(out.Worse, c)
		}
	}
	return out
}

// FromAdvice returns the document. Errors are *cases.Error.
func FromAdvice(a *cases.Advice, c *cases.Case, b *sim.Bike) (*Advice, error) {
	names := namesOf(b)
	d := &Advice{Case: c.Title, Verdict: a.Verdict.String(), Faults: []AdviceFault{}, Wrong: []AdviceReading{}, Cures: []AdviceChange{}, Same: share(a.Same),
		Trouble: share(a.Before.Trouble.Sum), Worth: a.Rule.Worth, WorthTold: a.Rule.Told, Hour: a.Rule.Hour}
	seen, _, err := seenOf(c, b, a.Before.Chances)
	if err != nil {
		return nil, err
	}
	d.Complaints, d.rides = complaintsOf(c, names, seen), c.Riding != nil
	if i := slices.IndexFunc(d.Complaints, func(x Complaint) bool { return x.Explained }); i >= 0 {
		d.checks = checksOf(b, d.Complaints[i].What)
		d.checks = d.checks[:min(len(d.checks), mostChecks)]
	}
	for i := range a.Faults {
		f := &a.Faults[i]
		x := AdviceFault{Concern: f.Of.String(), Chance: share(f.Most), Level: f.Level(), Complained: f.Told}
		for _, g := range gearsOf(f, names) {
			x.Gears = append(x.Gears, names.Name(g))
		}
		d.Faults = append(d.Faults, x)
	}
	for _, r := range a.Wrong {
		d.Wrong = append(d.Wrong, AdviceReading{r.Path, round(r.Value), r.Unit, r.Limit, r.Change, r.Bears, say.Wrong(r.Path, r.Value, r.Unit)})
	}
	if a.Do != nil {
		x := adviceChange(a.Do, a.Before)
		d.Change = &x
	}
	for i := range a.Cures {
		d.Cures = append(d.Cures, adviceChange(&a.Cures[i], a.Before))
	}
	if a.Measure != "" {
		d.Measure = &a.Measure
	}
	d.told = say.SeenWords(names, seen)
	if len(seen) == 0 {
		d.told = strings.Join(faultWords(names, a.Before.Chances, nil), " ")
	} else { // whatever was complained of
		d.told = say.Together(d.told, touching(names, a.Before.Chances, seen))
	}
	d.Answer, d.caution = say.Together(adviceWords(a, d, names)...), adviceCaution(a)
	return d, nil
}

// touching says which parts will probably touch, beside what was seen.
func touching(names *say.Bike, chances []sim.Chances, seen []say.Seen) string {
	var out []string
	told := toldOf(seen)
	for _, f := range say.Faults(names, chances, say.Probable, func(k sim.Concern, g say.Gear) bool { return !sim.Hazards[k].Meets || told(k, g) }) {
		out = append(out, f.Will(names, len(out) == 0))
	}
	return strings.Join(out, " ")
}

// adviceCaution is what can hurt somebody: the gravest fault, a look near the chain, or parts.
func adviceCaution(a *cases.Advice) string {
	var out []string
	for i := range a.Faults {
		f := &a.Faults[i]
		if drops := f.Of == sim.DropRiding || f.Of == sim.DropSmooth; sim.Hazards[f.Of].Harm == sim.Danger && f.Most >= say.FromUnlikely && out == nil {
			out = append(out, strings.TrimSuffix(say.Danger(drops, say.LevelOf(f.Most)), " "+say.SeeSafety))
		}
	}
	for g := range a.Before.Chances { // whatever the verdict is
		for _, k := range sim.ToldOrder() {
			if h := &sim.Hazards[k]; out == nil && h.Harm == sim.Danger && h.Meets && a.Before.Chances[g][k] >= say.FromUnlikely {
				out = append(out, strings.TrimSuffix(say.Danger(false, say.LevelOf(a.Before.Chances[g][k])), " "+say.SeeSafety))
			}
		}
	}
	if out == nil && slices.ContainsFunc(a.Complaints, func(x cases.Complained) bool {
		return x.Symptom.Complaint == decide.Drop && x.Symptom.Direction == sim.Riding
	}) {
		out = append(out, say.NoRide)
	}
	if a.Verdict == cases.LookThere {
		out = append(out, say.Fingers)
	}
	if a.Do != nil {
		out = append(out, say.PartsFit)
	}
	if out == nil {
		return ""
	}
	return say.Together(append(out, say.SeeSafety)...)
}

// gearsOf are a fault's gears.
func gearsOf(f *decide.Named, names *say.Bike) (out []say.Gear) {
	for _, g := range f.Gears {
		out = append(out, say.Gear{Ring: g / len(names.Cogs), Cog: g % len(names.Cogs)})
	}
	return out
}

// adviceWords are the sentences of an advice.
func adviceWords(a *cases.Advice, d *Advice, names *say.Bike) (out []string) {
	add := func(s ...string) { out = append(out, s...) }
	cost := func(x *cases.Advised) *say.Costs {
		return &say.Costs{Price: x.Cost.Price, Minutes: x.Cost.Minutes, Final: x.Final}
	}
	switch a.Verdict {
	case cases.PutRight:
		name, k := "", &say.Costs{}
		if a.Do != nil {
			name, k = a.Do.Name, cost(a.Do)
		}
		add(say.PutRight(d.Wrong[0].Words, name, k))
	case cases.MakeChange:
		add(say.DoChange(a.Do.Name, cost(a.Do)))
		for _, f := range eased(a) {
			after := 0.0
			for _, g := range f.Gears {
				after = max(after, a.Do.Result.Chances[g][f.Of])
			}
			add(say.Eases(f.Of, f.Most, after))
			if f.Told && after >= f.Level() {
				add(say.NotCured(f.Of))
			}
		}
		t := say.Change{Name: a.Do.Name, Before: d.Trouble, After: d.Change.Trouble, Helps: &d.Change.Surer, More: movedOf(d.Change.Worse)}
		add(t.Effect())
		for _, r := range a.Do.Rooms {
			add(say.MeasureRoom(r.Name, r.Least))
		}
		for _, r := range a.Do.Known {
			add(say.RoomLeft(r.Name, r.Left, r.Touch))
		}
	case cases.AvoidGear:
		var gears []say.Gear
		for i := range a.Faults {
			for _, g := range gearsOf(&a.Faults[i], names) {
				if !slices.Contains(gears, g) {
					gears = append(gears, g)
				}
			}
		}
		at := decide.Instead(names.Rings, names.Cogs, gears[0].Ring*len(names.Cogs)+gears[0].Cog)
		add(say.AvoidGears(names, gears, say.Gear{Ring: at / len(names.Cogs), Cog: at % len(names.Cogs)}))
	case cases.LookThere:
		add(say.LookWhether(names, a.Faults[0].Of, gearsOf(&a.Faults[0], names), a.Faults[0].Most))
	case cases.MeasureLine:
		add(say.MeasureLineFirst(a.Measure, a.Do.Name, a.Same))
		for _, r := range a.Do.Rooms {
			add(say.MeasureRoom(r.Name, r.Least))
		}
	case cases.NotExplained:
		add(say.LeaveForThat)
	default:
		add(say.LeaveIt)
		if len(a.Faults) == 0 {
			add(say.NothingNamed(d.rides))
			if gears := backward(a, names); len(gears) > 0 {
				add(say.NotBackwards(names, gears))
			}
			break
		}
		if a.Dear == nil {
			add(say.NothingCures)
		} else {
			add(say.NothingPays(a.Dear.Name, cost(a.Dear)))
		}
		if len(d.checks) > 0 {
			add(say.CheckAsWell(d.checks))
		}
		for i := range a.Faults {
			switch f := &a.Faults[i]; f.Of {
			case sim.DropBackwards, sim.TopSlackBackwards:
				add(say.NotBackwards(names, gearsOf(f, names)))
			case sim.DropRiding, sim.DropSmooth:
				add(say.NoRide)
			}
		}
	}
	for i := range d.Wrong {
		if i > 0 || a.Verdict != cases.PutRight {
			add(say.AlsoWrong(d.Wrong[i].Words))
		}
	}
	return out
}

// backward are the gears in which the chain will probably drop when back-pedalling.
func backward(a *cases.Advice, names *say.Bike) []say.Gear {
	f := decide.Named{}
	for g := range a.Before.Chances {
		if say.LevelOf(a.Before.Chances[g][sim.DropBackwards]) == say.Probable {
			f.Gears = append(f.Gears, g)
		}
	}
	return gearsOf(&f, names)
}

// eased are the faults whose chances a change's sentence tells: those that it is about, and else those
// that were complained of.
func eased(a *cases.Advice) []decide.Named {
	out := a.Faults
	for i := range a.Complaints {
		x := &a.Complaints[i]
		if x.Explained && !slices.ContainsFunc(out, func(f decide.Named) bool { return f.Complaint == i }) {
			out = append(slices.Clip(out), x.Fault)
		}
	}
	return out
}

// AdviceHeader names the columns of the CSV, one row a cure in their order.
var AdviceHeader = []string{"verdict", "change", "price", "minutes", "can_be_undone", "net_worth", "share_of_fault_left", "chance_left", "cured", "trouble", "sets_better", "measure_first"}

// Rows returns the CSV rows; the first is the change of the verdict where something reads wrong.
func (d *Advice) Rows() (rows [][]string) {
	list := d.Cures
	if d.Change != nil && d.Verdict == cases.PutRight.String() {
		list = append([]AdviceChange{*d.Change}, list...)
	}
	for i := range list {
		x := &list[i]
		var rooms []string
		for _, r := range x.Rooms {
			rooms = append(rooms, r.Room)
		}
		rows = append(rows, []string{d.Verdict, x.Name, fmt.Sprint(x.Price), fmt.Sprint(x.Minutes), fmt.Sprint(x.Undo), fmt.Sprint(x.Net), fmt.Sprint(x.Left), fmt.Sprint(x.Most), fmt.Sprint(x.Below), fmt.Sprint(x.Trouble), fmt.Sprint(x.Surer), strings.Join(rooms, " ")})
	}
	if len(rows) == 0 {
		rows = append(rows, append([]string{d.Verdict}, make([]string, len(AdviceHeader)-1)...))
	}
	return rows
}

// mostCures is how many cures a screen lists.
const mostCures = 3

// AdviceText prints the advice and the cures beside it: the one to make, the next, and the one that is
// worth most; all lists every one.
func AdviceText(w io.Writer, d *Advice, all bool, next string) error {
	s := screen{above: []string{d.Case, d.told, d.Answer}, next: next}
	t := &Table{Head: [][]string{{"change", "price", "minutes", "undo", "chance", "fault", "worth beyond"}, {"", "", "", "", "left", "score", "its cost"}}, Left: map[int]bool{0: true}, Flow: 1}
	for _, i := range d.listed(all) {
		x := &d.Cures[i]
		undo := "yes"
		if !x.Undo {
			undo = "no"
		}
		t.Rows = append(t.Rows, []string{x.Name, fmt.Sprintf("%g", x.Price), fmt.Sprintf("%g", x.Minutes), undo, say.Percent(x.Most), fmt.Sprintf("%.2f", x.Trouble), fmt.Sprintf("%.0f", x.Net)})
	}
	if len(t.Rows) > 0 && d.Verdict == cases.MakeChange.String() {
		s.table = t
	}
	s.below = []string{d.caution}
	if d.Change != nil {
		s.notes = append(s.notes, say.AdvicePrices)
	}
	if d.Verdict != cases.MeasureLine.String() && d.Verdict != cases.PutRight.String() {
		s.notes = append(s.notes, say.Holds(d.Same))
	}
	s.notes = append(s.notes, say.Model, say.FaultScore)
	return s.write(w)
}

// listed are the cures that a screen lists: the first two and the one that is worth most.
func (d *Advice) listed(all bool) (out []int) {
	best := 0
	for i := range d.Cures {
		if d.Cures[i].Net > d.Cures[best].Net {
			best = i
		}
		if all || i < 2 {
			out = append(out, i)
		}
	}
	if !all && best >= 2 && len(out) < mostCures {
		out = append(out, best)
	}
	return out
}
