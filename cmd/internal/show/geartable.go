package show

import (
	"fmt"
	"io"
	"math"
	"slices"
	"sort"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
)

// GearView is how much of a result is printed.
type GearView struct {
	All    bool   // tensions, losses, limits, clearances and every reason as well
	Name   string // of the case as it was typed, for the next command; "" where that is none
	Colour bool   // beside the words, on a terminal
}

// GearTable prints a result for people: the answer, why, what to type next, and a row a gear;
// with All everything else as well.
func GearTable(w io.Writer, doc *Gears, b *sim.Bike, r *sim.Result, v GearView) error {
	s := screen{above: []string{doc.Case}, table: faultTable(doc, r, v)}
	if a := doc.Answer; a != nil {
		words := a.Words
		if a.Usual != nil {
			words += " " + a.Usual.Words
		}
		why, next := whyWords(doc, a, v)
		s.above, s.next = append(s.above, words, why), next
	}
	if c := say.Brake(b.Drive); c != "" {
		s.below = append(s.below, "Caution: "+c)
	} else if drops, level := mayThrow(doc); level > say.Quiet {
		s.below = append(s.below, say.Danger(drops, level))
	}
	if !v.All {
		for _, x := range doc.Warnings {
			s.below = append(s.below, x.text())
		}
	}
	s.below = append(s.below, roomShort(doc, b, r)...)
	if x := say.NotMeasured(doc.Rooms); x != "" {
		s.notes = append(s.notes, x)
		s.short = say.NotGiven(doc.Rooms, say.Next(s.next), Columns)
	}
	if x := assumedWords(doc); x != "" && !v.All {
		s.notes = append(s.notes, x)
	}
	s.notes = append(s.notes, say.Model)
	s.notes = append(s.notes, lengthWords(b, r), dashWords)
	if v.Name != "" && !v.All {
		s.notes = append(s.notes, "Reasons, clearances, losses: --all.")
	}
	if err := s.write(w); err != nil || !v.All {
		return err
	}
	return gearDetails(w, doc, b, r, v)
}

// roomShort says where there is less room than the bike file wishes, the least of each kind.
func roomShort(doc *Gears, b *sim.Bike, r *sim.Result) (list []string) {
	for _, k := range clearances(b) {
		touches := doc.Answer != nil && doc.Answer.any(doc, func(h *sim.Hazard) bool { return h.Room == k.room })
		if g := leastOf(r, k.of); g != nil && k.wished > 0 && !touches {
			if gap := k.of(g).MM; gap < 0 && gap+k.wished >= 0 {
				list = append(list, fmt.Sprintf("Little room %s in %d/%d: %.1f mm, %g wanted.", k.name, g.RingTeeth, g.CogTeeth, gap+k.wished, k.wished))
			}
		}
	}
	return list
}

// leastWhy is how far apart the chainlines are, mm, where that is said to be behind faults.
const leastWhy = 1

// whyWords say where the lines are, and what to type next; "" for a case without a name.
func whyWords(doc *Gears, a *Answer, v GearView) (why, next string) {
	name := v.Name
	why = doc.lines(say.Offset) + "."
	bent := a.any(doc, func(h *sim.Hazard) bool { return h.ByBend })
	if sag := doc.sag(); bent && !v.All && sag > cases.CommonSag {
		why = "Why: " + say.SlackChain(sag, cases.CommonSag)
		if name == "" {
			return why, ""
		}
		return why, "gears " + name + " --all"
	}
	if bent && math.Abs(doc.Lines.Difference) >= leastWhy {
		why = "Why: " + why
	} else {
		why = say.Capital(why)
	}
	if pitch := doc.pitchTaken(); pitch != "" && strings.HasPrefix(why, "Why") {
		why += " " + say.RingPitch(pitch)
	} else if pitch != "" {
		why = say.LinesAndPitch(doc.Lines.Front, doc.Lines.Rear, pitch)
	}
	switch {
	case name == "":
		return why, ""
	case bent, a.Usual != nil && a.Usual.Less > a.Usual.More: // most bikes do better
		return why, "chainline " + name
	case len(a.Complaints) > 0:
		return why, "diagnose " + name
	}
	if v.All { // that was typed already
		return why, "accuracy " + name
	}
	return why, "gears " + name + " --all"
}

