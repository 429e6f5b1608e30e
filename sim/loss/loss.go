// Package loss says what a gear's chain loses, and by how much a bend adds wear
// and noise.
//
// Losses are friction in pins and bushes where links turn on and off the wheels,
// in pulley bearings, and between plates that a bent chain presses together. Wear and noise
// are relative indices: 1 and 0 dB are the same gear without bends. Units: mm, N,
// N·mm, rad; power in W. Friction coefficients are assumptions and are stated
// with every result. Measured bicycle drives lose roughly 1 to 5 %; of that a
// bend's share is small (Spicer et al. 2001 found it negligible; second-hand).
package loss

import (
	"errors"
	"fmt"
	"math"

	"chainpath/sim"
	"chainpath/sim/engage"
)

// ErrInput reports a cadence or coefficient that cannot be.
var ErrInput = errors.New("loss: bad input")

// Friction are the coefficients and speed of a calculation.
type Friction struct {
	Cadence float64 // of the cranks, 1/min, > 0
	Pin     float64 // μ between pin and bush, >= 0
	Flank   float64 // μ between plate and plate under a side force, >= 0
	Bearing float64 // drag of each pulley's bearing, N·mm, >= 0
}

// Loss is one gear's loss when riding.
type Loss struct {
	Input     float64 // power at the cranks, W
	Pins      float64 // W: links that turn under tension
	Flanks    float64 // W: side force of a bent chain, rubbing plate on plate as links turn
	Bearings  float64 // W
	SideForce float64 // T·sin θ of the run onto the ring, N, which the ring's flanks bear
	Wear      float64 // index of pin wear, 1 for the same gear without bends
	Noise     float64 // index, dB, 0 for the same gear without bends
	WearRate  float64 // Archard's p·s of the pins, N·rad per link round, to compare gears
}

// Watts returns the loss together.
func (l Loss) Watts() float64 { return l.Pins + l.Flanks + l.Bearings }

// Share returns the loss as a share of the input, at most 1: friction of a tight slack run
// can ask for more than comes in, and then nothing arrives. Without input there is no share.
func (l Loss) Share() (share float64, ok bool) {
	if l.Input <= 0 {
		return 0, false
	}
	return min(l.Watts()/l.Input, 1), true
}

// pinWork returns the work that one link's joint takes to turn by an angle under
// a tension: (π/2)·μ·ρ·T·α, N·mm, with pin radius ρ. The factor π/2 is that of an
// even pressure over half the pin; one that falls off as the cosine of the angle
// from the line of the load gives 4/π. Both are derived in the test.
func pinWork(mu, pinRadius, tension, angle float64) float64 {
	return math.Pi / 2 * mu * pinRadius * tension * angle
}

// offsetWork returns the work that a joint takes to turn by an angle where the run is bent, N·mm:
//
//	W₂ = μ·r₀·T·sin γ·α
//
// T pull of the run, N; γ its chain angle, rad; α the angle that the link turns by, rad; r₀ the radius
// at which plate rubs on plate under the side force T·sin γ, mm: half a plate's height. Over pinWork
// with the same μ that is r₀·sin γ/(π/2·ρ), ρ the pin's radius: 5 % at 2.03° with r₀ = 3.9 and ρ = 1.76
// mm. Source: Spicer, Richardson, Ehrlich, Bernstein, Fukuda, Terada, J. Mech. Des. 123, 2001, formula
// second-hand; they found the loss by offset negligible.
func offsetWork(mu, radius, tension, bend, angle float64) float64 {
	return mu * radius * tension * math.Sin(bend) * angle
}

// pressureRatio returns the greatest over the mean pressure along a bush of a
// length that bears a force T and a moment M at right angles to it: 1 + 6M/(T l)
// while the whole length bears, 4/(3(1 - 2M/(T l))) when one end lifts off; the
// pressure is taken as linear along the bush. A moment of T·l/2 or more, which
// would stand on an edge, is cut off at 0.49·T·l.
func pressureRatio(tension, moment, length float64) float64 {
	if !(tension > 0) || !(length > 0) {
		return 1
	}
	e := min(moment/(tension*length), 0.49)
	if e <= 1.0/6 {
		return 1 + 6*e
	}
	return 4 / (3 * (1 - 2*e))
}

// end is a wheel that a span of chain runs on or off.
type end struct {
	wheel   sim.Sprocket
	bend    float64
	pull    float64
	arrives bool
}

