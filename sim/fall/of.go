package fall

import (
	"math/rand/v2"

	"chainpath/sim"
	"chainpath/sim/engage"
	"chainpath/sim/march"
)

// RollPlay is within which the roll play of a joint is drawn, rad either way. An assumption; twist a
// row of twenty links by hand and take a twentieth of the angle. It is a number of falls alone: the
// chances rest on marches and responses in which no link rolls, so that drawing it with the other free
// numbers would not move them.
var RollPlay = [2]float64{sim.Radians(0.3), sim.Radians(2)}

// own keeps the draws of falls apart from those of marches.
const own = 0x66616c6c

// Of returns the setup of the drop that trial n of a seed came to: with its tolerances, and a roll
// play and tooth phases drawn for it. It is false where a fall cannot be followed: off a chainring, a
// pulley or an idler, or when riding.
func Of(b *sim.Bike, g *sim.Gear, m *march.Drive, seed, n uint64, out *march.Fate) (*Setup, bool) {
	e := out.Drop
	if !out.Dropped || e.At != sim.AtCog || m.Direction() != sim.Backwards {
		return nil, false
	}
	side, from := 1.0, -1
	if e.Offset < 0 {
		side, from = -1, 1
	}
	wheels, _ := m.Wheels()
	var cog, before march.Wheel
	for i, w := range wheels {
		if w.Part == sim.AtCog && i > 0 {
			cog, before = w, wheels[i-1]
		}
	}
	r := rand.New(rand.NewPCG(seed^own, n))
	c := b.Chain
	s := &Setup{
		Chain: c.Chain,
		Plate: [2]float64{engage.Inner: max(leastPlate, (c.Contact-c.InnerWidth)/2), engage.Outer: max(leastPlate, (c.Width-2*c.Proud-c.OuterWidth)/2)},
		Roll:  RollPlay[0] + (RollPlay[1]-RollPlay[0])*r.Float64(),
		Run:   cog.From - before.To, Over: side * (before.Line - cog.Line),
		Tension: max(out.Pull.Top, leastTension), PerTurn: float64(g.RingTeeth),
	}
	for i := g.Cog; i >= 0 && i < len(b.Cogs); i += from {
		w := b.Cogs[i]
		s.Cogs = append(s.Cogs, Cog{Wheel: w.Entry(c.Pitch), Teeth: w.Teeth, Line: side * (w.Line - b.Cogs[g.Cog].Line)})
		if i != g.Cog {
			s.Cogs[len(s.Cogs)-1].Phase = r.Float64()
		}
	}
	first := e.Link + 1 // the link before the one that did not follow it back
	s.Sizes = m.Sizes(seed, n, first)
	return s, true
}

const (
	leastPlate   = 0.3 // mm
	leastTension = 1.0 // N, as marches take it
)

// Followed is the fall of a chain that dropped in a march, and where its numbers are found.
type Followed struct {
	Setup  *Setup
	Result Result
	First  float64     // crank angle of the first touch, since the march's start, rad
	Drop   march.Event // how the march ended
	Links  int         // of the chain
}

// Follow follows the drop that trial n of a seed came to; nil where Of has none.
func Follow(b *sim.Bike, g *sim.Gear, m *march.Drive, seed, n uint64, out *march.Fate) (*Followed, error) {
	s, ok := Of(b, g, m, seed, n, out)
	if !ok {
		return nil, nil
	}
	r, err := Run(s)
	if err != nil {
		return nil, err
	}
	return &Followed{s, r, max(0, out.Drop.Angle-m.StepAngle()), out.Drop, m.Links()}, nil
}

// Link is the march's number of a link of the fall.
func (f *Followed) Link(n int) int { return ((f.Drop.Link+1-n)%f.Links + f.Links) % f.Links }

// Side is 1 where the chain falls outboard, -1 inboard.
func (f *Followed) Side() float64 {
	if f.Drop.Offset < 0 {
		return -1
	}
	return 1
}

// Teeth are those of a wheel of the fall; 0: none there.
func (f *Followed) Teeth(cog int) int {
	if cog >= len(f.Setup.Cogs) {
		return 0
	}
	return f.Setup.Cogs[cog].Teeth
}