// sag returns how far the bottom run hangs down at most, mm; 0 with a tensioner.
func (d *Gears) sag() (most float64) {
	for i := range d.Gears {
		if s := d.Gears[i].Sag; s != nil {
			most = max(most, s.Bottom)
		}
	}
	return most
}

// lines says where the chainrings are, in one of the forms there are.
func (d *Gears) lines(form func(front, rear float64, rings, cogs int) string) string {
	rings, cogs := map[int]bool{}, map[int]bool{}
	for i := range d.Gears {
		rings[d.Gears[i].RingTeeth], cogs[d.Gears[i].CogTeeth] = true, true
	}
	return form(d.Lines.Front, d.Lines.Rear, len(rings), len(cogs))
}

// any reports whether a fault of a kind is told of in any gear.
func (a *Answer) any(doc *Gears, is func(h *sim.Hazard) bool) bool {
	return doc.level(is) >= say.Either
}

// level is that of a kind of fault in the gear where it is likeliest.
func (d *Gears) level(is func(h *sim.Hazard) bool) (most say.Level) {
	for i := range d.Gears {
		for _, k := range sim.Concerns(is) {
			if p := d.Gears[i].Chance.at(k); p != nil {
				most = max(most, say.LevelOf(*p))
			}
		}
	}
	return most
}

// mayThrow reports how likely a fault that can throw the rider is, and whether it is a chain that drops
// when riding.
func mayThrow(doc *Gears) (drops bool, level say.Level) {
	if doc.Answer == nil {
		return false, say.Quiet
	}
	danger := func(h *sim.Hazard) bool { return h.Harm == sim.Danger }
	level = doc.level(danger)
	return doc.level(func(h *sim.Hazard) bool { return danger(h) && h.ByBend }) == level, level
}

// lengthWords say how long the chain is, and what was counted on.
func lengthWords(b *sim.Bike, r *sim.Result) string {
	chosen := "given"
	if r.Chosen {
		chosen = "chosen"
	}
	if b.Load.Tension > 0 {
		return fmt.Sprintf("Chain %d links (%s). Top run under %.0f N.", r.Links, chosen, b.Load.Tension)
	}
	return fmt.Sprintf("Chain %d links (%s). Crank torque %.0f N·m.", r.Links, chosen, b.Load.Torque/1000)
}

// dashWords explain the dash of a table that has one.
const dashWords = `"-": no fault has a chance of 10 % or more.`

// pitchTaken is how far apart the chainrings are taken to be, where nobody measured it and a fault that
// is told of rests on it; else "".
func (d *Gears) pitchTaken() string {
	for _, a := range d.Assumed {
		told := func(h *sim.Hazard) bool { return slices.Contains(a.Concerns, h.Code) }
		if a.Path == "front.ring_pitch" && d.level(told) >= say.Either {
			return a.Value
		}
	}
	return ""
}

// assumedWords name what the answer rests on that the bike file does not say.
func assumedWords(doc *Gears) string {
	var list []string
	for _, a := range doc.Assumed {
		list = append(list, a.Path+" "+a.Value)
	}
	if list == nil {
		return ""
	}
	return "Assumed: " + strings.Join(list, "; ") + "."
}

// faultTable has a row a gear: the angles of both runs, where the chainring is from that cog, and what goes
// wrong riding and back-pedalling.
func faultTable(doc *Gears, r *sim.Result, v GearView) *Table {
	t := &Table{
		Head: [][]string{{"", "chain", "angle, °", "chainring", "chance of a fault", "chance"}, {"gear", "top", "bottom", "from cog", "riding, or both ways", "back-pedalling"}},
		Left: map[int]bool{0: true, 3: true, 4: true, 5: true}, Flow: 5,
	}
	colours := [][2]string{}
	for i := range r.Gears {
		g := &r.Gears[i]
		top, bottom := bends(g)
		row := []string{fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), top, bottom, ""}
		if g.Fit.Mounts() && g.Top.Side() != "straight" {
			row[3] = g.Top.Side()
		}
		var colour [2]string
		for d := range colour {
			words, level, bad := faultCell(&doc.Gears[i], sim.Direction(d), v.All)
			row, colour[d] = append(row, words), colourOf(level, bad)
		}
		t.Rows, colours = append(t.Rows, row), append(colours, colour)
	}
	if v.Colour {
		t.Colour = func(row, col int) string {
			if col >= 4 {
				return colours[row][col-4]
			}
			return ""
		}
	}
	return t
}

