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

// BudgetGear is one gear's bends and probabilities.
type BudgetGear struct {
	RingTeeth   int                `json:"ring_teeth"`
	CogTeeth    int                `json:"cog_teeth"`
	Top         BudgetBend         `json:"top"`
	Bottom      BudgetBend         `json:"bottom"`
	Probability map[string]float64 `json:"probability"`
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

// BudgetInput is an uncertain input and what it does.
type BudgetInput struct {
	Path         string  `json:"path"`
	Value        float64 `json:"value"`
	U            float64 `json:"u"`
	Distribution string  `json:"distribution"`
	OnBends      float64 `json:"share_of_bends"`
	OnDoubt      float64 `json:"share_of_most_doubtful"`
}

// MostDoubtful is the verdict nearest to even odds.
type MostDoubtful struct {
	Gear        string  `json:"gear"`
	Verdict     string  `json:"verdict"`
	Probability float64 `json:"probability"`
}

// riskName names a risk in the probability table: kind and direction.
func riskName(r decide.Risk) string { return r.Kind.String() + "_" + r.Direction.String() }

// FromDoubt returns the document of a doubt.
func FromDoubt(c *cases.Case, b *sim.Bike, d *decide.Uncertainty) Budget {
	o := Budget{Case: c.Title, Draws: d.Draws, Redrawn: d.Redrawn, Seed: d.Seed, Note: say.Caveat}
	bend := func(x decide.BendUncertainty) BudgetBend {
		return BudgetBend{deg(x.Value), deg(x.U), deg(x.First[0]), deg(x.First[1]), deg(x.Monte[0]), deg(x.Monte[1])}
	}
	for _, g := range d.Gears {
		x := BudgetGear{RingTeeth: b.Rings[g.Ring].Teeth, CogTeeth: b.Cogs[g.Cog].Teeth, Top: bend(g.Top), Bottom: bend(g.Bottom), Probability: map[string]float64{}}
		for k, r := range decide.Risks {
			x.Probability[riskName(r)] = round(g.P[k])
		}
		o.Gears = append(o.Gears, x)
	}
	for _, s := range d.Shares {
		o.Inputs = append(o.Inputs, BudgetInput{s.Input.Name, round(s.Input.Value), round(s.Input.U), s.Input.Dist.String(), round(s.OnBends), round(s.OnDoubt)})
	}
	if d.Gear >= 0 {
		g := d.Gears[d.Gear]
		o.Most = &MostDoubtful{fmt.Sprintf("%d/%d", b.Rings[g.Ring].Teeth, b.Cogs[g.Cog].Teeth), riskName(decide.Risks[d.Risk]), round(g.P[d.Risk])}
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
	for _, r := range decide.Risks {
		h = append(h, "probability_"+riskName(r))
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
		for _, r := range decide.Risks {
			v := g.Probability[riskName(r)]
			row = append(row, num(&v))
		}
		rows = append(rows, row)
	}
	return rows
}

// mostReadings is how many readings the default answer names.
const mostReadings = 8

// BudgetTable prints how sure the results are: the answer, and which reading to take better;
// all adds each gear's chain angles with their 95 % ranges and every reading.
func BudgetTable(out io.Writer, b *sim.Bike, d *Budget, all bool, next string) error {
	most := mostReadings
	if all {
		most = len(d.Inputs)
	}
	in := &Table{Head: [][]string{{"reading", "value", "u", "distribution", "of all", "of the"}, {"", "", "", "", "angles", "limit"}, {"", "", "", "", "%", "%"}}, Left: map[int]bool{0: true, 3: true}}
	inputs := slices.Clone(d.Inputs)
	slices.SortStableFunc(inputs, func(a, b BudgetInput) int { return cmp.Compare(max(b.OnBends, b.OnDoubt), max(a.OnBends, a.OnDoubt)) })
	for _, i := range inputs[:min(most, len(inputs))] {
		in.Rows = append(in.Rows, []string{i.Path, fmt.Sprintf("%g", i.Value), fmt.Sprintf("%.3g", i.U), i.Distribution, fmt.Sprintf("%.1f", 100*i.OnBends), fmt.Sprintf("%.1f", 100*i.OnDoubt)})
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
	if d.Most != nil {
		s.below = []string{say.NoChance}
	}
	if !all {
		s.notes = append(s.notes, "Each gear and every reading: --all.")
	}
	if err := s.write(out); err != nil || !all {
		return err
	}
	p := &printer{w: out}
	p.printf("\nRanges hold 95 %%.\n\n")
	bends := &Table{Head: [][]string{{"gear", "top", "first order", "Monte Carlo", "bottom", "Monte Carlo"}, {"", "°", "°", "°", "°", "°"}}, Left: map[int]bool{0: true}}
	odds := &Table{Head: [][]string{{"gear", "touches", "", "drops", "", "rubs", "", "slack"}, {"", "riding", "back", "riding", "back", "cog", "tyre", "back"}}, Left: map[int]bool{0: true}}
	pc := func(x float64) string { // draws alone never make sure
		switch {
		case x < 0.005:
			return "<1"
		case x > 0.995:
			return ">99"
		}
		return fmt.Sprintf("%.0f", 100*x)
	}
	span := func(a, b float64) string { return fmt.Sprintf("%.2f to %.2f", a, b) }
	for _, g := range d.Gears {
		q, gear := g.Probability, fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth)
		bends.Rows = append(bends.Rows, []string{gear,
			fmt.Sprintf("%.2f", g.Top.Bend), span(g.Top.FirstFrom, g.Top.FirstTo), span(g.Top.MonteFrom, g.Top.MonteTo),
			fmt.Sprintf("%.2f", g.Bottom.Bend), span(g.Bottom.MonteFrom, g.Bottom.MonteTo)})
		odds.Rows = append(odds.Rows, []string{gear,
			pc(q["quiet_riding"]), pc(q["quiet_backwards"]), pc(q["climb_riding"]), pc(q["climb_backwards"]),
			pc(max(q["next_cog_riding"], q["next_cog_backwards"])), pc(q["tyre_riding"]), pc(q["top_slack_backwards"])})
	}
	p.write(bends.Write)
	p.printf("\n%s\n", Wrap("Share of the draws, %, in which a limit of the typical values is passed. Touches: a tooth tip touches a plate. Drops: links land on the tips.", Columns))
	p.write(odds.Write)
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
	if d.Most == nil {
		return s
	}
	s.Limit, s.Gear, s.Passed = d.Most.Verdict, d.Most.Gear, d.Most.Probability
	for _, in := range d.Inputs {
		if in.OnDoubt > s.Share {
			s.By, s.Share = in.Path, in.OnDoubt
		}
	}
	return s
}
