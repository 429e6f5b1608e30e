package show

import (
	"fmt"
	"io"
	"slices"
	"sort"
	"strings"

	"chainpath/sim"
)

// GearView is how much of a result is printed.
type GearView struct {
	Why    bool // every reason in words
	Wide   bool // every column, however wide
	Colour bool // beside the marks, on a terminal
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
	driveLines(p, b, r)
	idlerLines(p, b, r)
	p.printf("\n%s\n", Wrap(gearLegend(v.Wide), Columns))
	for d := sim.Riding; d <= sim.Backwards; d++ {
		p.printf("\n%s\n", map[sim.Direction]string{sim.Riding: "Riding", sim.Backwards: "Pedalling backwards"}[d])
		t := directionTable(doc, r, d, v)
		p.write(t.Write)
	}
	p.printf("\n")
	clearanceLines(p, b, r)
	if x := doc.Riding; x != nil {
		p.printf("%s\n", Wrap(fmt.Sprintf("over the riding profile: mean bend top %.2f°, bottom %.2f°%s", x.Top, x.Bottom, timeWords(x.Shares)), Columns))
	}
	if v.Why {
		reasons(p, doc)
	}
	warningLines(p, doc, Columns)
	assumedLines(p, doc, Columns)
	roomLines(p, doc.Rooms, Columns)
	p.printf("\n%s\n%s\n", Wrap("Bends are level 1 (geometry); chances, limits and offsets level 2 (mechanics on assumptions: see defaults).", Columns), Wrap(Caveat, Columns))
	return p.err
}

// brakeCaution is said wherever a cog is pushed back; empty for a freewheel.
func brakeCaution(d sim.Drive) string {
	if d == sim.Freewheel {
		return ""
	}
	return fmt.Sprintf("Without its chain a %s cog brakes nothing, and a chain that jams locks the wheel. Keep another brake; follow the makers' instructions and local rules; see a qualified mechanic.", d)
}

// driveLines tell of a cog that is pushed back and of chain that hangs.
func driveLines(p *printer, b *sim.Bike, r *sim.Result) {
	if b.Drive != sim.Freewheel {
		p.printf("%s\n", Wrap("Caution: "+brakeCaution(b.Drive), Columns))
		p.printf("%s\n", Wrap(fmt.Sprintf("%s cog, pushed back with %.0f N·m at the cranks: %s", b.Drive, b.Load.BackTorque/1000,
			map[sim.Drive]string{sim.Fixed: "rolling back, and slowing the wheel as it rolls forwards", sim.Coaster: "as its brake takes hold"}[b.Drive]), Columns))
	}
	if s := &r.Gears[0].Sags; s.Valid && r.Gears[0].Fit.Mounts() {
		p.printf("%s\n", Wrap(fmt.Sprintf("slack run sags %.0f mm when riding (the bottom one), %.0f mm when pushed back (the top one), with %.1f mm of chain to spare, and pulls %.1f and %.1f N",
			s.Bottom, s.Top, s.Surplus, s.Pull[sim.Riding], s.Pull[sim.Backwards]), Columns))
	}
}

// idlerLines tell what an idler makes of the top run.
func idlerLines(p *printer, b *sim.Bike, r *sim.Result) {
	if b.Idler == nil {
		return
	}
	var over []string
	lead := map[int]string{} // by ring: what is the same on every cog
	for i := range r.Gears {
		switch g := &r.Gears[i]; {
		case !g.Fit.Mounts():
		case !g.Loop.Idled:
			over = append(over, fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth))
		case lead[g.Ring] == "":
			lead[g.Ring] = fmt.Sprintf("%.2f° onto the ring of %d", sim.Degrees(g.Lead.Bend), g.RingTeeth)
		}
	}
	text := fmt.Sprintf("idler of %d teeth, line %.1f mm: top is the run from cog to idler", b.Idler.Teeth, b.Idler.Line)
	sep := "; from there the chain bends "
	for ring := range b.Rings {
		if lead[ring] != "" {
			text, sep = text+sep+lead[ring], ", "
		}
	}
	if over != nil {
		text += "; the chain passes over it without touching in " + strings.Join(over, ", ")
	}
	p.printf("%s\n", Wrap(text, Columns))
}

