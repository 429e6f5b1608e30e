package show

import (
	"cmp"
	"fmt"
	"io"
	"slices"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Budget is the JSON document of the budget command.
type Budget struct {
	Case    string        `json:"case"`
	Draws   int           `json:"draws"`
	Partial bool          `json:"partial"` // stopped before all draws that were asked for
	Redrawn int           `json:"redrawn"` // draws made again, because such a bicycle cannot be
	Seed    uint64        `json:"seed"`
	Gears   []BudgetGear  `json:"gears"`
	Inputs  []BudgetInput `json:"inputs"`
	Most    *MostDoubtful `json:"most_doubtful"`
	Note    string        `json:"note"`
}

// BudgetGear is one gear's bends.
type BudgetGear struct {
	RingTeeth int        `json:"ring_teeth"`
	CogTeeth  int        `json:"cog_teeth"`
	Top       BudgetBend `json:"top"`
	Bottom    BudgetBend `json:"bottom"`
}

// BudgetBend is a bend with its 95 % intervals.
type BudgetBend struct {
	Bend      float64 `json:"bend_deg"`
	U         float64 `json:"u_deg"`
	FirstFrom float64 `json:"first_order_from_deg"`
	FirstTo   float64 `json:"first_order_to_deg"`
	MonteFrom float64 `json:"monte_carlo_from_deg"`
	MonteTo   float64 `json:"monte_carlo_to_deg"`
}

// BudgetInput is an uncertain input and its share of the variance of all bends.
type BudgetInput struct {
	Path         string  `json:"path"`
	Value        float64 `json:"value"`
	U            float64 `json:"u"`
	Distribution string  `json:"distribution"`
	OnBends      float64 `json:"share_of_bends"`
}

// MostDoubtful is the chance nearest to a half, with the numbers that spread it.
type MostDoubtful struct {
	Gear    string        `json:"gear"`
	Concern string        `json:"concern"`
	Chance  float64       `json:"chance"`
	By      []SpreadShare `json:"by"`
	words   string
}

// SpreadShare is a number with its share of what spreads a chance between the versions of the bike.
type SpreadShare struct {
	Name  string  `json:"name"`
	Share float64 `json:"share"`
}

// FromDoubt returns the document of a bike's uncertainty; most is the chance most in doubt, nil for none.
func FromDoubt(c *cases.Case, b *sim.Bike, d *decide.Uncertainty, most *cases.Doubtful) Budget {
	o := Budget{Case: c.Title, Draws: d.Draws, Redrawn: d.Redrawn, Seed: d.Seed, Note: say.Caveat}
	bend := func(x decide.BendUncertainty) BudgetBend {
		return BudgetBend{deg(x.Value), deg(x.U), deg(x.First[0]), deg(x.First[1]), deg(x.Monte[0]), deg(x.Monte[1])}
	}
	for _, g := range d.Gears {
		o.Gears = append(o.Gears, BudgetGear{b.Rings[g.Ring].Teeth, b.Cogs[g.Cog].Teeth, bend(g.Top), bend(g.Bottom)})
	}
	for _, s := range d.Shares {
		o.Inputs = append(o.Inputs, BudgetInput{s.Input.Name, round(s.Input.Value), round(s.Input.U), s.Input.Dist.String(), round(s.Share)})
	}
	slices.SortStableFunc(o.Inputs, func(a, b BudgetInput) int { return cmp.Compare(b.OnBends, a.OnBends) })
	if most != nil {
		h := &sim.Hazards[most.Concern]
		o.Most = &MostDoubtful{fmt.Sprintf("%d/%d", b.Rings[most.Gear/len(b.Cogs)].Teeth, b.Cogs[most.Gear%len(b.Cogs)].Teeth), h.Code, share(most.Chance), []SpreadShare{}, h.Words}
		for _, s := range most.By {
			o.Most.By = append(o.Most.By, SpreadShare{s.Name, share(s.Share)})
		}
	}
	return o
}

// BudgetHeader names the columns of the budget command's CSV.
func BudgetHeader() []string {
	h := []string{"ring_teeth", "cog_teeth"}
	for _, s := range []string{"top", "bottom"} {
		for _, v := range []string{"bend_deg", "u_deg", "first_order_from_deg", "first_order_to_deg", "monte_carlo_from_deg", "monte_carlo_to_deg"} {
			h = append(h, s+"_"+v)
		}
	}
	return h
}

// Rows returns the CSV rows, one a gear.
func (d *Budget) Rows() (rows [][]string) {
	for _, g := range d.Gears {
		row := []string{fmt.Sprint(g.RingTeeth), fmt.Sprint(g.CogTeeth)}
		for _, b := range []BudgetBend{g.Top, g.Bottom} {
			for _, v := range []float64{b.Bend, b.U, b.FirstFrom, b.FirstTo, b.MonteFrom, b.MonteTo} {
				row = append(row, num(&v))
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// mostReadings is how many readings the default answer names.
const mostReadings = 8

// BudgetTable prints how sure the results are: the answer, and which reading to take better;
// all adds each gear's chain angles with their 95 % ranges and every reading.
func BudgetTable(out io.Writer, d *Budget, all bool, next string) error {
	most := mostReadings
	if all {
		most = len(d.Inputs)
	}
	in := &Table{Head: [][]string{{"reading", "value", "u", "distribution", "of all"}, {"", "", "", "", "angles"}, {"", "", "", "", "%"}}, Left: map[int]bool{0: true, 3: true}}
	for _, i := range d.Inputs[:min(most, len(d.Inputs))] {
		in.Rows = append(in.Rows, []string{i.Path, fmt.Sprintf("%g", i.Value), fmt.Sprintf("%.3g", i.U), i.Distribution, fmt.Sprintf("%.1f", 100*i.OnBends)})
	}
	partial := ""
	if d.Partial {
		partial = " (partial: stopped before the others)"
	}
	draws := fmt.Sprintf("%d draws%s, seed %d.", d.Draws, partial, d.Seed)
	if d.Redrawn > 0 {
		draws += fmt.Sprintf(" %d draws were made again, because such a bike cannot be.", d.Redrawn)
	}
	s := screen{above: []string{d.Case, d.said().Words()}, table: in, next: next, notes: []string{draws + " u: standard uncertainty; then its share of the doubt.", say.Model}}
	if !all {
		s.notes = append(s.notes, "Each gear and every reading: --all.")
	}
	if err := s.write(out); err != nil || !all {
		return err
	}
	p := &printer{w: out}
	if d.Most != nil && len(d.Most.By) > 0 {
		by := &Table{Head: [][]string{{"number", "of the spread"}, {"", "%"}}, Left: map[int]bool{0: true}}
		for _, x := range d.Most.By {
			by.Rows = append(by.Rows, []string{x.Name, fmt.Sprintf("%.0f", 100*x.Share)})
		}
		p.printf("\nWhat spreads the chance of %s in %s between versions of the bike; a reading narrows only its own.\n\n", d.Most.words, d.Most.Gear)
		p.write(by.Write)
	}
	p.printf("\nRanges hold 95 %%.\n\n")
	bends := &Table{Head: [][]string{{"gear", "top", "first order", "Monte Carlo", "bottom", "Monte Carlo"}, {"", "°", "°", "°", "°", "°"}}, Left: map[int]bool{0: true}}
	span := func(a, b float64) string { return fmt.Sprintf("%.2f to %.2f", a, b) }
	for _, g := range d.Gears {
		bends.Rows = append(bends.Rows, []string{fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth),
			fmt.Sprintf("%.2f", g.Top.Bend), span(g.Top.FirstFrom, g.Top.FirstTo), span(g.Top.MonteFrom, g.Top.MonteTo),
			fmt.Sprintf("%.2f", g.Bottom.Bend), span(g.Bottom.MonteFrom, g.Bottom.MonteTo)})
	}
	p.write(bends.Write)
	return p.err
}

// said is how sure the results are.
func (d *Budget) said() *say.Sureness {
	s := &say.Sureness{}
	for _, g := range d.Gears {
		for _, b := range []BudgetBend{g.Top, g.Bottom} {
			s.Angles = max(s.Angles, (b.MonteTo-b.MonteFrom)/2)
		}
	}
	if m := d.Most; m != nil {
		s.Fault, s.Gear, s.Chance = m.words, m.Gear, m.Chance
		if len(m.By) > 0 {
			s.By, s.Share = m.By[0].Name, m.By[0].Share
		}
	}
	return s
}
