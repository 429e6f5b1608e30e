package show

import (
	"math"

	"chainpath/cases"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/decide"
	"chainpath/sim/loss"
)

// Gears is the JSON document of the gears command.
type Gears struct {
	Case     string     `json:"case"`
	Answer   *Answer    `json:"answer"`
	Model    Model      `json:"model"`
	Lines    Lines      `json:"lines"`
	Chain    Chain      `json:"chain"`
	Load     Load       `json:"load"`
	Limits   ShopLimits `json:"shop_limits"`
	Riding   *Profile   `json:"profile"`
	Assumed  []Assumed  `json:"assumed"`
	Rooms    []string   `json:"rooms_unknown"`
	Warnings []Warning  `json:"warnings"`
	Gears    []Gear     `json:"gears"`
}

// Model says which numbers come from which level of the model.
type Model struct {
	Level1 string `json:"level_1"`
	Level2 string `json:"level_2"`
	Note   string `json:"note"`
}

// model is printed with every result.
var model = Model{
	Level1: "geometry: chainlines, lengths, chain angles, cage, clearances with a straight run; exact for the numbers given",
	Level2: "engagement: chance is the mean over 200 versions of the bike, which differ in the numbers that nobody publishes and in the readings' tolerances; wear and noise indices, offsets, next_cog_mm and next_ring_mm are those of typical values; mechanics on stated assumptions",
	Note:   say.Caveat,
}

// Lines are the front and rear line.
type Lines struct {
	Front      float64 `json:"front_mm"`
	Rear       float64 `json:"rear_mm"`
	Difference float64 `json:"difference_mm"`
}

// Chain is the chain's length.
type Chain struct {
	Links  int  `json:"links"`
	Chosen bool `json:"chosen"`
}

// Load is what the rider does.
type Load struct {
	Torque  *float64 `json:"torque_nm"`
	Tension *float64 `json:"top_tension_n"`
	Drive   string   `json:"drive"`
	Back    *float64 `json:"back_torque_nm"`
	Caution *string  `json:"caution"` // of a cog that brakes
}

// ShopLimits are the shop's own limits, where the case gives them.
type ShopLimits struct {
	Quiet *float64 `json:"quiet_deg"`
	Climb *float64 `json:"climb_deg"`
}

// Profile are summary figures over the case's riding profile; the shares of time in gears
// that have a concern are by chances, and null without them.
type Profile struct {
	Top    float64            `json:"mean_top_bend_deg"`
	Bottom float64            `json:"mean_bottom_bend_deg"`
	Shares map[string]float64 `json:"shares"`
}

// ProfileOf weighs a result by shares of time; nil without shares.
func ProfileOf(r *sim.Result, shares []float64) *Profile {
	if shares == nil {
		return nil
	}
	top, bottom := decide.MeanBends(r, shares)
	return &Profile{deg(top), deg(bottom), nil}
}

// Gear is one gear.
type Gear struct {
	RingTeeth  int                   `json:"ring_teeth"`
	CogTeeth   int                   `json:"cog_teeth"`
	Ratio      float64               `json:"ratio"`
	RingLine   float64               `json:"ring_line_mm"`
	CogLine    float64               `json:"cog_line_mm"`
	Closes     bool                  `json:"closes"`
	CloseNote  string                `json:"close_note"`
	Cage       *float64              `json:"cage_deg"`
	Stay       float64               `json:"stay_length_mm"`
	Top        Span                  `json:"top"`
	Bottom     Span                  `json:"bottom"`
	Guide      *Span                 `json:"guide"`
	Lead       *Span                 `json:"lead"`
	Sag        *Sag                  `json:"sag"`
	Riding     []Arrival             `json:"riding"`
	Backwards  []Arrival             `json:"backwards"`
	Clearances Clearances            `json:"clearances"`
	Chance     Chance                `json:"chance"`
	Size       map[string]*SizeRange `json:"size"`
	Verdicts   []Verdict             `json:"verdicts"`
	Loss       *Loss                 `json:"loss"`
}

// Loss is what a gear loses when riding, and its wear and noise indices.
type Loss struct {
	Watts            float64  `json:"loss_w"`
	Percent          *float64 `json:"loss_percent"`
	Pins             float64  `json:"pins_w"`
	Flanks           float64  `json:"flanks_w"`
	Bearings         float64  `json:"bearings_w"`
	SideForce        float64  `json:"side_force_n"`
	Wear             float64  `json:"wear_index"`
	WearStraightest  float64  `json:"wear_to_straightest"`
	Noise            float64  `json:"noise_index_db"`
	NoiseStraightest float64  `json:"noise_to_straightest_db"`
}