// Of computes a gear of an evaluated bike. Errors wrap ErrInput or come from package engage.
//
//	pins     Σ (π/2)·μ·ρ·T·α · v/p               over every wheel that the chain runs on or off
//	flanks   Σ μ_f·T·sin β·d · v/p               an upper bound
//	bearings Σ M·v/r                             over the pulleys
//	wear     Σ T·α·P(T, M_j) / Σ T·α             1 without bends
//	noise    10·lg Σ [(v·sin(α/2))² + (v·y')²] / Σ (v·sin(α/2))², dB
//
// μ, μ_f friction of pin and flank; ρ radius of the pin, r of the pulley, mm; T tension, N; α =
// 2π/N angle that a link turns by on a wheel of N teeth, rad; v speed of the chain, mm/s, p pitch,
// mm; β chain angle, rad; d how far a plate slides down the flank, mm; M drag of a bearing, N·mm; P
// greatest over mean pressure along the bush under the joint's moment M_j (pressureRatio); y' slope
// of a link that a tip pushes aside. Sources: Coulomb friction; wear is Archard's, pressure times
// way; noise is the energy of the links' impact, our own. Both are indices: no published law ties a
// chain angle to wear or loudness.
func Of(b *sim.Bike, g *sim.Gear, f Friction) (Loss, error) {
	if !(f.Cadence > 0) || math.IsInf(f.Cadence, 0) || !(f.Pin >= 0) || !(f.Flank >= 0) || !(f.Bearing >= 0) {
		return Loss{}, fmt.Errorf("%w: cadence %g 1/min, coefficients %g and %g, bearing drag %g N·mm", ErrInput, f.Cadence, f.Pin, f.Flank, f.Bearing)
	}
	c := b.Chain.Chain
	ring, cog := b.Rings[g.Ring].Sprocket, b.Cogs[g.Cog].Sprocket
	top, low := g.Tensions.Top[sim.Riding], g.Tensions.Bottom[sim.Riding]
	ends := []end{
		{ring, g.OnRing().Bend, top, true}, {cog, g.Top.Bend, top, false},
		{ring, g.Bottom.Bend, low, false},
	}
	if t := b.Tensioner; t != nil {
		ends = append(ends, end{t.Tension, g.Bottom.Bend, low, true},
			end{t.Tension, 0, low, false}, end{t.Guide, 0, low, true},
			end{t.Guide, g.Guide.Bend, low, false}, end{cog, g.Guide.Bend, low, true})
	} else {
		ends = append(ends, end{cog, g.Bottom.Bend, low, true})
	}
	if g.Loop.Idled {
		ends = append(ends, end{b.Idler.Sprocket, g.Top.Bend, top, true}, end{b.Idler.Sprocket, g.Lead.Bend, top, false})
	}
	var l Loss
	speed := chainSpeed(c.Pitch, ring.Teeth, f.Cadence) / 60 // mm/s
	perSecond := speed / c.Pitch                             // links that pass
	l.Input = top * ring.PitchRadius(c.Pitch) * 2 * math.Pi * f.Cadence / 60 / 1000
	l.SideForce = top * math.Sin(g.OnRing().Bend)
	var e engage.Entry
	straight, bent := 0.0, 0.0 // sums of T·α, and of T·α times the pressure ratio
	var radial, lateral float64
	for _, x := range ends {
		angle := 2 * math.Pi / float64(x.wheel.Teeth)
		work := pinWork(f.Pin, b.Chain.Pin/2, x.pull, angle)
		l.Pins += work * perSecond / 1000
		w := x.wheel.Entry(c.Pitch)
		l.Flanks += offsetWork(f.Flank, c.PlateHalfHeight, x.pull, x.bend, angle) * perSecond / 1000
		ratio := 1.0
		if x.bend > 0 && x.pull > 0 {
			if err := e.Set(w, c, engage.Inner, x.pull); err != nil {
				return Loss{}, err
			}
			y, st := e.Offset(x.bend)
			if st != engage.Solved {
				return Loss{}, st.Err()
			}
			ratio = pressureRatio(x.pull, e.JointMoment(), c.OuterWidth)
			if x.arrives && y > e.Clear() { // the tip pushes the plate aside
				lateral += square(speed * e.Slope())
			}
		}
		if x.arrives { // a link swings in by the polygon's angle
			radial += square(speed * math.Sin(angle/2))
		}
		straight += x.pull * angle
		bent += x.pull * angle * ratio
	}
	if t := b.Tensioner; t != nil {
		for _, p := range [2]sim.Sprocket{t.Guide, t.Tension} {
			l.Bearings += f.Bearing * speed / p.PitchRadius(c.Pitch) / 1000
		}
	}
	if g.Loop.Idled {
		l.Bearings += f.Bearing * speed / b.Idler.PitchRadius(c.Pitch) / 1000
	}
	l.Wear, l.WearRate = 1, bent
	if straight > 0 {
		l.Wear = bent / straight
	}
	l.Noise = 10 * math.Log10((radial+lateral)/radial)
	return l, nil
}

func square(x float64) float64 { return x * x }

// chainSpeed returns p·z·n, mm/min for a pitch in mm, teeth and 1/min.
func chainSpeed(pitch float64, teeth int, speed float64) float64 {
	return pitch * float64(teeth) * speed
}
