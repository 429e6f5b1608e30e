package engine

import (
	"context"
	"fmt"
	"math"

	"chainpath/cmd/internal/ask"
	"chainpath/cmd/internal/say"
	"chainpath/sim"
	"chainpath/sim/engage"
	"chainpath/sim/march"
)

// film is a chain that runs onto a wheel, step by step, up to where it strikes or comes off; off a cog
// it goes on to the end of its fall.
type film struct {
	Words     string   `json:"words"`
	At        string   `json:"at"`   // the wheel
	Part      string   `json:"part"` // as it is called in output
	Pitch     float64  `json:"pitch_mm"`
	Inner     float64  `json:"inner_mm"`   // between inner plates
	Outer     float64  `json:"outer_mm"`   // between outer plates
	Chain     int      `json:"links"`      // of the whole chain
	Moment    float64  `json:"moment_deg"` // of the cranks, when it happens
	Link      int      `json:"link"`       // that it happens to; -1: nothing happened
	Turned    float64  `json:"turned_deg"` // how far the run went
	Backwards bool     `json:"backwards"`
	Dropped   bool     `json:"dropped"` // whether the chain was lost
	Frames    []frame  `json:"frames"`
	Fall      *falling `json:"fall"` // what it did after a drop off a cog; null: not followed
}

// frame is every link near the wheel at a crank angle.
type frame struct {
	Angle float64 `json:"angle_deg"`
	Links []link  `json:"links"`
}

type link struct {
	N     int     `json:"n"`
	Inner bool    `json:"inner"`
	Along float64 `json:"x"` // mm before (negative) or after where the chain meets the wheel
	Y     float64 `json:"y"` // mm outboard of the wheel's middle plane
	Tooth float64 `json:"t"` // how thick the tooth in it is at the plates, mm; 0: none
	OnTip bool    `json:"tip"`
}

// filmTurns is how far a film's run goes at most, turns of the cranks; filmPitches how much is
// shown up to the moment.
const (
	filmTurns   = 2
	filmPitches = 6
)

// march runs a chain through a gear and films where it strikes, or comes off.
func (a *answer) march(ctx context.Context, q *request) error {
	c, _, r, err := a.evaluated(ctx, q)
	if err != nil {
		return err
	}
	d := sim.Riding
	if q.Backwards {
		d = sim.Backwards
	}
	var g *sim.Gear
	for i := range r.Gears {
		if x := &r.Gears[i]; x.RingTeeth == q.Ring && x.CogTeeth == q.Cog {
			g = x
		}
	}
	if g == nil {
		return fmt.Errorf("request: no gear %d/%d", q.Ring, q.Cog)
	}
	run := ask.Attempt{Case: c, Ring: g.Ring, Cog: g.Cog, Way: d, Seed: 1, Set: march.Set{Tolerance: c.Tolerances(), Turns: filmTurns, Done: ctx.Done()}}
	one, err := run.Drawn(0)
	if err != nil {
		return err
	}
	var seen ask.Moment
	out, err := one.March.Run(1, 0, march.Observer{Event: seen.See})
	if err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	m := seen.Of(d, out)
	fell, err := one.Fall(run.Seed, 0, &out)
	if err != nil {
		return err
	}
	if fell != nil { // which tells itself where it goes
		m.To = ""
	}
	f, err := shot(one, m, out, d)
	if err != nil {
		return err
	}
	f.Fall = fallOf(fell, one.March.StepAngle())
	a.Film = f
	return nil
}

// shot films a run about its moment.
func shot(one *ask.DrawnGear, m march.Event, out march.Fate, d sim.Direction) (*film, error) {
	wheels, _ := one.March.Wheels()
	w := wheels[len(wheels)-1]
	for _, x := range wheels { // of the ring's two halves the later, onto which the chain runs
		if x.Part == m.At {
			w = x
		}
	}
	pitch, chain := one.March.StepAngle(), one.Bike.Chain.Chain
	end := math.Min(out.Turned, math.Max(m.Angle, filmPitches*pitch)+1.5*pitch)
	frames, err := one.March.Film(1, 0, math.Max(0, math.Min(m.Angle, end)-filmPitches*pitch), end)
	if err != nil {
		return nil, err
	}
	f := &film{
		Words: say.Run(fmt.Sprintf("%d/%d", one.Gear.RingTeeth, one.Gear.CogTeeth), say.Way(d), m.Words(), out.Turned/(2*math.Pi), out.Dropped), At: w.Part.Name(), Part: w.Part.String(), Pitch: chain.Pitch,
		Inner: r3(chain.Width(engage.Inner)), Outer: r3(chain.Width(engage.Outer)), Chain: one.March.Links(), Moment: r3(sim.Degrees(m.Angle)), Link: m.Link,
		Turned: r3(sim.Degrees(out.Turned)), Dropped: out.Dropped, Backwards: d == sim.Backwards,
	}
	for _, x := range frames {
		fr := frame{Angle: r3(sim.Degrees(x.Angle))}
		for _, p := range x.Places {
			at := p.Along - w.From
			if at < -8*chain.Pitch || at > 5*chain.Pitch {
				continue
			}
			l := link{N: p.Link, Inner: p.Inner, Along: r3(at), Y: r3(p.Y - w.Line)}
			kind := engage.Outer
			if p.Inner {
				kind = engage.Inner
			}
			if p.Overlap > 0 && p.At == w.Part.String() {
				l.Tooth = r3(w.Entry.Teeth[kind].Thickness(p.Overlap))
				l.OnTip = p.OnTip(w, chain.Width(kind), l.Tooth)
			}
			fr.Links = append(fr.Links, l)
		}
		f.Frames = append(f.Frames, fr)
	}
	return f, nil
}

func r3(x float64) float64 { return math.Round(x*1000) / 1000 }
