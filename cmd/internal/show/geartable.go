package show

import (
	"fmt"
	"io"
	"sort"
	"strings"
	"unicode/utf8"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// GearView is how much of a result is printed.
type GearView struct {
	Why  bool // every reason in words
	Wide bool // every column, however wide
	Bold bool // what may drop the chain or cannot be ridden, on a terminal
}

// GearTable prints a result for people: the answer, the worst gears, a table for each
// direction with the verdict second, the least clearances, and what it rests on.
func GearTable(w io.Writer, doc *Gears, b *sim.Bike, r *sim.Result, v GearView) error {
	p := &printer{w: w}
	p.printf("%s\n", doc.Case)
	if a := doc.Answer; a != nil {
		p.printf("%s\n", Wrap(a.Words, Columns))
		if a.Usual != nil {
			p.printf("%s\n", Wrap(a.Usual.Words, Columns))
		}
	}
	if !v.Why {
		worstGears(p, doc)
	}
	p.printf("\nfront line %.1f mm, rear line %.1f mm: %s\n", r.Front, r.Rear, difference(r.Front-r.Rear))
	chosen := "given"
	if r.Chosen {
		chosen = "chosen"
	}
	p.printf("chain %d links (%s); ", r.Links, chosen)
	if b.Load.Tension > 0 {
		p.printf("top span %.0f N\n", b.Load.Tension)
	} else {
		p.printf("crank torque %.0f N·m\n", b.Load.Torque/1000)
	}
	p.printf("\n%s\n", Wrap(gearLegend(v.Wide), Columns))
	for d := sim.Riding; d <= sim.Backwards; d++ {
		p.printf("\n%s\n", map[sim.Direction]string{sim.Riding: "Riding", sim.Backwards: "Pedalling backwards"}[d])
		t := directionTable(doc, r, d, v)
		p.write(t.Write)
	}
	p.printf("\n")
	clearanceLines(p, r)
	if x := doc.Riding; x != nil {
		p.printf("%s\n", Wrap(fmt.Sprintf("over the riding profile: mean bend top %.2f°, bottom %.2f°; of the time, by the default set, %.0f %% in noisy gears, %.0f %% in gears that may come off (backwards %.0f %%), %.0f %% in gears that rub",
			x.Top, x.Bottom, 100*x.NotQuiet, 100*x.MayClimb, 100*x.ClimbBack, 100*x.Rub), Columns))
	}
	if v.Why {
		reasons(p, doc)
	}
	warningLines(p, doc, Columns)
	assumedLines(p, doc, Columns)
	p.printf("\n%s\n%s\n", Wrap("Bends are level 1 (geometry); chances, limits and offsets level 2 (mechanics on assumptions: see defaults).", Columns), Wrap(Caveat, Columns))
	return p.err
}

// gearLegend says what columns and marks mean, before the tables.
func gearLegend(wide bool) string {
	s := "! likely, ? cannot tell or close, ~ unlikely; top, bottom: bend of the run, in or out: which way the top one leans going forward; pull: of the run onto the wheel that is worst"
	if wide {
		return s + "; worst at: the wheel nearest to its limit; touch from: the bend from which a tip touches a link, which alone is not audible; off from: that from which the chain may come off, by the default set; held: plates, a cage or a wall keep it; offset: where an inner link lands beside the tooth"
	}
	return s + "; --wide has limits and offsets, --why every reason"
}

// mostWorst is how many of the worst gears are told of before the tables.
const mostWorst = 4

// worstGears tells of the gears with the greatest chances, each with its reason.
func worstGears(p *printer, doc *Gears) {
	type worst struct {
		chance float64
		text   string
	}
	var list []worst
	for i := range doc.Gears {
		g := &doc.Gears[i]
		seen := map[string]bool{} // what is so both ways is told once
		for _, v := range g.Verdicts {
			c := chanceOfVerdict(g, v.Code)
			if c < atUnclear || seen[v.Code] {
				continue
			}
			seen[v.Code] = true
			list = append(list, worst{c, fmt.Sprintf("%d/%d %s, %s: %s", g.RingTeeth, g.CogTeeth, v.Direction, v.Words, v.Reason)})
		}
	}
	if len(list) == 0 {
		return
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].chance > list[j].chance })
	p.printf("\nWorst\n")
	for _, x := range list[:min(mostWorst, len(list))] {
		p.printf("%s\n", hanging(x.text))
	}
	if n := len(list) - mostWorst; n > 0 {
		p.printf("%d more: --why\n", n)
	}
}