// gearLegend says what columns and marks mean, before the tables.
func gearLegend(wide bool) string {
	s := "! likely, ? cannot tell or close, ~ unlikely; top, bottom: bend of the run; leans: which way the top one goes, in or out, from cog to ring; pull: of the run onto the wheel that is worst"
	if wide {
		return s + "; worst at: the wheel nearest to its limit; noise at, off at: the bends at which noise, or coming off this wheel, is as likely as not; offset: where an inner link lands beside the tooth"
	}
	return s + "; --wide has the bends at which chances are even, and offsets, --why every reason"
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
		for k := range g.Verdicts {
			v := &g.Verdicts[k]
			c := chanceOfVerdict(g, v.Code)
			if c < atUnclear || seen[v.Code] || v.Code == sim.HitsStay.String() { // told as touching it
				continue
			}
			seen[v.Code] = true
			list = append(list, worst{c, reasonLine(g, v)})
		}
	}
	if len(list) == 0 {
		return
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].chance > list[j].chance })
	p.printf("\nWorst\n")
	for _, x := range list[:min(mostWorst, len(list))] {
		p.printf("%s\n", Item(x.text))
	}
	if n := len(list) - mostWorst; n > 0 {
		p.printf("%d more: --why\n", n)
	}
}

// chanceOfVerdict returns the chance of what a verdict says; of too little room beside the
// chainstay that of touching it; less than 0 for none.
func chanceOfVerdict(g *Gear, code string) float64 {
	if code == sim.HitsStay.String() {
		code = sim.MeetsStay.String()
	}
	if c := g.Chance[code]; c != nil {
		return *c
	}
	return -1
}

// printer keeps the first error of many prints.
type printer struct {
	w   io.Writer
	err error
}