// mostInCell is how many faults a cell of the table names.
const mostInCell = 2

// faultCell names a gear's faults in a direction with their chances, the likeliest first; a
// dash for none. What happens both ways is told with riding. bad: the chain may drop or does not fit.
func faultCell(g *Gear, d sim.Direction, all bool) (words string, level say.Level, bad bool) {
	type named struct {
		chance float64
		words  string
	}
	var list []named
	for _, k := range concernsOf[d] {
		p := g.Chance.at(k)
		if p == nil || say.LevelOf(*p) == say.Quiet || d == sim.Backwards && sim.Hazards[k].Ways[sim.Riding] {
			continue
		}
		list = append(list, named{*p, sim.Hazards[k].Short + " " + say.Percent(*p)})
		level = max(level, say.LevelOf(*p))
		bad = bad || Grave(k.String())
	}
	sort.SliceStable(list, func(i, j int) bool { return list[i].chance > list[j].chance })
	var out []string
	most := mostInCell
	if all {
		most = len(list)
	}
	for _, x := range list[:min(most, len(list))] {
		out = append(out, x.words)
	}
	switch {
	case len(list) > most:
		out = append(out, "…")
	case out == nil && slices.ContainsFunc(g.Verdicts, func(v Verdict) bool { return v.Code == sim.CannotClose.String() }):
		return g.CloseNote, say.Probable, true
	case out == nil:
		return "-", say.Quiet, false
	}
	return strings.Join(out, ", "), level, bad
}

// gearDetails prints what the default answer leaves out.
func gearDetails(w io.Writer, doc *Gears, b *sim.Bike, r *sim.Result, v GearView) error {
	p := &printer{w: w}
	driveLines(p, b, r)
	idlerLines(p, b, r)
	p.printf("\n%s\n", Wrap(gearLegend, Columns))
	for d := sim.Riding; d <= sim.Backwards; d++ {
		p.printf("\n%s\n", map[sim.Direction]string{sim.Riding: "Riding", sim.Backwards: "Back-pedalling"}[d])
		t := directionTable(doc, r, d)
		p.write(t.Write)
	}
	p.printf("\n")
	clearanceLines(p, b, r)
	if x := doc.Riding; x != nil {
		p.printf("%s\n", Wrap(fmt.Sprintf("Over the riding profile the mean chain angle is %.2f° in the top run and %.2f° in the bottom run%s.", x.Top, x.Bottom, timeWords(x.Shares)), Columns))
	}
	reasons(p, doc)
	warningLines(p, doc, Columns)
	assumedLines(p, doc, Columns)
	p.printf("\n%s\n", Wrap(say.Exact, Columns))
	return p.err
}