// addLosses fills in every gear's losses. The straightest gear is the one with
// the least bend in the top span.
func addLosses(gears []Gear, b *sim.Bike, r *sim.Result, f loss.Friction) error {
	all := make([]loss.Loss, len(r.Gears))
	straightest := 0
	for i := range r.Gears {
		var err error
		g := &r.Gears[i]
		if !g.Fit.Mounts() {
			continue
		}
		if all[i], err = loss.Of(b, g, f); err != nil {
			return err
		}
		if s := &r.Gears[straightest]; !s.Fit.Mounts() || g.Top.Bend < s.Top.Bend {
			straightest = i
		}
	}
	for i, l := range all {
		if !r.Gears[i].Fit.Mounts() {
			continue
		}
		share, ok := l.Share()
		o := Loss{
			Watts: round(l.Watts()), Percent: optional(ok, 100*share), Pins: round(l.Pins), Flanks: round(l.Flanks), Bearings: round(l.Bearings),
			SideForce: round(l.SideForce), Wear: round(l.Wear), Noise: round(l.Noise), NoiseStraightest: round(l.Noise - all[straightest].Noise),
		}
		if s := all[straightest].WearRate; s > 0 {
			o.WearStraightest = round(l.WearRate / s)
		}
		gears[i].Loss = &o
	}
	return nil
}

// Span is a straight piece of chain.
type Span struct {
	Length *float64 `json:"length_mm"`
	Bend   *float64 `json:"bend_deg"`
	Side   string   `json:"side"`
}

// Sag is how the runs hang, each with the other pulled tight.
type Sag struct {
	Top     float64 `json:"top_sag_mm"`
	Bottom  float64 `json:"bottom_sag_mm"`
	Surplus float64 `json:"surplus_mm"`
}

// Arrival is a chain running onto a wheel.
type Arrival struct {
	At      string  `json:"at"`
	Bend    float64 `json:"bend_deg"`
	Offset  float64 `json:"offset_mm"`
	Link    string  `json:"link"`
	Tension float64 `json:"tension_n"`
	Held    bool    `json:"held"`
	BendAt  *BendAt `json:"bend_at_chance_deg"`
}

// Clearances are a gear's signed gaps; null where there is no such neighbour.
type Clearances struct {
	NextCog          *float64 `json:"next_cog_mm"`
	NextCogStraight  *float64 `json:"next_cog_straight_mm"`
	NextRing         *float64 `json:"next_ring_mm"`
	NextRingStraight *float64 `json:"next_ring_straight_mm"`
	Tyre             *float64 `json:"tyre_mm"`
	TyreAt           *float64 `json:"tyre_at_mm"`
	Stay             *float64 `json:"stay_mm"`
	RingStay         *float64 `json:"ring_stay_mm"`
	ChainStay        *float64 `json:"chain_stay_mm"`
	FrontCage        *float64 `json:"front_cage_mm"`
	FrontTrim        *int     `json:"front_cage_trim"`
	FrontTrims       []Trim   `json:"front_cage_trims"`
}

// Trim is a gear's room at one place of the front cage or guide, mm.
type Trim struct {
	Trim  int     `json:"trim"`
	Place float64 `json:"position_mm"`
	Inner float64 `json:"inner_mm"`
	Outer float64 `json:"outer_mm"`
}

// Verdict is one thing a gear does in one direction.
type Verdict struct {
	Direction string `json:"direction"`
	Code      string `json:"code"`
	Words     string `json:"words"`
	Reason    string `json:"reason"`
	// Assumed are the paths of what the case leaves out or guesses for it.
	Assumed []string `json:"assumed"`
}

// round keeps six decimals, a nanometre and far beyond what any reading is good
// for, so that output does not show the last bits of an architecture.
func round(x float64) float64 {
	r := math.Round(x*1e6) / 1e6
	if r == 0 {
		return 0 // no negative zero
	}
	return r
}

func deg(rad float64) float64 { return round(sim.Degrees(rad)) }

func optional(is bool, x float64) *float64 {
	if !is {
		return nil
	}
	x = round(x)
	return &x
}

func gap(g sim.Gap) *float64 { return optional(g.Valid, g.MM) }