// chanceOfVerdict returns the chance of what a verdict says; of the stay, which is measured,
// 1; less than 0 for none.
func chanceOfVerdict(g *Gear, code string) float64 {
	if code == sim.HitsStay.String() {
		return 1
	}
	if c := g.Chance[code]; c != nil {
		return *c
	}
	return -1
}

// hanging wraps a text with its further lines set in by two.
func hanging(s string) string { return strings.ReplaceAll(Wrap(s, Columns-2), "\n", "\n  ") }

// printer keeps the first error of many prints.
type printer struct {
	w   io.Writer
	err error
}

func (p *printer) printf(format string, a ...any) {
	if p.err == nil {
		_, p.err = fmt.Fprintf(p.w, format, a...)
	}
}

func (p *printer) write(f func(io.Writer) error) {
	if p.err == nil {
		p.err = f(p.w)
	}
}

func difference(d float64) string {
	switch {
	case d > 0.05:
		return fmt.Sprintf("the front lies %.1f mm outboard", d)
	case d < -0.05:
		return fmt.Sprintf("the front lies %.1f mm inboard", -d)
	}
	return "the front lies in the rear line"
}

// limit prints a bend limit, - for none.
func limit(rad float64) string {
	if rad >= engage.MaxAngle {
		return "-"
	}
	return fmt.Sprintf("%.2f", sim.Degrees(rad))
}

// offLimit prints from which bend the chain may come off, held where it has nowhere to go.
func offLimit(a sim.Arrival) string {
	if a.Held {
		return "held"
	}
	return limit(a.Limits.Climb)
}

// gearWords are a gear's verdicts in a direction, with the mark of the worst; bad where the
// chain may come off or does not fit.
func gearWords(g *Gear, d sim.Direction) (mark, words string, bad bool) {
	var list []string
	most := -1.0
	for _, v := range g.Verdicts {
		if v.Direction != d.String() {
			continue
		}
		list = append(list, v.Words)
		bad = bad || v.Code == sim.DropRiding.String() || v.Code == sim.DropBackwards.String() || v.Code == sim.CannotClose.String()
		most = max(most, chanceOfVerdict(g, v.Code))
	}
	return markOf(most), strings.Join(list, ", "), bad
}

// markOf is a chance as a mark that needs no colour.
func markOf(chance float64) string {
	switch Sureness(chance) {
	case "likely":
		return "!"
	case "cannot tell":
		return "?"
	case "unlikely":
		return "~"
	}
	return ""
}

func directionTable(doc *Gears, r *sim.Result, d sim.Direction, v GearView) *Table {
	t := &Table{
		Head: [][]string{{"gear", "", "verdict", "top", "", "bottom", "pull"}, {"", "", "", "°", "", "°", "N"}},
		Left: map[int]bool{0: true, 2: true, 4: true}, Flow: 3,
	}
	add := func(name, unit string, left bool) {
		t.Left[len(t.Head[0])] = left
		t.Head[0], t.Head[1] = append(t.Head[0], name), append(t.Head[1], unit)
	}
	if d == sim.Riding { // losses are those of riding
		add("loss", "%", false)
		add("wear", "index", false)
	}
	if v.Wide {
		t.Flow = 0
		for _, x := range [][2]string{{"ratio", ""}, {"cage", "°"}, {"worst at", ""}, {"bend", "°"}, {"touch", "from °"}, {"off", "from °"}, {"offset", "mm"}} {
			add(x[0], x[1], x[0] == "worst at")
		}
	}
	bad := map[int]bool{}
	for i := range r.Gears {
		g := &r.Gears[i]
		mark, words, worse := gearWords(&doc.Gears[i], d)
		bad[i] = worse
		row := []string{fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), mark, words}
		fits := g.Fit.Mounts()
		if fits {
			top, bottom := bends(g)
			row = append(row, top, map[string]string{"outboard": "out", "inboard": "in", "straight": ""}[g.Top.Side()], bottom, fmt.Sprintf("%.0f", g.Worst(d).Pull))
		} else { // a chain that does not go round
			row = append(row, "-", "", "-", "-")
		}
		if d == sim.Riding {
			row = append(row, lossCells(doc.Gears[i].Loss)...)
		}
		if v.Wide {
			row = append(row, wideCells(g, d, r.Tensioned, fits)...)
		}
		t.Rows = append(t.Rows, row)
	}
	if v.Bold {
		t.Bold = func(row, col int) bool { return (col == 1 || col == 2) && bad[row] }
	}
	return t
}

