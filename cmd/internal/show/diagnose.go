package show

import (
	"fmt"
	"io"
	"math"
	"strings"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Diagnosis is the JSON document of the diagnose command.
type Diagnosis struct {
	Case     string       `json:"case"`
	Findings []FindingDoc `json:"findings"`
	Note     string       `json:"note"`
	Cautions []string     `json:"cautions"`
}

// FindingDoc is what the model says of one symptom.
type FindingDoc struct {
	Symptom      string      `json:"symptom"`
	Direction    string      `json:"direction"`
	Gears        []string    `json:"in_gears"`
	Explained    []CauseDoc  `json:"explained_by"`
	Contradicted []CauseDoc  `json:"contradicted"`
	Moves        []MoveDoc   `json:"would_explain"`
	Check        []string    `json:"check_also"`
	Measure      []string    `json:"measure_next"`
	Remedies     []RemedyDoc `json:"try"`
}

// CauseDoc is a modelled cause.
type CauseDoc struct {
	Cause     string   `json:"cause"`
	Direction string   `json:"direction"`
	Explains  []string `json:"explains"`
	Missing   []string `json:"not_in"`
	Elsewhere []string `json:"also_in"`
	Gear      string   `json:"nearest_gear"`
	Margin    float64  `json:"nearest_margin"`
	Unit      string   `json:"nearest_margin_unit"`
}

// MoveDoc is an input that would explain a symptom.
type MoveDoc struct {
	Path   string  `json:"path"`
	By     float64 `json:"by"`
	Sigmas float64 `json:"in_standard_uncertainties"`
	Cause  string  `json:"cause"`
	Gear   string  `json:"gear"`
}

// RemedyDoc is a shift of the rings.
type RemedyDoc struct {
	Cause    string   `json:"cause"`
	Possible bool     `json:"possible"`
	Wall     string   `json:"wall"`
	Shift    float64  `json:"front_line_by_mm"`
	StayLeft *float64 `json:"stay_left_mm"`
	Harms    int      `json:"newly_wrong"`
}

// causeWords name the kinds of margin as causes.
var causeWords = map[sim.Kind]string{
	sim.ToQuiet: "bend past a quiet limit", sim.ToClimb: "bend past a climb limit", sim.ToCog: "chain meets the next cog",
	sim.ToRing: "chain meets the next ring", sim.ToTyre: "chain meets the tyre", sim.ToStay: "ring or chain meets the chainstay",
	sim.ToSlack: "top span slack", sim.ToClose: "chain does not close",
}

// otherChecks are what to look at beside the model, by symptom (common practice,
// no published source).
var otherChecks = map[string][]string{
	"noise":          {"hanger straight", "chain dry or dirty", "stiff link", "worn teeth or chain", "loose pulley or cog"},
	"drop":           {"worn teeth", "stiff link", "freehub drag", "hanger straight", "cage spring and clutch", "end stops"},
	"rubs_next_cog":  {"indexing", "hanger straight", "spacers between cogs", "cluster lock ring"},
	"rubs_next_ring": {"ring bolts", "ring straight", "bottom bracket play"},
	"tyre_mark":      {"wheel true and centred", "tyre seated", "frame flex"},
	"stay_mark":      {"ring straight", "bottom bracket play", "frame flex", "chain length"},
	"loose_top":      {"freehub drag", "stiff link", "cage pivot and spring"},
	"skips":          {"worn cog or chain", "stiff link", "freehub pawls", "indexing", "hanger straight"},
}

// gearNames lists gears, shortened when they are all.
func gearNames(b *sim.Bike, gs [][2]int) []string {
	out := []string{}
	for _, g := range gs {
		out = append(out, fmt.Sprintf("%d/%d", b.Rings[g[0]].Teeth, b.Cogs[g[1]].Teeth))
	}
	return out
}

// margin turns a margin into output units: degrees, mm or N.
func margin(k sim.Kind, v float64) (float64, string) {
	if k.Unit() == "rad" {
		return deg(v), "deg"
	}
	return round(v), strings.ToLower(k.Unit())
}

// FromFindings returns the document of a diagnosis.
func FromFindings(c *cases.Case, b *sim.Bike, fs []decide.Finding) Diagnosis {
	d := Diagnosis{Case: c.Title, Note: Caveat, Cautions: []string{
		"A model cannot be certain: look before you change anything, and change one thing at a time.",
		"Do not ride a bicycle that drops its chain under load.",
		"Keep fingers away from a moving chain; follow the makers' instructions; ask a qualified mechanic.",
	}}
	for i, f := range fs {
		o := FindingDoc{
			Symptom: c.Symptoms[i].What, Direction: f.Symptom.Direction.String(), Check: otherChecks[c.Symptoms[i].What],
			Explained: []CauseDoc{}, Contradicted: []CauseDoc{}, Moves: []MoveDoc{}, Measure: []string{}, Remedies: []RemedyDoc{},
		}
		var gs [][2]int
		for ring := range b.Rings {
			for cog := range b.Cogs {
				if g := [2]int{ring, cog}; f.Symptom.Gears[g] {
					gs = append(gs, g)
				}
			}
		}
		o.Gears = gearNames(b, gs)
		cause := func(c decide.Cause) CauseDoc {
			v, unit := margin(c.Risk.Kind, c.Nearest.Value)
			return CauseDoc{causeWords[c.Risk.Kind], c.Risk.Direction.String(), gearNames(b, c.Explains), gearNames(b, c.Missing), gearNames(b, c.Elsewhere), gearName(b, c.Nearest), v, unit}
		}
		for _, c := range f.Explained {
			o.Explained = append(o.Explained, cause(c))
		}
		for _, c := range f.Contradicted {
			o.Contradicted = append(o.Contradicted, cause(c))
		}
		for _, m := range f.Moves {
			o.Moves = append(o.Moves, MoveDoc{m.Input.Name, round(m.By), round(m.Sigmas), causeWords[m.Risk.Kind], gearNames(b, [][2]int{m.Gear})[0]})
		}
		for _, s := range f.Measure {
			if s.OnDoubt > 0.05 {
				o.Measure = append(o.Measure, s.Input.Name)
			}
		}
		for _, r := range f.Remedies {
			o.Remedies = append(o.Remedies, RemedyDoc{causeWords[r.Risk.Kind], r.Possible, r.Wall, round(r.Shift), optional(r.Possible && r.StayLeft < 1e5, r.StayLeft), r.Harms})
		}
		d.Findings = append(d.Findings, o)
	}
	return d
}

// DiagnosisHeader names the columns of the diagnose command's CSV.
var DiagnosisHeader = []string{"symptom", "direction", "in_gears", "status", "cause", "cause_direction", "gears", "nearest_gear", "nearest_margin", "nearest_margin_unit"}

// Rows returns the CSV rows, one a symptom and modelled cause; a symptom without
// any has one row with the status unmodelled.
func (d *Diagnosis) Rows() (rows [][]string) {
	for _, f := range d.Findings {
		head := []string{f.Symptom, f.Direction, strings.Join(f.Gears, ";")}
		add := func(status string, c CauseDoc) {
			rows = append(rows, append(append([]string{}, head...), status, c.Cause, c.Direction, strings.Join(c.Explains, ";"), c.Gear, num(&c.Margin), c.Unit))
		}
		for _, c := range f.Explained {
			add("explained", c)
		}
		for _, c := range f.Contradicted {
			add("contradicted", c)
		}
		if len(f.Explained)+len(f.Contradicted) == 0 {
			rows = append(rows, append(append([]string{}, head...), "unmodelled", "", "", "", "", "", ""))
		}
	}
	return rows
}

// DiagnosisText prints a diagnosis for people.
func DiagnosisText(w io.Writer, d *Diagnosis) error {
	p := &printer{w: w}
	p.printf("%s\n", d.Case)
	for i, f := range d.Findings {
		p.printf("\n%d. %s, %s, in %s\n", i+1, strings.ReplaceAll(f.Symptom, "_", " "), f.Direction, strings.Join(f.Gears, ", "))
		for _, c := range f.Explained {
			p.printf("   may come from: %s %s, in %s", c.Cause, way(c.Direction), strings.Join(c.Explains, ", "))
			p.printf(" (%s: %s)\n", c.Gear, over(c))
			if len(c.Missing) > 0 {
				p.printf("      does not explain %s\n", strings.Join(c.Missing, ", "))
			}
			if len(c.Elsewhere) > 0 {
				p.printf("      would be expected in %s as well\n", strings.Join(c.Elsewhere, ", "))
			}
		}
		for _, c := range f.Contradicted {
			if c.Cause == causeWords[sim.ToClose] {
				p.printf("   not so in the model: %s\n", c.Cause)
				continue
			}
			p.printf("   not so in the model: %s %s, %s to spare in %s\n", c.Cause, way(c.Direction), amount(c.Margin, c.Unit), c.Gear)
		}
		for _, m := range f.Moves {
			p.printf("   would explain it: %s off by %+.3g (%.1f standard uncertainties): %s in %s\n", m.Path, m.By, m.Sigmas, m.Cause, m.Gear)
		}
		if len(f.Explained) == 0 && len(f.Moves) == 0 {
			p.printf("   the model cannot explain it\n")
		}
		p.printf("   check as well: %s\n", strings.Join(f.Check, ", "))
		if len(f.Measure) > 0 {
			p.printf("   measure next: %s\n", strings.Join(f.Measure, ", "))
		}
		for _, r := range f.Remedies {
			p.printf("   %s\n", remedyWords(r))
		}
	}
	p.printf("\n")
	for _, c := range d.Cautions {
		p.printf("%s\n", c)
	}
	p.printf("%s\n", d.Note)
	return p.err
}

func way(direction string) string {
	if direction == "backwards" {
		return "backwards"
	}
	return "when riding"
}

func amount(v float64, unit string) string {
	return fmt.Sprintf("%.2f %s", math.Abs(v), map[string]string{"deg": "°", "mm": "mm", "n": "N"}[unit])
}

func over(c CauseDoc) string { return "by " + amount(c.Margin, c.Unit) }

// aLittle is how far rings can usually be moved by spacers, mm (common practice,
// no published source).
const aLittle = 5.0

func remedyWords(r RemedyDoc) string {
	if r.Wall != "" {
		return fmt.Sprintf("the ring alone cannot cure %q: it meets the %s before", r.Cause, wallName(r.Wall))
	}
	if !r.Possible {
		return fmt.Sprintf("against %q no front line within reach helps: look at the rear, the stay, the parts", r.Cause)
	}
	side := "outboard"
	if r.Shift < 0 {
		side = "inboard"
	}
	harms := ""
	if r.Harms > 0 {
		harms = fmt.Sprintf("; so moved it makes %d other things wrong, see window and parts", r.Harms)
	}
	move := math.Abs(r.Shift)
	switch {
	case r.StayLeft != nil && *r.StayLeft < 0:
		return fmt.Sprintf("the ring meets the chainstay as it stands; %.2f mm %s cures %q and leaves it %.1f mm in the stay", move, side, r.Cause, -*r.StayLeft)
	case move > aLittle:
		return fmt.Sprintf("the ring alone can hardly cure %q: it would have to go %.2f mm %s%s", r.Cause, move, side, harms)
	}
	s := fmt.Sprintf("to try first, because it can be undone: spacers that put the ring %.2f mm %s cure %q", move, side, r.Cause)
	if r.StayLeft != nil {
		s += fmt.Sprintf(", with %.1f mm left to the chainstay", *r.StayLeft)
	}
	return s + harms
}
