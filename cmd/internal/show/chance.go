package show

import (
	"fmt"
	"math"

	"chainpath/cases"
	"chainpath/sim"
	"chainpath/sim/decide"
)

// Chance are the chances of a gear's concerns by their codes, 0 to 1; null where there is
// no such thing.
type Chance map[string]*float64

func chanceOf(c *sim.Chances) Chance {
	out := Chance{}
	for k := range c {
		out[sim.Concern(k).String()] = chanceAt(c, sim.Concern(k))
	}
	return out
}

// chanceAt returns one chance, or nil where there is no such thing.
func chanceAt(c *sim.Chances, k sim.Concern) *float64 {
	if !c.Is(k) {
		return nil
	}
	p := math.Round(c[k]*1e4) / 1e4 // two hundred draws are good for less
	return &p
}

// AddChances computes the chances of every gear and puts the verdicts that follow from
// them in the place of the default set's.
func (d *Gears) AddChances(c *cases.Case, b *sim.Bike, r *sim.Result) error {
	seen, err := c.Foresee(&b.Load)
	if err != nil {
		return err
	}
	chances := make([]sim.Chances, len(seen))
	for i := range d.Gears {
		f := &seen[i]
		chances[i] = f.Chances
		d.Gears[i].Chance, d.Gears[i].Size = chanceOf(&f.Chances), sizesOf(f)
		d.Gears[i].Verdicts = verdictsOf(&r.Gears[i], &f.Chances, &f.Sizes)
	}
	d.nameAssumed()
	if d.Riding != nil {
		t, err := troubleIn(c, b, chances, &decide.Usual)
		if err != nil {
			return err
		}
		d.Riding.Shares = troubleOf(&t).Shares
	}
	d.Answer, err = answerOf(c, b, chances)
	if err == nil && c.Learned != nil {
		d.Answer.Words = "By what was seen of this bicycle: " + lower(d.Answer.Words)
	}
	return err
}

// Chances from which on a concern is spoken of, and the words for it.
const (
	atUnlikely = 0.10
	atUnclear  = 0.35
	atLikely   = 0.65
)

// Sureness returns the words for a chance: nothing below 0.1.
func Sureness(p float64) string {
	switch {
	case p >= atLikely:
		return "likely"
	case p >= atUnclear:
		return "cannot tell"
	case p >= atUnlikely:
		return "unlikely"
	}
	return ""
}

// ChanceText returns a chance with two digits, and never as 0 or 1.
func ChanceText(p float64) string {
	switch {
	case p < 0.005:
		return "<0.01"
	case p > 0.995:
		return ">0.99"
	}
	return fmt.Sprintf("%.2f", p)
}

// concernsOf are the concerns of each direction, in the order in which they are told.
var concernsOf = func() (out [2][]sim.Concern) {
	for _, k := range sim.ToldOrder() {
		for d, yes := range sim.Hazards[k].Ways {
			if yes {
				out[d] = append(out[d], k)
			}
		}
	}
	return out
}()

// verdictsOf returns what is to be said of a gear: every concern with a chance of a
// tenth and more, and what geometry alone tells of the chainstay and the chain's length.
// Sizes, where there are any, tell by how much.
func verdictsOf(g *sim.Gear, c *sim.Chances, sizes *[sim.NumConcerns]cases.Size) (out []Verdict) {
	for d := sim.Riding; d <= sim.Backwards; d++ {
		before := len(out)
		for _, k := range concernsOf[d] {
			if sure := Sureness(c[k]); sure != "" {
				reason := "chance " + ChanceText(c[k]) + because(g, d, k)
				if sizes != nil {
					if (k == sim.DropRiding || k == sim.DropBackwards) && g.Hangs(d) {
						reason += "; by the links alone"
					}
					reason += ", " + byHow(k, sizes[k])
					sure = closely(k, sure, sizes[k])
				}
				out = append(out, Verdict{d.String(), k.String(), k.Words() + ": " + sure, reason, nil})
			}
		}
		for _, v := range g.Verdicts {
			if v.Direction == d && (v.Code == sim.HitsStay || v.Code == sim.CannotClose && Sureness(c[sim.DoesNotClose]) == "") {
				out = append(out, Verdict{d.String(), v.Code.String(), v.Words(), v.Reason, nil})
			}
		}
		if len(out) == before {
			out = append(out, Verdict{d.String(), sim.IsQuiet.String(), sim.IsQuiet.Words(), fmt.Sprintf("no concern has a chance of %.1f or more", atUnlikely), nil})
		}
	}
	return out
}

// byHow tells a size with its spread over the drawn sets.
func byHow(k sim.Concern, s cases.Size) string {
	unit := map[string]string{"deg": "°", "mm": " mm", "n": " N"}[sim.Hazards[k].Unit]
	where := "past the edge"
	if s[1] < 0 {
		where = "short of the edge"
	}
	return fmt.Sprintf("%.2g%s %s (%+.2g to %+.2g)", math.Abs(s[1]), unit, where, s[0], s[2])
}