// FromResult returns the document of a result without chances; its verdicts are those of
// the default set.
func FromResult(c *cases.Case, b *sim.Bike, r *sim.Result, shares []float64) (Gears, error) {
	d := Gears{
		Case: c.Title, Model: model, Assumed: assumedOf(c), Rooms: cases.RoomsUnknown(b),
		Lines:  Lines{round(r.Front), round(r.Rear), round(r.Front - r.Rear)},
		Chain:  Chain{r.Links, r.Chosen},
		Load:   Load{optional(b.Load.Tension == 0, b.Load.Torque/1000), optional(b.Load.Tension > 0, b.Load.Tension), b.Drive.String(), optional(b.Drive != sim.Freewheel, b.Load.BackTorque/1000), nil},
		Limits: ShopLimits{optional(c.Limits.Quiet.Given, c.Limits.Quiet.Value), optional(c.Limits.Climb.Given, c.Limits.Climb.Value)},
	}
	if c := say.Brake(b.Drive); c != "" {
		d.Load.Caution = &c
	}
	if c.Riding != nil {
		d.Riding = ProfileOf(r, shares)
	}
	var err error
	if d.Warnings, err = warningsOf(c); err != nil {
		return d, err
	}
	for i := range r.Gears {
		d.Gears = append(d.Gears, gearOf(b, r, &r.Gears[i]))
	}
	d.nameAssumed()
	return d, addLosses(d.Gears, b, r, c.Friction())
}

func gearOf(b *sim.Bike, r *sim.Result, g *sim.Gear) Gear {
	o := Gear{
		RingTeeth: g.RingTeeth, CogTeeth: g.CogTeeth, Ratio: round(g.Ratio()),
		RingLine: round(g.RingLine), CogLine: round(g.CogLine),
		Closes: g.Fit.Closes, CloseNote: g.Fit.Reason(), Stay: round(g.Stay),
		Riding: []Arrival{}, Backwards: []Arrival{},
	}
	for _, v := range g.Verdicts {
		o.Verdicts = append(o.Verdicts, Verdict{v.Direction.String(), v.Code.String(), v.Words(), v.Reason, nil})
	}
	if r.Tensioned {
		o.Guide = &Span{}
	}
	if g.Fit.Mounts() {
		o.path(r, g)
		for _, x := range b.FrontRooms(g) {
			o.Clearances.FrontTrims = append(o.Clearances.FrontTrims, Trim{x.Trim + 1, round(b.FrontCage.Places[x.Trim]), round(x.Gap[0]), round(x.Gap[1])})
		}
	}
	return o
}

// path fills in what only a chain that goes round the gear has.
func (o *Gear) path(r *sim.Result, g *sim.Gear) {
	o.Cage = optional(r.Tensioned, sim.Degrees(g.CageAngle))
	o.Top, o.Bottom = spanOf(g.Top), spanOf(g.Bottom)
	if r.Tensioned {
		*o.Guide = spanOf(g.Guide)
	}
	if g.Loop.Idled {
		lead := spanOf(g.Lead)
		o.Lead = &lead
	}
	if s := &g.Sags; s.Valid {
		o.Sag = &Sag{round(s.Top), round(s.Bottom), round(s.Surplus)}
	}
	o.Riding, o.Backwards = arrivalsOf(g.Arrivals[sim.Riding]), arrivalsOf(g.Arrivals[sim.Backwards])
	x := g.Clearances
	o.Clearances = Clearances{
		NextCog: gap(nearer(x.NextCog)), NextCogStraight: gap(x.NextCogStraight),
		NextRing: gap(nearer(x.NextRing)), NextRingStraight: gap(x.NextRingStraight),
		Tyre: gap(x.Tyre), TyreAt: optional(x.Tyre.Valid, math.Round(x.Tyre.At*100)/100), // a flat minimum has no sharper place
		Stay: gap(x.Stay()), RingStay: gap(x.RingStay), ChainStay: gap(x.ChainStay),
	}
	if g.Front.Valid {
		trim := g.Front.Trim + 1
		o.Clearances.FrontCage, o.Clearances.FrontTrim = optional(true, g.Front.Least()), &trim
	}
}

// nearer returns the less of both directions' gaps.
func nearer(g [2]sim.Gap) sim.Gap {
	if g[sim.Backwards].MM < g[sim.Riding].MM {
		return g[sim.Backwards]
	}
	return g[sim.Riding]
}

func spanOf(s sim.Span) Span {
	return Span{optional(true, s.Length), optional(true, sim.Degrees(s.Bend)), s.Side()}
}

func arrivalsOf(as []sim.Arrival) (out []Arrival) {
	for _, a := range as {
		out = append(out, Arrival{
			At: a.At.String(), Bend: deg(a.Bend), Offset: round(a.Offset), Link: a.Link.String(),
			Tension: round(a.Pull), Held: a.Held,
		})
	}
	return out
}
