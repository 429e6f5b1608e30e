package show

import (
	"fmt"
	"io"
	"strings"

	"chainpath/sim"
	"chainpath/sim/loss"
)

// SetUp is one of several bikes side by side.
type SetUp struct {
	Name     string
	Bike     *sim.Bike
	Result   *sim.Result
	Friction loss.Friction
}

// Comparison is the JSON document of the compare command, and part of that of
// parts.
type Comparison struct {
	SetUps []ComparedSetUp `json:"set_ups"`
	Note   string          `json:"note"`
}

// ComparedSetUp is one of them.
type ComparedSetUp struct {
	Name    string  `json:"name"`
	Lines   Lines   `json:"lines"`
	Chain   Chain   `json:"chain"`
	Summary Summary `json:"summary"`
	Gears   []Gear  `json:"gears"`
}

// Summary counts what a set-up's gears do.
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

func summaryOf(r *sim.Result) Summary {
	s := Summary{Gears: len(r.Gears)}
	for i := range r.Gears {
		g := &r.Gears[i]
		if g.Has(sim.Riding, sim.IsQuiet) && g.Has(sim.Backwards, sim.IsQuiet) {
			s.QuietBothWays++
		}
		if g.Has(sim.Riding, sim.IsClimbing) {
			s.MayClimbRiding++
		}
		if g.Has(sim.Backwards, sim.IsClimbing) {
			s.MayClimbBack++
		}
		for _, c := range []sim.Code{sim.RubsCog, sim.RubsRing, sim.RubsTyre, sim.HitsStay} {
			if g.Has(sim.Riding, c) || g.Has(sim.Backwards, c) {
				s.Rubs++
				break
			}
		}
		if !g.Fit.Closes {
			s.CannotClose++
		}
		if g.Fit.Mounts() {
			s.WorstTopBend = max(s.WorstTopBend, deg(g.Top.Bend))
			s.WorstBottomBend = max(s.WorstBottomBend, deg(g.Bottom.Bend))
		}
	}
	return s
}

// FromSetUps returns the document of set-ups side by side.
func FromSetUps(sets []SetUp) (Comparison, error) {
	d := Comparison{Note: Caveat}
	for _, s := range sets {
		r := s.Result
		c := ComparedSetUp{Name: s.Name, Lines: Lines{round(r.Front), round(r.Rear), round(r.Front - r.Rear)}, Chain: Chain{r.Links, r.Chosen}, Summary: summaryOf(r)}
		for i := range r.Gears {
			c.Gears = append(c.Gears, gearOf(r, &r.Gears[i]))
		}
		if err := addLosses(c.Gears, s.Bike, r, s.Friction); err != nil {
			return d, err
		}
		d.SetUps = append(d.SetUps, c)
	}
	return d, nil
}

// ComparisonHeader names the columns of the compare command's CSV.
var ComparisonHeader = []string{"set_up", "ring_teeth", "cog_teeth", "ratio", "top_bend_deg", "bottom_bend_deg", "riding", "backwards", "loss_w", "loss_percent", "wear_index", "noise_index_db"}

// Rows returns the CSV rows, one a set-up and gear; riding and backwards list
// verdict codes with semicolons between.
func (d *Comparison) Rows() (rows [][]string) {
	for _, s := range d.SetUps {
		for _, g := range s.Gears {
			codes := map[string][]string{}
			for _, v := range g.Verdicts {
				codes[v.Direction] = append(codes[v.Direction], v.Code)
			}
			losses := make([]string, 4)
			if l := g.Loss; l != nil {
				losses = []string{num(&l.Watts), num(l.Percent), num(&l.Wear), num(&l.Noise)}
			}
			rows = append(rows, append([]string{s.Name, fmt.Sprint(g.RingTeeth), fmt.Sprint(g.CogTeeth), num(&g.Ratio), num(g.Top.Bend), num(g.Bottom.Bend), strings.Join(codes["riding"], ";"), strings.Join(codes["backwards"], ";")}, losses...))
		}
	}
	return rows
}

// letters are the verdicts in compact tables.
var letters = map[sim.Code]string{
	sim.IsQuiet: "q", sim.IsNoisy: "n", sim.IsClimbing: "D", sim.TopSlack: "s",
	sim.RubsCog: "r", sim.RubsRing: "r", sim.RubsTyre: "t", sim.HitsStay: "h", sim.CannotClose: "X",
}

// Letters explains them.
const Letters = "q quiet, n noisy, D may come off, s top span slack, r rubs next cog or ring, t rubs tyre, h hits stay, X cannot close; riding/backwards"

// marks returns a gear's verdict letters, riding/backwards, each once.
func marks(g *sim.Gear) string {
	var out [2]string
	for _, v := range g.Verdicts {
		if l := letters[v.Code]; !strings.Contains(out[v.Direction], l) {
			out[v.Direction] += l
		}
	}
	return out[0] + "/" + out[1]
}

// CompareTable prints set-ups side by side: a numbered list with what their gears
// do altogether, then a compact table, a row a gear, from the smallest cog on.
func CompareTable(w io.Writer, sets []SetUp) error {
	p := &printer{w: w}
	list := &Table{Head: [][]string{
		{"", "set-up", "front", "rear", "links", "worst top", "bottom", "gears", "quiet", "may climb", "", "rub or hit", "open"},
		{"", "", "mm", "mm", "", "°", "°", "", "", "riding", "back", "", ""},
	}, Left: map[int]bool{0: true, 1: true}}
	rows := 0
	for i, s := range sets {
		m := summaryOf(s.Result)
		rows = max(rows, m.Gears)
		list.Rows = append(list.Rows, []string{
			fmt.Sprint(i + 1), s.Name, fmt.Sprintf("%.1f", s.Result.Front), fmt.Sprintf("%.1f", s.Result.Rear), fmt.Sprint(s.Result.Links),
			fmt.Sprintf("%.2f", m.WorstTopBend), fmt.Sprintf("%.2f", m.WorstBottomBend), fmt.Sprint(m.Gears), fmt.Sprint(m.QuietBothWays),
			fmt.Sprint(m.MayClimbRiding), fmt.Sprint(m.MayClimbBack), fmt.Sprint(m.Rubs), fmt.Sprint(m.CannotClose),
		})
	}
	p.write(list.Write)
	p.printf("\n")
	t := &Table{Left: map[int]bool{}, Head: [][]string{nil, nil}}
	for i := range sets {
		t.Head[0] = append(t.Head[0], fmt.Sprintf("%d: gear", i+1), "top", "bottom", "verdict")
		t.Head[1] = append(t.Head[1], "", "°", "°", "")
		t.Left[4*i], t.Left[4*i+3] = true, true
	}
	for k := range rows {
		var row []string
		for _, s := range sets {
			if k >= len(s.Result.Gears) {
				row = append(row, "", "", "", "")
				continue
			}
			g := &s.Result.Gears[k]
			top, bottom := bends(g)
			row = append(row, fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), top, bottom, marks(g))
		}
		t.Rows = append(t.Rows, row)
	}
	p.write(t.Write)
	p.printf("\n%s\n%s\n", Letters, Caveat)
	return p.err
}
