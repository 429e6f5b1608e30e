package sim

import "fmt"

// Code names a verdict.
type Code int

// The verdicts, from best to worst as far as they can be ordered.
const (
	IsQuiet Code = iota
	IsNoisy
	IsClimbing
	TopSlack
	RubsCog
	RubsRing
	RubsTyre
	HitsStay
	TooLong
	CannotClose
)

func (c Code) String() string {
	return [...]string{"quiet", "noisy", "may_climb", "top_slack", "rubs_next_cog",
		"rubs_next_ring", "rubs_tyre", "hits_stay", "chain_too_long", "cannot_close"}[c]
}

// Words returns the verdict as a mechanic would say it.
func (c Code) Words() string {
	return [...]string{"no fault expected", "noisy", "may drop", "top run slack", "rubs next cog",
		"rubs next chainring", "rubs tyre", "too close to the chainstay", "chain too long", "chain does not fit"}[c]
}

// Verdict is one thing a gear does in one direction, with the reason in words.
type Verdict struct {
	Direction Direction
	Code      Code
	Reason    string
	Wished    bool // nothing touches: there is less room than is wished
}

// Words returns the verdict as a mechanic would say it.
func (v Verdict) Words() string {
	if v.Wished {
		return "less room than wished beside the chainstay"
	}
	return v.Code.Words()
}

// Has reports whether a gear has a verdict in a direction.
func (g *Gear) Has(d Direction, c Code) bool {
	for _, v := range g.Verdicts {
		if v.Direction == d && v.Code == c {
			return true
		}
	}
	return false
}

// judge collects the gear's verdicts, each direction's arrivals first. A gear
// of which nothing else is to be said is quiet.
func (g *Gear) judge() {
	for d := Riding; d <= Backwards; d++ {
		before := len(g.Verdicts)
		say := func(c Code, format string, a ...any) {
			g.Verdicts = append(g.Verdicts, Verdict{Direction: d, Code: c, Reason: fmt.Sprintf(format, a...)})
		}
		if !g.Fit.Mounts() {
			say(CannotClose, "%s", g.Fit.Reason())
			continue
		}
		if g.Fit.Hangs() {
			say(TooLong, "%s", g.Fit.Reason())
		}
		g.judgeArrivals(d, say)
		if from := g.noiseFrom; d == Riding && from > 0 && g.OnRing().Bend > from {
			say(IsNoisy, "top run at %.2f° onto the chainring, over the %.2f° from which reports call it noisy", Degrees(g.OnRing().Bend), Degrees(from))
		}
		if d == Backwards && g.taut <= 0 && g.tensioned {
			say(TopSlack, "the freehub's drag leaves %.1f N in the top run, which goes slack on its way to the cog", g.taut)
		}
		c := g.Clearances
		if n := c.NextCog[d]; n.Valid && n.MM < 0 {
			say(RubsCog, "chain and next larger cog overlap by %.2f mm, %.0f mm along the chain", -n.MM, n.At)
		}
		if n := c.NextRing[d]; n.Valid && n.MM < 0 {
			say(RubsRing, "chain and next larger chainring overlap by %.2f mm, %.0f mm along the chain", -n.MM, n.At)
		}
		if c.Tyre.Valid && c.Tyre.MM < 0 {
			say(RubsTyre, "chain %.1f mm into the room kept between it and the tyre, %.0f mm behind the bottom bracket", -c.Tyre.MM, c.Tyre.At)
		}
		g.judgeStay(c.RingStay, say, "chainring", "")
		g.judgeStay(c.ChainStay, say, "chain", fmt.Sprintf(", %.0f mm behind the bottom bracket", c.ChainStay.At))
		if len(g.Verdicts) == before {
			most := g.Arrivals[d][0]
			for _, a := range g.Arrivals[d] {
				if a.Bend > most.Bend {
					most = a
				}
			}
			say(IsQuiet, "no chain angle is over its limit: at most %.2f° (%s, limit %.2f°)",
				Degrees(most.Bend), most.At.Name(), Degrees(most.Limits.Climb))
		}
	}
}

// judgeStay tells of ring or chain that is nearer to the chainstay than wished.
func (g *Gear) judgeStay(x Gap, say func(Code, string, ...any), what, where string) {
	switch clear := x.MM + g.flex; {
	case !x.Valid || x.MM >= 0:
	case clear < 0:
		say(HitsStay, "%s %.1f mm into the room kept beside the chainstay%s", what, -x.MM, where)
	default:
		say(HitsStay, "%s %.1f mm clear of the chainstay, %g wanted%s", what, clear, g.flex, where)
		g.Verdicts[len(g.Verdicts)-1].Wished = true
	}
}

// judgeArrivals says which arrival of a direction the chain may come off at, the worst of
// them. A pulley that rattles is no verdict.
func (g *Gear) judgeArrivals(d Direction, say func(Code, string, ...any)) {
	var worst *Arrival
	for i, a := range g.Arrivals[d] {
		if a.Grade == MayClimb && (worst == nil || a.nearer(*worst)) {
			worst = &g.Arrivals[d][i]
		}
	}
	if worst != nil {
		say(IsClimbing, "%.2f° at the %s, over its limit of %.2f°: links land on the tooth tips, inner ones %.2f mm off centre",
			Degrees(worst.Bend), worst.At.Name(), Degrees(worst.Limits.Climb), worst.Offset)
	}
}

// Reason says in words why a loop does not close; it is empty for one that does.
func (f Fit) Reason() string {
	switch {
	case f.Closes:
		return ""
	case f.Short == 1:
		return "chain too short by 1 link"
	case f.Short > 0:
		return fmt.Sprintf("chain too short by %d links", f.Short)
	}
	end := "the cage fully folded"
	if f.Slot {
		end = "the axle fully back in its slot"
	}
	return fmt.Sprintf("chain slack by %.0f mm with %s", f.Slack, end)
}