func lossCells(l *Loss) []string {
	if l == nil {
		return []string{"-", "-"}
	}
	share := "-"
	if l.Percent != nil {
		share = fmt.Sprintf("%.1f", *l.Percent)
	}
	return []string{share, fmt.Sprintf("%.2f", l.Wear)}
}

func wideCells(g *sim.Gear, d sim.Direction, tensioned, fits bool) []string {
	ratio, cage := fmt.Sprintf("%.2f", g.Ratio()), "-"
	if !fits {
		return []string{ratio, cage, "-", "-", "-", "-", "-"}
	}
	if tensioned {
		cage = fmt.Sprintf("%.0f", sim.Degrees(g.CageAngle))
	}
	a := g.Worst(d)
	return []string{ratio, cage, a.At.Name(), fmt.Sprintf("%.2f", sim.Degrees(a.Bend)), limit(a.Limits.Quiet), offLimit(a), fmt.Sprintf("%.2f", a.Offset)}
}

// bends prints the bends of both spans; - where no chain goes round.
func bends(g *sim.Gear) (top, bottom string) {
	if !g.Fit.Mounts() {
		return "-", "-"
	}
	return fmt.Sprintf("%.2f", sim.Degrees(g.Top.Bend)), fmt.Sprintf("%.2f", sim.Degrees(g.Bottom.Bend))
}

// clearanceLines prints the least of each kind of clearance and its gear.
func clearanceLines(p *printer, r *sim.Result) {
	for _, k := range []struct {
		name string
		of   func(c sim.Clearances) sim.Gap
	}{
		{"to the next cog", func(c sim.Clearances) sim.Gap { return least(c.NextCog) }},
		{"to the next ring", func(c sim.Clearances) sim.Gap { return least(c.NextRing) }},
		{"chain to tyre, mud allowed for", func(c sim.Clearances) sim.Gap { return c.Tyre }},
		{"ring to chainstay, flex allowed for", func(c sim.Clearances) sim.Gap { return c.RingStay }},
		{"chain to chainstay, flex allowed for", func(c sim.Clearances) sim.Gap { return c.ChainStay }},
	} {
		var worst *sim.Gear
		for i := range r.Gears {
			g := &r.Gears[i]
			if x := k.of(g.Clearances); x.Valid && g.Fit.Mounts() && (worst == nil || x.MM < k.of(worst.Clearances).MM) {
				worst = g
			}
		}
		if worst != nil {
			p.printf("least clearance %s: %.2f mm in %d/%d\n", k.name, k.of(worst.Clearances).MM, worst.RingTeeth, worst.CogTeeth)
		}
	}
}

func least(g [2]sim.Gap) sim.Gap {
	if g[1].Valid && g[1].MM < g[0].MM {
		return g[1]
	}
	return g[0]
}

func reasons(p *printer, doc *Gears) {
	p.printf("\nWhy\n")
	for i := range doc.Gears {
		g := &doc.Gears[i]
		for _, v := range g.Verdicts {
			p.printf("%s\n", hanging(fmt.Sprintf("%d/%d %s, %s: %s", g.RingTeeth, g.CogTeeth, v.Direction, v.Words, v.Reason)))
		}
	}
}

// Wrap breaks a text into lines of at most width characters, at blanks.
func Wrap(s string, width int) string {
	var b strings.Builder
	n := 0
	for i, word := range strings.Fields(s) {
		long := utf8.RuneCountInString(word)
		switch {
		case i == 0:
		case n+1+long > width:
			b.WriteByte('\n')
			n = 0
		default:
			b.WriteByte(' ')
			n++
		}
		b.WriteString(word)
		n += long
	}
	return b.String()
}
