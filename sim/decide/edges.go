package decide

import (
	"chainpath/sim"
	"chainpath/sim/elementary"
)

// Range is the front lines at which a concern's chance stays below a level in every gear.
type Range struct {
	Concern sim.Concern
	Level   float64 // chance, 0 to 1
	Lo, Hi  End     // Open: below it as far as the places reach
	None    bool    // at none of the places; Lo and Hi are where the chance is least
}

// Levels are the chances that ranges are told for.
var Levels = [...]float64{0.1, 0.5, 0.9}

// Ranges returns, by concern and then level, where along the front line a concern stays below each
// of Levels: between the places about the one where its largest chance is least. Ends lie where that
// chance, its log-odds linear between places, reaches the level. Chances are those that the places were made of, by place
// and gear; a concern that no gear has, or that reaches no level anywhere, has no range.
func (a *Along) Ranges(chances [][]sim.Chances, cogs int) (out []Range) {
	for k := range sim.NumConcerns {
		of := worst(chances, sim.Concern(k))
		if of == nil {
			continue
		}
		best, most := 0, 0.0
		for i, x := range of {
			if most = max(most, x.p); x.p < of[best].p {
				best = i
			}
		}
		for _, level := range Levels {
			if most < level {
				continue
			}
			r := Range{Concern: sim.Concern(k), Level: level, None: of[best].p >= level}
			if r.None {
				r.Lo = End{Line: a.Places[best].Line, Ring: of[best].gear / cogs, Cog: of[best].gear % cogs}
				r.Hi = r.Lo
			} else {
				r.Lo, r.Hi = a.end(of, best, -1, level, cogs), a.end(of, best, +1, level, cogs)
			}
			out = append(out, r)
		}
	}
	return out
}

// worstGear is a gear with the largest chance of a concern.
type worstGear struct {
	p    float64
	gear int
}

// worst returns it for every place; nil where no gear has the concern.
func worst(chances [][]sim.Chances, k sim.Concern) []worstGear {
	out := make([]worstGear, len(chances))
	for i, gears := range chances {
		out[i].p = -1
		for g := range gears {
			if gears[g][k] > out[i].p {
				out[i] = worstGear{gears[g][k], g}
			}
		}
		if out[i].p < 0 {
			return nil
		}
	}
	return out
}

// end returns where the largest chance reaches a level going from a place to one side.
func (a *Along) end(of []worstGear, best, side int, level float64, cogs int) End {
	for i := best + side; i >= 0 && i < len(of); i += side {
		if of[i].p < level {
			continue
		}
		was, is, to := odds(of[i-side].p), odds(of[i].p), odds(level)
		x, y := a.Places[i-side].Line, a.Places[i].Line
		return End{Line: x + (y-x)*(to-was)/(is-was), Ring: of[i].gear / cogs, Cog: of[i].gear % cogs}
	}
	last := 0
	if side > 0 {
		last = len(of) - 1
	}
	return End{Line: a.Places[last].Line, Open: true}
}

// odds returns the log-odds of a chance, which is kept off 0 and 1.
func odds(p float64) float64 { return elementary.Logit(p, 1e-6) }
