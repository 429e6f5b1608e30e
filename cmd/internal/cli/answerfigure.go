package cli

import (
	"fmt"
	"math"
	"sort"
	"strings"

	"chainpath/cases"
	"chainpath/cmd/internal/show"
	"chainpath/plots"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// How far the rings are moved for the shades of the one figure, mm either way.
const (
	shadesReach = 26.0
	shadesStep  = 2.0
)

// answerFigure works out the one figure of a bicycle.
func answerFigure(c *cases.Case, b *sim.Bike, r *sim.Result, doc *show.Gears) (*plots.Answer, error) {
	a := &plots.Answer{Title: c.Title, Quiet: c.Limits.Quiet.Value, Climb: c.Limits.Climb.Value}
	if x := doc.Answer; x != nil {
		a.Title, a.Second = x.Words, c.Title
		if x.Usual != nil {
			a.Second += ". " + x.Usual.Words
		}
	}
	for _, w := range b.Rings {
		a.Rings = append(a.Rings, plots.AnswerRing{Teeth: w.Teeth, Line: w.Line})
	}
	for _, w := range b.Cogs {
		a.Cogs = append(a.Cogs, plots.AnswerCog{Teeth: w.Teeth, Line: w.Line, Radius: w.TipRadius(b.Chain.Pitch)})
	}
	w, err := decide.FindWindow(b, r.Links)
	if err != nil {
		return nil, err
	}
	walls := w.Along(nil, &decide.Usual)
	shift := b.Rings[len(b.Rings)-1].Line - b.FrontLine() // of the largest ring, which meets the stay
	a.From, a.To = walls.From+shift, walls.To+shift
	a.FromBy, a.ToBy = wallWords(walls.FromBy), wallWords(walls.ToBy)
	if n := len(b.Rings); n > 1 {
		whose := fmt.Sprintf("for the ring of %d: ", b.Rings[n-1].Teeth)
		a.FromBy, a.ToBy = whose+a.FromBy, whose+a.ToBy
	}
	var shifts []float64
	for s := -shadesReach; s <= shadesReach; s += shadesStep {
		shifts = append(shifts, s)
	}
	all, err := c.ChancesAlong(nil, shifts)
	if err != nil {
		return nil, err
	}
	today, err := c.Chances(nil)
	if err != nil {
		return nil, err
	}
	for d := sim.Riding; d <= sim.Backwards; d++ {
		way := plots.AnswerWay{Name: [2]string{"riding: noise, and coming off", "pedalling backwards: coming off"}[d], Note: restWords(doc, d)}
		for i := range r.Gears {
			g := &r.Gears[i]
			if !g.Fit.Mounts() {
				continue
			}
			way.Mark = append(way.Mark, plots.AnswerMark{Ring: g.Ring, Cog: g.Cog, Bend: sim.Degrees(runOf(g, d).Bend), Chance: byBend(&today[i], d), Curve: curveOf(g, d, shifts, all, i)})
		}
		a.Ways = append(a.Ways, way)
	}
	return a, nil
}

// byBend is the chance of the trouble that goes by the top run's bend.
func byBend(c *sim.Chances, d sim.Direction) float64 {
	if d == sim.Backwards {
		return c[sim.DropBackwards]
	}
	return math.Max(c[sim.NoiseRiding], c[sim.DropRiding])
}

// runOf is the run that trouble of a direction goes by: onto the ring, or onto the cog.
func runOf(g *sim.Gear, d sim.Direction) sim.Span {
	if d == sim.Backwards {
		return g.Top
	}
	return g.OnRing()
}

// curveOf is how a gear's chance goes with its bend, the ring moved on the side of the cog on
// which it stands.
func curveOf(g *sim.Gear, d sim.Direction, shifts []float64, all [][]sim.Chances, i int) (curve [][2]float64) {
	run := runOf(g, d)
	if d == sim.Backwards && g.Loop.Idled { // moving the ring moves nothing of the run from idler to cog
		return nil
	}
	side := run.Across
	for k, s := range shifts {
		across := side + s
		if across*side < 0 || byBend(&all[k][i], d) < 0 {
			continue
		}
		curve = append(curve, [2]float64{sim.Degrees(math.Atan(math.Abs(across) / run.Length)), byBend(&all[k][i], d)})
	}
	sort.Slice(curve, func(a, b int) bool { return curve[a][0] < curve[b][0] })
	return curve
}

// restWords says what else is likely or cannot be told in a direction, which no bend shows.
func restWords(doc *show.Gears, d sim.Direction) string {
	skip := map[string]bool{sim.NoiseRiding.String(): true, sim.DropRiding.String(): true, sim.DropBackwards.String(): true}
	gears := map[string][]string{}
	var order []string
	for i := range doc.Gears {
		g := &doc.Gears[i]
		for _, v := range g.Verdicts {
			if p := g.Chance[v.Code]; v.Direction != d.String() || skip[v.Code] || p == nil || *p < 0.35 {
				continue
			}
			words, _, _ := strings.Cut(v.Words, ":")
			if gears[words] == nil {
				order = append(order, words)
			}
			gears[words] = append(gears[words], fmt.Sprintf("%d/%d", g.RingTeeth, g.CogTeeth))
		}
	}
	for i, words := range order {
		order[i] = words + " in " + strings.Join(gears[words], ", ")
	}
	return strings.Join(order, "; ")
}

func wallWords(by string) string {
	switch by {
	case "stay":
		return "the ring would meet the chainstay"
	case "tyre":
		return "the chain would meet the tyre"
	}
	return by
}
