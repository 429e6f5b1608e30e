package show

import (
	"fmt"
	"io"
	"strings"

	"chainpath/sim"
)

// GearTable prints a result for people: a header, one table a direction, the
// least clearances, and with why every reason in words. Bold marks what may drop
// the chain or cannot be ridden.
func GearTable(w io.Writer, doc *Gears, b *sim.Bike, r *sim.Result, why, bold bool) error {
	p := &printer{w: w}
	p.printf("%s\n", doc.Case)
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
		p.printf("over the riding profile: mean bend top %.2f°, bottom %.2f°; of the time %.0f %% not quiet, %.0f %% in gears that may climb (backwards %.0f %%), %.0f %% in gears that rub\n",
			x.Top, x.Bottom, 100*x.NotQuiet, 100*x.MayClimb, 100*x.ClimbBack, 100*x.Rub)
	}
	if why {
		reasons(p, r)
	}
	p.printf("\nBends are level 1 (geometry), limits and offsets level 2 (mechanics on assumptions: see defaults).\n%s\n", Caveat)
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

func directionTable(doc *Gears, r *sim.Result, d sim.Direction, bold bool) *Table {
	t := &Table{
		Head: [][]string{
			{"ring", "cog", "ratio", "cage", "top", "", "bottom", "worst at", "bend", "quiet", "climb", "offset", "pull", "verdict"},
			{"", "", "", "°", "°", "", "°", "", "°", "to °", "from °", "mm", "N", ""},
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
		a := g.Worst(d)
		cage := "-"
		if r.Tensioned {
			cage = fmt.Sprintf("%.0f", sim.Degrees(g.CageAngle))
		}
		var words []string
		for _, v := range g.Verdicts {
			if v.Direction == d {
				words = append(words, v.Code.Words())
				bad[i] = bad[i] || v.Code == sim.IsClimbing || v.Code == sim.CannotClose
			}
		}
		row := []string{
			fmt.Sprint(g.RingTeeth), fmt.Sprint(g.CogTeeth), fmt.Sprintf("%.2f", g.Ratio()), cage,
			fmt.Sprintf("%.2f", sim.Degrees(g.Top.Bend)), map[string]string{"outboard": "out", "inboard": "in", "straight": ""}[g.Top.Side()],
			fmt.Sprintf("%.2f", sim.Degrees(g.Bottom.Bend)),
			a.At.Name(), fmt.Sprintf("%.2f", sim.Degrees(a.Bend)),
			fmt.Sprintf("%.2f", sim.Degrees(a.Limits.Quiet)), fmt.Sprintf("%.2f", sim.Degrees(a.Limits.Climb)),
			fmt.Sprintf("%.2f", a.Offset), fmt.Sprintf("%.0f", a.Pull),
		}
		if d == sim.Riding {
			l := doc.Gears[i].Loss
			row = append(row, fmt.Sprintf("%.1f", l.Percent), fmt.Sprintf("%.2f", l.Wear))
		}
		t.Rows = append(t.Rows, append(row, strings.Join(words, ", ")))
	}
	if bold {
		t.Bold = func(row, col int) bool { return col == verdict && bad[row] }
	}
	return t
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
			if x := k.of(g.Clearances); x.Is && (worst == nil || x.MM < k.of(worst.Clearances).MM) {
				worst = g
			}
		}
		if worst != nil {
			p.printf("least clearance %s: %.2f mm in %d/%d\n", k.name, k.of(worst.Clearances).MM, worst.RingTeeth, worst.CogTeeth)
		}
	}
}

func least(g [2]sim.Gap) sim.Gap {
	if g[1].Is && g[1].MM < g[0].MM {
		return g[1]
	}
	return g[0]
}

func reasons(p *printer, r *sim.Result) {
	p.printf("\nWhy\n")
	for i := range r.Gears {
		g := &r.Gears[i]
		for _, v := range g.Verdicts {
			p.printf("%d/%d %s, %s: %s\n", g.RingTeeth, g.CogTeeth, v.Direction, v.Code.Words(), v.Reason)
		}
	}
}