// closely says "close" of parts whose overlap lies within its own doubt, and that are not
// likely to meet.
func closely(k sim.Concern, sure string, s cases.Size) string {
	if sim.Hazards[k].Meets && sure != "likely" && s[0] < 0 && s[2] > 0 {
		return "close"
	}
	return sure
}

// Grave reports whether a verdict's code says that the chain may come off or does not fit.
func Grave(code string) bool {
	h := hazardOf(code)
	return h.Fails("climb") || h.Harm == sim.Unfit
}

// hazardOf returns the hazard of a verdict's code; an empty one where that is none.
func hazardOf(code string) *sim.Hazard {
	for k := range sim.Hazards {
		if sim.Hazards[k].Code == code {
			return &sim.Hazards[k]
		}
	}
	return &sim.Hazard{}
}

// because tells what a chance rests on most.
func because(g *sim.Gear, d sim.Direction, k sim.Concern) string {
	top, bottom, onto := sim.Degrees(g.Top.Bend), sim.Degrees(g.Bottom.Bend), sim.Degrees(g.OnRing().Bend)
	switch k {
	case sim.NoiseRiding:
		return fmt.Sprintf(": top run bent %.2f° onto the ring under %.0f N", onto, g.Tensions.Top[d])
	case sim.DropRiding:
		if g.Loop.Idled {
			return fmt.Sprintf(": top run bent %.2f° onto the idler and %.2f° onto the ring under %.0f N", top, onto, g.Tensions.Top[d])
		}
		return fmt.Sprintf(": top run bent %.2f° onto the ring under %.0f N", top, g.Tensions.Top[d]) + loose(g, d)
	case sim.DropBackwards:
		if g.Loop.Idled && g.Drive == sim.Freewheel {
			return fmt.Sprintf(": top run bent %.2f° onto the idler and %.2f° onto the cog under %.0f N, bottom run %.2f° onto the ring", onto, top, g.Tensions.Top[d], bottom)
		}
		if g.Drive != sim.Freewheel {
			wheels := "the ring"
			if g.Drive == sim.Fixed {
				wheels = "ring or cog"
			}
			return fmt.Sprintf(": bottom run bent %.2f° onto %s under %.0f N, top run %.2f° and slack with %.1f N; the brake goes with the chain", bottom, wheels, g.Tensions.Bottom[d], top, g.Tensions.Top[d]) + loose(g, d)
		}
		return fmt.Sprintf(": top run bent %.2f° onto the cog under %.0f N, bottom run %.2f° onto the ring", top, g.Tensions.Top[d], bottom) + loose(g, d)
	case sim.RubsFrontCage:
		if r := &g.Front; r.Valid {
			return fmt.Sprintf(": by the nominal dimensions %.2f mm off the inner plate and %.2f mm off the outer one at best, at trim %d", math.Round(r.Gap[0]*100)/100+0, math.Round(r.Gap[1]*100)/100+0, r.Trim+1)
		}
	case sim.TopSlackBackwards:
		return fmt.Sprintf(": freehub drag leaves %.1f N in the top run", g.Tensions.Top[d])
	}
	if room := g.Rooms.Of(k); room.Valid {
		return fmt.Sprintf(": %.1f mm clear at rest by the nominal dimensions", room.MM)
	}
	if k == sim.DoesNotClose && !g.Fit.Mounts() || k == sim.ChainTooLong && g.Fit.Slack > 0 {
		return ": " + g.Fit.Reason()
	}
	return ""
}

// loose tells of a run that goes by the trade's rule for slack chain, of which links say nothing.
func loose(g *sim.Gear, d sim.Direction) string {
	if !g.Hangs(d) {
		return ""
	}
	run, pull := "bottom", g.Tensions.Bottom[d]
	if d == sim.Backwards {
		run, pull = "top", g.Tensions.Top[d]
	}
	return fmt.Sprintf("; the %s run counts as slack with %.1f N, where the chance goes by how far apart the lines are (common practice, no published source)", run, pull)
}

// MayBe is the chance from which on something may well happen.
const MayBe = atUnclear

// AtLeast reports whether there is such a thing as a concern and its chance is so high.
func (c Chance) AtLeast(k sim.Concern, chance float64) bool {
	p := c.at(k)
	return p != nil && *p >= chance
}

// at returns a concern's chance; nil: there is no such thing.
func (c Chance) at(k sim.Concern) *float64 { return c[k.String()] }

// SizeRange is how far a concern is past the edge, above 0: it happens; its 5, 50 and 95 %
// points over the drawn sets.
type SizeRange struct {
	Low    float64 `json:"low"`
	Middle float64 `json:"middle"`
	High   float64 `json:"high"`
}

// sizesOf are a gear's sizes by code and unit; null where there is no such thing.
func sizesOf(f *cases.Foreseen) map[string]*SizeRange {
	out := map[string]*SizeRange{}
	for k := range f.Sizes {
		name := sim.Hazards[k].Code + "_" + sim.Hazards[k].Unit
		out[name] = nil
		if s := f.Sizes[k]; f.Chances.Is(sim.Concern(k)) {
			out[name] = &SizeRange{digits4(s[0]), digits4(s[1]), digits4(s[2])}
		}
	}
	return out
}

func digits4(x float64) float64 { return math.Round(x*1e4) / 1e4 }
