package show

import (
	"fmt"
	"math"
	"slices"
	"sort"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/loss"
)

// SetUp is one of several bikes side by side, with the chances of its gears and their
// shares of time; no shares: all alike.
type SetUp struct {
	Name     string
	Bike     *sim.Bike
	Result   *sim.Result
	Friction loss.Friction
	Chances  []sim.Chances
	Share    []float64
	Carried  *decide.Carried
}

// NewSetUp returns a case as a set-up with the chances of its gears. Errors are as of
// cases.Chances.
func NewSetUp(name string, c *cases.Case, b *sim.Bike, r *sim.Result) (s SetUp, err error) {
	s = SetUp{Name: name, Bike: b, Result: r, Friction: c.Friction()}
	if s.Share, err = c.Shares(b); err != nil {
		return s, err
	}
	if s.Chances, err = c.Chances(); err != nil {
		return s, err
	}
	s.Carried, err = c.Carried()
	return s, err
}

// Comparison is the JSON document of the compare command, and part of that of
// parts.
type Comparison struct {
	Answer  string             `json:"answer"`
	Weights map[string]float64 `json:"weights"`
	SetUps  []ComparedSetUp    `json:"set_ups"`
	Rider   string             `json:"riding_as"` // whose riding profile those are weighed by that have none; "" where none is borrowed
	Note    string             `json:"note"`

	weights *decide.Weights
	trouble []decide.Trouble
}

// ComparedSetUp is one of them. Avoided is the trouble of the first less its own.
type ComparedSetUp struct {
	Name  string `json:"name"`
	Lines Lines  `json:"lines"`
	Chain Chain  `json:"chain"`
	Trouble
	Avoided float64   `json:"trouble_avoided"`
	Changes []Changed `json:"changes"`
	Summary Summary   `json:"summary"`
	Gears   []Gear    `json:"gears"`
}

// Changed is a chance that differs from the same gear's of the first set-up.
type Changed struct {
	RingTeeth int     `json:"ring_teeth"`
	CogTeeth  int     `json:"cog_teeth"`
	Concern   string  `json:"concern"`
	First     float64 `json:"chance_first"`
	Chance    float64 `json:"chance"`
	concern   sim.Concern
}

// Summary counts the gears that may well have a concern: with a chance of MayBe and more.
type Summary struct {
	Gears           int     `json:"gears"`
	QuietBothWays   int     `json:"quiet_both_ways"`
	MayClimbRiding  int     `json:"may_climb_riding"`
	MayClimbBack    int     `json:"may_climb_backwards"`
	Rubs            int     `json:"rub_or_hit"`
	CannotClose     int     `json:"cannot_close"`
	WorstTopBend    float64 `json:"worst_top_bend_deg"`
	WorstBottomBend float64 `json:"worst_bottom_bend_deg"`
}

func (s *SetUp) summary() Summary {
	m := Summary{Gears: len(s.Result.Gears)}
	for i := range s.Result.Gears {
		g, c := &s.Result.Gears[i], &s.Chances[i]
		may := func(is func(h *sim.Hazard) bool) bool {
			return slices.ContainsFunc(sim.Concerns(is), func(k sim.Concern) bool { return c[k] >= MayBe })
		}
		one := func(k sim.Concern) int { return count(c[k] >= MayBe) }
		rubs := may(func(h *sim.Hazard) bool { return h.Meets })
		m.MayClimbRiding += one(sim.DropRiding)
		m.MayClimbBack += one(sim.DropBackwards)
		m.CannotClose += one(sim.DoesNotClose)
		m.Rubs += count(rubs)
		m.QuietBothWays += count(!rubs && !may(func(h *sim.Hazard) bool { return h.ByBend || h.Harm == sim.Unfit }))
		if g.Fit.Mounts() {
			m.WorstTopBend = max(m.WorstTopBend, deg(g.Top.Bend))
			m.WorstBottomBend = max(m.WorstBottomBend, deg(g.Bottom.Bend))
		}
	}
	return m
}

func count(yes bool) int {
	if yes {
		return 1
	}
	return 0
}

// movedOf returns changes as they are said.
func movedOf(list []Changed) (out []say.Moved) {
	for _, c := range list {
		out = append(out, say.Moved{Of: c.concern, Gear: fmt.Sprintf("%d/%d", c.RingTeeth, c.CogTeeth), Before: c.First, After: c.Chance})
	}
	return out
}

// changes lists the chances that differ from those of the same gear of the first set-up,
// the largest difference first.
func (s *SetUp) changes(first *SetUp) []Changed {
	out := []Changed{}
	for i := range s.Result.Gears {
		g := &s.Result.Gears[i]
		for j := range first.Result.Gears {
			f := &first.Result.Gears[j]
			if g.RingTeeth != f.RingTeeth || g.CogTeeth != f.CogTeeth {
				continue
			}
			for k := range sim.NumConcerns {
				was, is := first.Chances[j][k], s.Chances[i][k]
				if was >= 0 && is >= 0 && math.Abs(is-was) >= say.LeastChange {
					out = append(out, Changed{g.RingTeeth, g.CogTeeth, sim.Concern(k).String(), share(was), share(is), sim.Concern(k)})
				}
			}
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		return math.Abs(out[i].Chance-out[i].First) > math.Abs(out[j].Chance-out[j].First)
	})
	return out
}