// driveLines tell of a cog that is pushed back and of chain that hangs.
func driveLines(p *printer, b *sim.Bike, r *sim.Result) {
	if b.Drive != sim.Freewheel {
		p.printf("%s\n", Wrap(fmt.Sprintf("The %s cog is pushed back with %.0f N·m at the cranks%s.", b.Drive, b.Load.BackTorque/1000,
			map[sim.Drive]string{sim.Fixed: ": rolling back, and slowing the wheel as it rolls forwards", sim.Coaster: " as its brake takes hold"}[b.Drive]), Columns))
	}
	if s := &r.Gears[0].Sags; s.Valid && r.Gears[0].Fit.Mounts() {
		p.printf("%s\n", Wrap(fmt.Sprintf("The slack run sags %.0f mm when riding (the bottom run) and %.0f mm when pushed back (the top run). %.1f mm of chain is spare, and the slack run is under %.1f and %.1f N.",
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
			lead[g.Ring] = fmt.Sprintf("%.2f° onto the %d-tooth chainring", sim.Degrees(g.Lead.Bend), g.RingTeeth)
		}
	}
	text := fmt.Sprintf("The idler has %d teeth and is %.1f mm from the frame centreline. The top run is the one from cog to idler", b.Idler.Teeth, b.Idler.Line)
	sep := ". From there the chain runs at "
	for ring := range b.Rings {
		if lead[ring] != "" {
			text, sep = text+sep+lead[ring], ", "
		}
	}
	if over != nil {
		text += ". The chain passes over it without touching in " + strings.Join(over, ", ")
	}
	p.printf("%s\n", Wrap(text+".", Columns))
}

// gearLegend says what the columns of the details mean.
const gearLegend = "onto: when riding the chainring, which the noise comes from; below it, and back-pedalling, the wheel nearest to a drop. pull, angle: of the run onto it. noise at, drop at: the chain angles at which noise, or a drop off this wheel, is as likely as not. offset: where an inner link lands beside the tooth."

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
	return "; share of riding time with a fault: " + strings.Join(told, ", ")
}

// leastTold is the least share of time that is told of.
const leastTold = 0.005

// colourOf is the colour that goes with a level, from the eight that every terminal has; bold
// where the chain may drop or does not fit.
func colourOf(level say.Level, bad bool) string {
	of := [...]string{say.Quiet: "", say.Unlikely: "36", say.Either: "33", say.Probable: "31"}[level]
	if of == "" {
		return ""
	}
	if bad {
		of = "1;" + of
	}
	return "\x1b[" + of + "m"
}

// directionTable has what the default answer leaves out of a direction.
func directionTable(doc *Gears, r *sim.Result, d sim.Direction) *Table {
	t := &Table{
		Head: [][]string{{"gear", "pull", "ratio", "cage", "onto", "angle", "noise", "drop", "offset"}, {"", "N", "", "°", "", "°", "at °", "at °", "mm"}},
		Left: map[int]bool{0: true, 4: true},
	}
	if d == sim.Riding { // losses are those of riding
		t.Head[0], t.Head[1] = append(t.Head[0], "loss", "wear"), append(t.Head[1], "%", "index")
	}
	for i := range r.Gears {
		g, of := &r.Gears[i], &doc.Gears[i]
		name, ratio, cage := fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth), fmt.Sprintf("%.2f", g.Ratio()), "-"
		if r.Tensioned && g.Fit.Mounts() {
			cage = fmt.Sprintf("%.0f", sim.Degrees(g.CageAngle))
		}
		var rows [][]string
		for _, a := range shownArrivals(of, g, d) {
			noise, off := of.arrival(d, a).BendAt.even()
			x := &g.Arrivals[d][a]
			rows = append(rows, []string{name, fmt.Sprintf("%.0f", x.Pull), ratio, cage, x.At.Name(), fmt.Sprintf("%.2f", sim.Degrees(x.Bend)), noise, off, fmt.Sprintf("%.2f", x.Offset)})
			name, ratio, cage = "", "", "" // said once
		}
		if rows == nil {
			rows = [][]string{{name, "-", ratio, cage, "-", "-", "-", "-", "-"}}
		}
		if d == sim.Riding {
			rows[0] = append(rows[0], lossCells(of.Loss)...)
		}
		t.Rows = append(t.Rows, rows...)
	}
	return t
}

