package show

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// GearTable prints a result for people: a header, one table a direction, the
// least clearances, and with why every reason in words. Bold marks what may drop
// the chain or cannot be ridden.
func GearTable(w io.Writer, doc *Gears, b *sim.Bike, r *sim.Result, why, bold bool) error {
	p := &printer{w: w}
	p.printf("%s\n", doc.Case)
	if a := doc.Answer; a != nil {
		p.printf("%s\n", Wrap(a.Words, 80))
		if a.Usual != nil {
			p.printf("%s\n", Wrap(a.Usual.Words, 80))
		}
		p.printf("\n")
	}
	p.printf("front line %.1f mm, rear line %.1f mm: %s\n", r.Front, r.Rear, difference(r.Front-r.Rear))
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
	for d := sim.Riding; d <= sim.Backwards; d++ {
		p.printf("\n%s\n", map[sim.Direction]string{sim.Riding: "Riding", sim.Backwards: "Pedalling backwards"}[d])
		t := directionTable(doc, r, d, bold)
		p.write(t.Write)
	}
	p.printf("\n")
	clearanceLines(p, r)
	if x := doc.Riding; x != nil {
		p.printf("%s\n", Wrap(fmt.Sprintf("over the riding profile: mean bend top %.2f°, bottom %.2f°; of the time, by the default set, %.0f %% in noisy gears, %.0f %% in gears that may come off (backwards %.0f %%), %.0f %% in gears that rub",
			x.Top, x.Bottom, 100*x.NotQuiet, 100*x.MayClimb, 100*x.ClimbBack, 100*x.Rub), 80))
	}
	if why {
		reasons(p, doc)
	}
	warningLines(p, doc, 80)
	assumedLines(p, doc, 80)
	p.printf("\nBends are level 1 (geometry), chances, limits and offsets level 2 (mechanics\non assumptions: see defaults). Limits are what the default set gives: from the\nfirst on a tip touches a link, which alone is not audible, from the second on the\nchain may come off; held where plates, a cage or a wall keep it.\n%s\n", Wrap(Caveat, 80))
	return p.err
}

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

func directionTable(doc *Gears, r *sim.Result, d sim.Direction, bold bool) *Table {
	t := &Table{
		Head: [][]string{
			{"ring", "cog", "ratio", "cage", "top", "", "bottom", "worst at", "bend", "touch", "off", "offset", "pull", "verdict"},
			{"", "", "", "°", "°", "", "°", "", "°", "from °", "from °", "mm", "N", ""},
		},
		Left: map[int]bool{5: true, 7: true, 13: true},
	}
	verdict := 13
	if d == sim.Riding { // losses are those of riding
		verdict = 15
		t.Head[0] = append(t.Head[0][:13], "loss", "wear", "verdict")
		t.Head[1] = append(t.Head[1][:13], "%", "index", "")
		t.Left = map[int]bool{5: true, 7: true, verdict: true}
	}
	bad := map[int]bool{}
	for i := range r.Gears {
		g := &r.Gears[i]
		cage := "-"
		if r.Tensioned {
			cage = fmt.Sprintf("%.0f", sim.Degrees(g.CageAngle))
		}
		var words []string
		for _, v := range doc.Gears[i].Verdicts {
			if v.Direction == d.String() {
				words = append(words, v.Words)
				bad[i] = bad[i] || v.Code == sim.DropRiding.String() || v.Code == sim.DropBackwards.String() || v.Code == sim.CannotClose.String()
			}
		}
		row := []string{fmt.Sprint(g.RingTeeth), fmt.Sprint(g.CogTeeth), fmt.Sprintf("%.2f", g.Ratio())}
		if g.Fit.Mounts() {
			a := g.Worst(d)
			top, bottom := bends(g)
			row = append(row, cage,
				top, map[string]string{"outboard": "out", "inboard": "in", "straight": ""}[g.Top.Side()], bottom,
				a.At.Name(), fmt.Sprintf("%.2f", sim.Degrees(a.Bend)),
				limit(a.Limits.Quiet), offLimit(a),
				fmt.Sprintf("%.2f", a.Offset), fmt.Sprintf("%.0f", a.Pull))
		}
		if l := doc.Gears[i].Loss; l != nil && d == sim.Riding {
			share := "-"
			if l.Percent != nil {
				share = fmt.Sprintf("%.1f", *l.Percent)
			}
			row = append(row, share, fmt.Sprintf("%.2f", l.Wear))
		}
		for len(row) < verdict { // a chain that does not go round
			row = append(row, "-")
		}
		t.Rows = append(t.Rows, append(row, strings.Join(words, ", ")))
	}
	if bold {
		t.Bold = func(row, col int) bool { return col == verdict && bad[row] }
	}
	return t
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
			p.printf("%d/%d %s, %s: %s\n", g.RingTeeth, g.CogTeeth, v.Direction, v.Words, v.Reason)
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