// FromSetUps returns the document of set-ups side by side; each has chances. Errors wrap
// those of decide.Expect and of losses.
func FromSetUps(sets []SetUp, weights *decide.Weights) (Comparison, error) {
	d := Comparison{Weights: weightsOf(weights), Note: say.Caveat, weights: weights}
	for i := range sets {
		s := &sets[i]
		t, err := decide.Expect(s.Chances, s.Share, weights, s.Carried)
		if err != nil {
			return d, err
		}
		d.trouble = append(d.trouble, t)
		r := s.Result
		c := ComparedSetUp{
			Name: s.Name, Lines: Lines{round(r.Front), round(r.Rear), round(r.Front - r.Rear)}, Chain: Chain{r.Links, r.Chosen},
			Trouble: troubleOf(&t), Avoided: share(d.trouble[0].Sum - t.Sum), Changes: s.changes(&sets[0]), Summary: s.summary(),
		}
		for i := range r.Gears {
			g := gearOf(s.Bike, r, &r.Gears[i])
			g.Chance, g.Verdicts = chanceOf(&s.Chances[i]), verdictsOf(&r.Gears[i], &s.Chances[i], nil)
			c.Gears = append(c.Gears, g)
		}
		if err := addLosses(c.Gears, s.Bike, r, s.Friction); err != nil {
			return d, err
		}
		d.SetUps = append(d.SetUps, c)
	}
	d.Answer = comparedWords(sets, d.trouble)
	return d, nil
}

// comparedWords says which set-up has the lowest fault score, and whether that can be told.
func comparedWords(sets []SetUp, trouble []decide.Trouble) string {
	least, other := leastTrouble(trouble), 0
	if least == 0 && len(trouble) == 2 && trouble[0].Less(&trouble[1]) {
		other = 1
	} else if !trouble[least].Less(&trouble[0]) {
		next := math.Inf(1) // best of the others
		for i := range trouble[1:] {
			next = math.Min(next, trouble[i+1].Sum)
		}
		return say.NoneBetter(trouble[0].Sum, next)
	}
	return say.BestOf(sets[least].Name, trouble[least].Sum, sets[other].Name, trouble[other].Sum)
}

// leastTrouble is the place of the lowest fault score.
func leastTrouble(trouble []decide.Trouble) (at int) {
	for i := range trouble {
		if trouble[i].Sum < trouble[at].Sum {
			at = i
		}
	}
	return at
}

// Best is the place of the set-up with the lowest fault score.
func (d *Comparison) Best() int { return leastTrouble(d.trouble) }

// Since says what the second set-up does that the first did not.
func (d *Comparison) Since() string {
	var less, more []say.Moved
	for _, m := range movedOf(d.SetUps[1].Changes) {
		if m.After < m.Before {
			less = append(less, m)
		} else {
			more = append(more, m)
		}
	}
	return say.Since(d.SetUps[0].Trouble.Trouble, d.SetUps[1].Trouble.Trouble, less, more)
}

// setUpRow is a row of the compare command's CSV.
type setUpRow struct {
	*Gear
	name string
}

// ComparisonHeader names the columns of the compare command's CSV.
var ComparisonHeader = names(setUpColumns)

// Rows returns the CSV rows, one a set-up and gear.
func (d *Comparison) Rows() (rows [][]string) {
	for i := range d.SetUps {
		for g := range d.SetUps[i].Gears {
			rows = append(rows, row(setUpColumns, &setUpRow{&d.SetUps[i].Gears[g], d.SetUps[i].Name}))
		}
	}
	return rows
}

// setUpColumns are its columns.
var setUpColumns = append([]column[setUpRow]{
	{"set_up", func(x *setUpRow) string { return x.name }},
	{"ring_teeth", func(x *setUpRow) string { return fmt.Sprint(x.RingTeeth) }},
	{"cog_teeth", func(x *setUpRow) string { return fmt.Sprint(x.CogTeeth) }},
	{"ratio", func(x *setUpRow) string { return num(&x.Ratio) }},
	{"top_bend_deg", func(x *setUpRow) string { return num(x.Top.Bend) }},
	{"bottom_bend_deg", func(x *setUpRow) string { return num(x.Bottom.Bend) }},
	{"riding", func(x *setUpRow) string { return verdictCodes(x.Verdicts, "riding") }},
	{"backwards", func(x *setUpRow) string { return verdictCodes(x.Verdicts, "backwards") }},
	lossOf("loss_w", func(l *Loss) *float64 { return &l.Watts }),
	lossOf("loss_percent", func(l *Loss) *float64 { return l.Percent }),
	lossOf("wear_index", func(l *Loss) *float64 { return &l.Wear }),
	lossOf("noise_index_db", func(l *Loss) *float64 { return &l.Noise }),
}, chanceCells(func(x *setUpRow) Chance { return x.Chance })...)

func lossOf(name string, of func(l *Loss) *float64) column[setUpRow] {
	return column[setUpRow]{name, func(x *setUpRow) string {
		if x.Loss == nil {
			return ""
		}
		return num(of(x.Loss))
	}}
}