// printf prints lines that fit.
func (p *printer) printf(format string, a ...any) {
	if p.err == nil {
		_, p.err = io.WriteString(p.w, Fit(fmt.Sprintf(format, a...)))
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

// timeWords say in how much of the time a rider is in gears that have a concern, by chances.
func timeWords(shares map[string]float64) string {
	var told []string
	for _, k := range sim.Concerns(func(*sim.Hazard) bool { return true }) {
		if x := shares[k.String()]; x >= leastTold {
			told = append(told, fmt.Sprintf("%s %.0f %%", k.Words(), 100*x))
		}
	}
	if told == nil {
		return ""
	}
	return "; of the time in gears that have it, by chances: " + strings.Join(told, ", ")
}

// leastTold is the least share of time that is told of.
const leastTold = 0.005

// gearWords are a gear's verdicts in a direction, the likeliest first, with its mark; bad where the
// chain may come off or does not fit.
func gearWords(g *Gear, d sim.Direction) (mark, words string, bad bool) {
	var verdicts []Verdict
	for _, v := range g.Verdicts {
		if v.Direction == d.String() {
			verdicts = append(verdicts, v)
		}
	}
	sort.SliceStable(verdicts, func(i, j int) bool {
		return chanceOfVerdict(g, verdicts[i].Code) > chanceOfVerdict(g, verdicts[j].Code)
	})
	var list []string
	most := -1.0
	for _, v := range verdicts {
		if v.Code == sim.HitsStay.String() && Sureness(chanceOfVerdict(g, v.Code)) != "" { // told as touching it
			continue
		}
		list = append(list, v.Words)
		bad = bad || Grave(v.Code)
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
	return " "
}

// colourOf is the colour that goes with a mark, from the eight that every terminal has; bold
// where the chain may come off or does not fit.
func colourOf(mark string, bad bool) string {
	of := map[string]string{"!": "31", "?": "33", "~": "36"}[mark]
	if bad && of != "" {
		of = "1;" + of
	}
	if of == "" {
		return ""
	}
	return "\x1b[" + of + "m"
}

func directionTable(doc *Gears, r *sim.Result, d sim.Direction, v GearView) *Table {
	t := &Table{
		Head: [][]string{{"gear", "  verdict", "top", "leans", "bottom", "pull"}, {"", "", "°", "", "°", "N"}},
		Left: map[int]bool{0: true, 1: true, 3: true}, Flow: 2, Marked: 2,
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
		for _, x := range [][2]string{{"ratio", ""}, {"cage", "°"}, {"worst at", ""}, {"bend", "°"}, {"noise", "at °"}, {"off", "at °"}, {"offset", "mm"}} {
			add(x[0], x[1], x[0] == "worst at")
		}
	}
	colours := map[int]string{}
	for i := range r.Gears {
		g := &r.Gears[i]
		mark, words, worse := gearWords(&doc.Gears[i], d)
		colours[i] = colourOf(mark, worse)
		row := []string{fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), mark + " " + words}
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
			row = append(row, wideCells(&doc.Gears[i], g, d, r.Tensioned, fits)...)
		}
		t.Rows = append(t.Rows, row)
	}
	if v.Colour {
		t.Colour = func(row, col int) string {
			if col == 1 {
				return colours[row]
			}
			return ""
		}
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

func wideCells(of *Gear, g *sim.Gear, d sim.Direction, tensioned, fits bool) []string {
	ratio, cage := fmt.Sprintf("%.2f", g.Ratio()), "-"
	if !fits {
		return []string{ratio, cage, "-", "-", "-", "-", "-"}
	}
	if tensioned {
		cage = fmt.Sprintf("%.0f", sim.Degrees(g.CageAngle))
	}
	a := g.Worst(d)
	noise, off := of.arrival(d, slices.Index(g.Arrivals[d], a)).BendAt.even()
	return []string{ratio, cage, a.At.Name(), fmt.Sprintf("%.2f", sim.Degrees(a.Bend)), noise, off, fmt.Sprintf("%.2f", a.Offset)}
}

// bends prints the bends of both spans; - where no chain goes round.
func bends(g *sim.Gear) (top, bottom string) {
	if !g.Fit.Mounts() {
		return "-", "-"
	}
	return fmt.Sprintf("%.2f", sim.Degrees(g.Top.Bend)), fmt.Sprintf("%.2f", sim.Degrees(g.Bottom.Bend))
}

// clearanceLines prints the least of each kind of clearance and its gear.
func clearanceLines(p *printer, b *sim.Bike, r *sim.Result) {
	mud, flex := 0.0, 0.0
	if b.Tyre != nil {
		mud = b.Tyre.Mud
	}
	if b.Stay != nil {
		flex = b.Stay.Flex
	}
	for _, k := range []struct {
		name   string
		wished float64
		of     func(g *sim.Gear) sim.Gap
	}{
		{"to the next cog", 0, func(g *sim.Gear) sim.Gap { return least(g.Clearances.NextCog) }},
		{"to the next ring", 0, func(g *sim.Gear) sim.Gap { return least(g.Clearances.NextRing) }},
		{"chain to tyre, mud allowed for", mud, func(g *sim.Gear) sim.Gap { return g.Clearances.Tyre }},
		{"ring to chainstay, flex allowed for", flex, func(g *sim.Gear) sim.Gap { return g.Clearances.RingStay }},
		{"chain to chainstay, flex allowed for", flex, func(g *sim.Gear) sim.Gap { return g.Clearances.ChainStay }},
		{"cog or chain to dropout", 0, func(g *sim.Gear) sim.Gap { return g.Rooms.Dropout }},
		{"cog or chain to spokes or rotor", 0, func(g *sim.Gear) sim.Gap { return g.Rooms.Wheel }},
	} {
		var worst *sim.Gear
		for i := range r.Gears {
			g := &r.Gears[i]
			if x := k.of(g); x.Valid && g.Fit.Mounts() && (worst == nil || x.MM < k.of(worst).MM) {
				worst = g
			}
		}
		if worst != nil {
			gap, short := k.of(worst).MM, ""
			if clear := gap + k.wished; k.wished > 0 && gap < 0 && clear >= 0 {
				short = fmt.Sprintf("; less room than wished: %.1f mm clear, %g wanted", clear, k.wished)
			}
			p.printf("%s\n", Wrap(fmt.Sprintf("least clearance %s: %.2f mm in %d/%d%s", k.name, gap, worst.RingTeeth, worst.CogTeeth, short), Columns))
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
	told, all := 0, 0
	quiet := ""
	for i := range doc.Gears {
		g := &doc.Gears[i]
		for k := range g.Verdicts {
			v := &g.Verdicts[k]
			all++
			if v.Code == sim.IsQuiet.String() {
				quiet = v.Reason
				continue
			}
			told++
			p.printf("%s\n", Item(reasonLine(g, v)))
		}
	}
	switch {
	case told == 0:
		p.printf("%s\n", Wrap("Every gear, riding and backwards: "+quiet+".", Columns))
	case told < all:
		p.printf("%s\n", Wrap("Every other gear or direction: "+quiet+".", Columns))
	}
}

// reasonLine is a verdict with its reason.
func reasonLine(g *Gear, v *Verdict) string {
	what, sure, _ := strings.Cut(v.Words, ": ")
	if !strings.Contains(what, v.Direction) {
		what += ", " + v.Direction
	}
	if sure != "" {
		sure = ": " + sure
	}
	return fmt.Sprintf("%d/%d %s%s; %s", g.RingTeeth, g.CogTeeth, what, sure, v.Reason)
}
