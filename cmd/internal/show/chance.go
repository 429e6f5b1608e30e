package show

import (
	"fmt"
	"math"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/judge"
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
	seen, err := c.Foresee()
	if err != nil {
		return err
	}
	return d.AddForeseen(c, b, r, seen)
}

// AddForeseen does so with what is foreseen of every gear.
func (d *Gears) AddForeseen(c *cases.Case, b *sim.Bike, r *sim.Result, seen []judge.Foreseen) (err error) {
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
	switch {
	case err != nil:
		return err
	case c.Learned != nil:
		d.Answer.Words = say.Learned(d.Answer.Words)
	case c.NotLearned():
		d.Answer.Words += " " + say.NotLearned
	}
	return nil
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
func verdictsOf(g *sim.Gear, c *sim.Chances, sizes *[sim.NumConcerns]judge.Size) (out []Verdict) {
	for d := sim.Riding; d <= sim.Backwards; d++ {
		before := len(out)
		for _, k := range concernsOf[d] {
			if say.LevelOf(c[k]) == say.Quiet {
				continue
			}
			words, reason := k.Words()+" "+say.Percent(c[k]), because(g, d, k)
			if sizes != nil {
				if (k == sim.DropRiding || k == sim.DropBackwards) && g.Hangs(d) {
					reason = also(reason, "by the links alone")
				}
				s := sizes[k]
				reason = also(reason, say.Size(s[0], s[1], s[2], say.Unit(sim.Hazards[k].Unit)))
				if borderline(k, c[k], s) {
					words += ", borderline"
				}
			}
			out = append(out, Verdict{d.String(), k.String(), words, reason, nil})
		}
		for _, v := range g.Verdicts {
			if v.Direction == d && (v.Code == sim.HitsStay || v.Code == sim.CannotClose && say.LevelOf(c[sim.DoesNotClose]) == say.Quiet) {
				out = append(out, Verdict{d.String(), v.Code.String(), v.Words(), v.Reason, nil})
			}
		}
		if len(out) == before {
			out = append(out, Verdict{d.String(), sim.IsQuiet.String(), say.NoFault, "no fault has a chance of 10 % or more", nil})
		}
	}
	return out
}

// also puts a further reason behind one, which may be none.
func also(reason, more string) string {
	if reason == "" {
		return more
	}
	return reason + "; " + more
}

// borderline reports whether parts may touch or not within the doubt of their overlap.
func borderline(k sim.Concern, chance float64, s judge.Size) bool {
	return sim.Hazards[k].Meets && say.LevelOf(chance) < say.Probable && s[0] < 0 && s[2] > 0
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
		return fmt.Sprintf("top run at %.1f° onto the chainring under %.0f N", onto, g.Tensions.Top[d])
	case sim.DropRiding:
		if g.Drive == sim.Freewheel && g.Loop.N >= 4 {
			return fmt.Sprintf("top run at %.1f° onto the chainring under %.0f N while the legs rest", onto, max(0, g.Tensions.Top[sim.Backwards]))
		}
		return fmt.Sprintf("top run at %.1f° onto the chainring", onto) + loose(g, d)
	case sim.DropSmooth:
		if g.Loop.Idled {
			return fmt.Sprintf("top run at %.1f° onto the idler and at %.1f° onto the chainring under %.0f N", top, onto, g.Tensions.Top[d])
		}
		return fmt.Sprintf("top run at %.1f° onto the chainring under %.0f N", top, g.Tensions.Top[d]) + loose(g, d)
	case sim.DropBackwards:
		if g.Loop.Idled && g.Drive == sim.Freewheel {
			return fmt.Sprintf("top run at %.1f° onto the idler and at %.1f° onto the cog under %.0f N, bottom run at %.1f° onto the chainring", onto, top, g.Tensions.Top[d], bottom)
		}
		if g.Drive != sim.Freewheel {
			wheels := "the chainring"
			if g.Drive == sim.Fixed {
				wheels = "chainring or cog"
			}
			return fmt.Sprintf("bottom run at %.1f° onto %s under %.0f N, top run at %.1f° and slack with %.1f N; a dropped chain brakes nothing", bottom, wheels, g.Tensions.Bottom[d], top, g.Tensions.Top[d]) + loose(g, d)
		}
		return fmt.Sprintf("top run at %.1f° onto the cog under %.0f N, bottom run at %.1f° onto the chainring", top, g.Tensions.Top[d], bottom) + loose(g, d)
	case sim.RubsFrontCage:
		if r := &g.Front; r.Valid {
			return fmt.Sprintf("with typical values %.2f mm off the inner plate and %.2f mm off the outer one at best, at trim %d", math.Round(r.Gap[0]*100)/100+0, math.Round(r.Gap[1]*100)/100+0, r.Trim+1)
		}
	case sim.TopSlackBackwards:
		return fmt.Sprintf("the freehub's drag leaves %.1f N in the top run", g.Tensions.Top[d])
	}
	if room := g.Rooms.Of(k); room.Valid {
		return fmt.Sprintf("%.1f mm clear at rest with typical values", room.MM)
	}
	if k == sim.DoesNotClose && !g.Fit.Mounts() || k == sim.ChainTooLong && g.Fit.Slack > 0 {
		return g.Fit.Reason()
	}
	return ""
}

// loose tells of a run that is so slack that its spare chain matters more than its angle.
func loose(g *sim.Gear, d sim.Direction) string {
	if !g.Hangs(d) {
		return ""
	}
	run, pull := "bottom", g.Tensions.Bottom[d]
	if d == sim.Backwards {
		run, pull = "top", g.Tensions.Top[d]
	}
	return fmt.Sprintf("; the %s run hangs with %.1f N: the chance follows how much spare chain it has, and how far apart the chainlines are", run, pull)
}

// MayBe is the chance from which on something may well happen.
const MayBe = say.FromEither

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
func sizesOf(f *judge.Foreseen) map[string]*SizeRange {
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
