package show

import (
	"fmt"
	"math"

	"chainpath/cases"
	"chainpath/sim"
)

// Chance are the chances of a gear's concerns, 0 to 1; null where there is no such
// thing.
type Chance struct {
	NoiseRiding       *float64 `json:"noise_riding"`
	DropRiding        *float64 `json:"drop_riding"`
	DropBackwards     *float64 `json:"drop_backwards"`
	RubsNextCog       *float64 `json:"rubs_next_cog"`
	RubsNextRing      *float64 `json:"rubs_next_ring"`
	RubsTyre          *float64 `json:"rubs_tyre"`
	TopSlackBackwards *float64 `json:"top_slack_backwards"`
	CannotClose       *float64 `json:"cannot_close"`
}

func chanceOf(c *sim.Chances) *Chance {
	at := func(k sim.Concern) *float64 { return chanceAt(c, k) }
	return &Chance{
		at(sim.NoiseRiding), at(sim.DropRiding), at(sim.DropBackwards), at(sim.RubsNextCog),
		at(sim.RubsNextRing), at(sim.RubsTyreAt), at(sim.TopSlackBackwards), at(sim.DoesNotClose),
	}
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
	chances, err := c.Chances(&b.Load)
	if err != nil {
		return err
	}
	for i := range d.Gears {
		d.Gears[i].Chance = chanceOf(&chances[i])
		d.Gears[i].Verdicts = verdictsOf(&r.Gears[i], &chances[i])
	}
	d.nameAssumed()
	d.Answer, err = answerOf(b, chances)
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

// chanceText prints a chance with two digits, and never as 0 or 1.
func chanceText(p float64) string {
	switch {
	case p < 0.005:
		return "<0.01"
	case p > 0.995:
		return ">0.99"
	}
	return fmt.Sprintf("%.2f", p)
}

// concernsOf are the concerns of each direction.
var concernsOf = [2][]sim.Concern{
	sim.Riding:    {sim.DropRiding, sim.NoiseRiding, sim.RubsNextCog, sim.RubsNextRing, sim.RubsTyreAt, sim.DoesNotClose},
	sim.Backwards: {sim.DropBackwards, sim.TopSlackBackwards, sim.RubsNextCog, sim.RubsNextRing, sim.RubsTyreAt, sim.DoesNotClose},
}

// verdictsOf returns what is to be said of a gear: every concern with a chance of a
// tenth and more, and what geometry alone tells of the chainstay and the chain's length.
func verdictsOf(g *sim.Gear, c *sim.Chances) (out []Verdict) {
	for d := sim.Riding; d <= sim.Backwards; d++ {
		before := len(out)
		for _, k := range concernsOf[d] {
			if sure := Sureness(c[k]); sure != "" {
				out = append(out, Verdict{d.String(), k.String(), k.Words() + ": " + sure, fmt.Sprintf("chance %.2f%s", c[k], because(g, d, k)), nil})
			}
		}
		for _, v := range g.Verdicts {
			if v.Direction == d && (v.Code == sim.HitsStay || v.Code == sim.CannotClose && Sureness(c[sim.DoesNotClose]) == "") {
				out = append(out, Verdict{d.String(), v.Code.String(), v.Code.Words(), v.Reason, nil})
			}
		}
		if len(out) == before {
			out = append(out, Verdict{d.String(), sim.IsQuiet.String(), sim.IsQuiet.Words(), fmt.Sprintf("no concern has a chance of %.1f or more", atUnlikely), nil})
		}
	}
	return out
}

// because tells what a chance rests on most.
func because(g *sim.Gear, d sim.Direction, k sim.Concern) string {
	top, bottom := sim.Degrees(g.Top.Bend), sim.Degrees(g.Bottom.Bend)
	switch k {
	case sim.NoiseRiding:
		return fmt.Sprintf(": top run bent %.2f° onto the ring under %.0f N", top, g.Tensions.Top[d])
	case sim.DropRiding:
		return fmt.Sprintf(": top run bent %.2f° onto the ring under %.0f N", top, g.Tensions.Top[d])
	case sim.DropBackwards:
		return fmt.Sprintf(": top run bent %.2f° onto the cog under %.0f N, bottom run %.2f° onto the ring", top, g.Tensions.Top[d], bottom)
	case sim.RubsNextCog:
		return fmt.Sprintf(": gap %.2f mm in the default set", least(g.Clearances.NextCog).MM)
	case sim.RubsNextRing:
		return fmt.Sprintf(": gap %.2f mm beside the pins in the default set", least(g.Clearances.NextRing).MM)
	case sim.RubsTyreAt:
		return fmt.Sprintf(": %.1f mm less the room for mud", g.Clearances.Tyre.MM)
	case sim.TopSlackBackwards:
		return fmt.Sprintf(": freehub drag leaves %.1f N in the top run", g.Tensions.Top[d])
	}
	if g.Fit.Closes {
		return ""
	}
	return ": " + g.Fit.Reason()
}

// MayBe is the chance from which on something may well happen.
const MayBe = atUnclear

// AtLeast reports whether there is such a thing as a concern and its chance is so high.
func (c *Chance) AtLeast(k sim.Concern, chance float64) bool {
	if c == nil {
		return false
	}
	p := c.at(k)
	return p != nil && *p >= chance
}

// at returns a concern's chance; nil: there is no such thing.
func (c *Chance) at(k sim.Concern) *float64 {
	return [...]*float64{c.NoiseRiding, c.DropRiding, c.DropBackwards, c.RubsNextCog, c.RubsNextRing, c.RubsTyre, c.TopSlackBackwards, c.CannotClose}[k]
}