// shownArrivals are the wheels that the table has of a gear, as places in its arrivals: riding the
// chainring, which noise comes from, and the wheel nearest to a drop where that is another that
// the chain can leave; back-pedalling the latter alone.
func shownArrivals(of *Gear, g *sim.Gear, d sim.Direction) []int {
	if !g.Fit.Mounts() {
		return nil
	}
	worst := slices.Index(g.Arrivals[d], g.Worst(d))
	ring := slices.IndexFunc(g.Arrivals[d], func(a sim.Arrival) bool { return a.At == sim.AtRing })
	switch {
	case d == sim.Backwards || ring < 0 || ring == worst:
		return []int{worst}
	case of.arrival(d, worst).BendAt.off(1) == nil:
		return []int{ring}
	}
	return []int{ring, worst}
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

// bends prints the bends of both spans; - where no chain goes round.
func bends(g *sim.Gear) (top, bottom string) {
	if !g.Fit.Mounts() {
		return "-", "-"
	}
	return fmt.Sprintf("%.2f", sim.Degrees(g.Top.Bend)), fmt.Sprintf("%.2f", sim.Degrees(g.Bottom.Bend))
}

// clearance is a kind of clearance, the room of faults that it is of, and how much is wished
// for, mm; "" and 0 where none is.
type clearance struct {
	name   string
	room   string
	wished float64
	of     func(g *sim.Gear) sim.Gap
}

// WantedRooms are the rooms that the bike file asks for beside tyre and chainstay, mm; 0 where it gives
// none of these.
func WantedRooms(b *sim.Bike) (mud, flex float64) {
	if b.Tyre != nil {
		mud = b.Tyre.Mud
	}
	if b.Stay != nil {
		flex = b.Stay.Flex
	}
	return mud, flex
}

// clearances are the kinds of clearance of a bike.
func clearances(b *sim.Bike) []clearance {
	mud, flex := WantedRooms(b)
	return []clearance{
		{"of the chain to the next cog", "", 0, func(g *sim.Gear) sim.Gap { return least(g.Clearances.NextCog) }},
		{"of the chain to the next chainring", "", 0, func(g *sim.Gear) sim.Gap { return least(g.Clearances.NextRing) }},
		{"of the chain to the tyre", "tyre", mud, func(g *sim.Gear) sim.Gap { return g.Clearances.Tyre }},
		{"of the chainring to the chainstay", "chainstay", flex, func(g *sim.Gear) sim.Gap { return g.Clearances.RingStay }},
		{"of the chain to the chainstay", "chainstay", flex, func(g *sim.Gear) sim.Gap { return g.Clearances.ChainStay }},
		{"of cog or chain to the dropout", "dropout", 0, func(g *sim.Gear) sim.Gap { return g.Rooms.Dropout }},
		{"of cog or chain to spokes or rotor", "wheel", 0, func(g *sim.Gear) sim.Gap { return g.Rooms.Wheel }},
	}
}

// leastOf returns the gear with the least clearance of a kind; nil where there is none.
func leastOf(r *sim.Result, of func(g *sim.Gear) sim.Gap) (worst *sim.Gear) {
	for i := range r.Gears {
		g := &r.Gears[i]
		if x := of(g); x.Valid && g.Fit.Mounts() && (worst == nil || x.MM < of(worst).MM) {
			worst = g
		}
	}
	return worst
}

// clearanceLines prints the least of each kind of clearance and its gear.
func clearanceLines(p *printer, b *sim.Bike, r *sim.Result) {
	for _, k := range clearances(b) {
		worst := leastOf(r, k.of)
		if worst == nil {
			continue
		}
		gap, kept := k.of(worst).MM, ""
		if k.wished > 0 {
			kept = fmt.Sprintf(" (%.2f mm less the %g mm that are to be kept)", gap+k.wished, k.wished)
		}
		p.printf("%s\n", Wrap(fmt.Sprintf("Least clearance %s: %.2f mm in %d/%d%s.", k.name, gap, worst.RingTeeth, worst.CogTeeth, kept), Columns))
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
		p.printf("%s\n", Wrap("Every gear, riding and back-pedalling: "+quiet+".", Columns))
	case told < all:
		p.printf("%s\n", Wrap("Every other gear or direction: "+quiet+".", Columns))
	}
}

// reasonLine is a verdict with its reason.
func reasonLine(g *Gear, v *Verdict) string {
	return fmt.Sprintf("%d/%d %s, %s: %s", g.RingTeeth, g.CogTeeth, map[bool]string{true: "riding", false: "back-pedalling"}[v.Direction == sim.Riding.String()], v.Words, v.Reason)
}
