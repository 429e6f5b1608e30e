package sim

import (
	"errors"
	"fmt"
	"math"

	"chainpath/sim/engage"
)

// ErrBike reports a bike that cannot be modelled.
var ErrBike = errors.New("sim: bike")

// BikeError says which part of a bike does not go with the rest, and why. It
// wraps ErrBike.
type BikeError struct {
	Part    string // a Bike field in lower case, such as "cogs" or "chain.links"
	Problem string
	Plates  bool // teeth do not fit between plates: the chain may be what is wrong
}

func (e *BikeError) Error() string { return fmt.Sprintf("sim: bike: %s: %s", e.Part, e.Problem) }

// Unwrap returns ErrBike.
func (e *BikeError) Unwrap() error { return ErrBike }

// Chain is the chain with its overall width and length.
type Chain struct {
	engage.Chain
	Width    float64 // over the rivets, mm
	Proud    float64 // how far each rivet end stands proud of the outer plate, mm
	Pin      float64 // pin diameter, mm
	Links    int     // 0: choose the length
	HalfLink bool    // a half link makes the count odd
	Weight   float64 // per length, N/mm
	Margin   float64 // links kept in hand on largest ring and cog when choosing
}

// Frame holds the frame dimensions that the chain path depends on.
type Frame struct {
	Stay     float64  // chainstay length, centre to centre, mm
	Drop     float64  // bottom-bracket drop below the axle line, mm
	Farthest Farthest // of an axle that rear suspension moves; zero: it stays here
}

// Farthest is where rear suspension takes the axle farthest from the bottom bracket: the
// chain has to reach there. mm.
type Farthest struct{ Stay, Drop float64 }

// Axle returns the rear axle's x and z, mm.
func (f Frame) Axle() (x, z float64) { return -math.Sqrt(f.Stay*f.Stay - f.Drop*f.Drop), f.Drop }

// Wheel is a sprocket at its lateral place.
type Wheel struct {
	Sprocket
	Line float64 // y of its middle plane, mm
}

// Bolts are what a ring carries on its inner side.
type Bolts struct {
	Radius float64 // of the farthest bolt from the centre, mm; 0: none
	Depth  float64 // how far they stand inboard of the ring's inner face, mm
}

// Tensioner is a sprung cage with a guide and a tension pulley: a rear
// derailleur, or a single-speed tensioner of that kind.
type Tensioner struct {
	Guide, Tension Sprocket
	Cage           float64    // distance of the pulley centres, mm
	Direction      float64    // guide pulley seen from the axle, forward of straight down, rad
	Gap            [2]float64 // tip to tip from cog to guide pulley, at the smallest and largest cog, mm
	IndexError     float64    // pulleys outboard of the cog, mm
	Folded         float64    // cage stop when slack, forward of straight down, rad
	Stretched      float64    // cage stop when tight, rad
	PivotOffset    float64    // pivot from the guide pulley centre, mm
	PivotAngle     float64    // its direction, forward of the cage line, rad
	Spring         float64    // spring moment with the cage straight down, N·mm
	SpringRate     float64    // its change per angle forward, N·mm/rad
	Width          float64    // of the cage over its plates, mm
	Float          float64    // how far the guide pulley slides along its axle either way, mm
	Hanger         Hanger
	Stops          Stops
}

// Slot is how far a horizontal dropout lets the axle go from the stated stay.
type Slot struct{ Forward, Back float64 } // mm

// Tyre is the rear tyre.
type Tyre struct {
	BeadSeat float64 // bead seat diameter, mm (ISO 5775-1)
	Section  float64 // section height, mm: outside diameter = bead seat + 2·section
	Width    float64 // measured width, mm
	Dish     float64 // its middle off the frame's middle plane, drive side positive, mm
	Mud      float64 // free room asked for, mm
}

// OutsideDiameter returns bead seat + 2·section, mm (ISO 5775-1).
func (t Tyre) OutsideDiameter() float64 { return t.BeadSeat + 2*t.Section }

// Stay is the drive-side chainstay near the rings, from one measured gap.
type Stay struct {
	Face     float64 // y of its outer face at Radius, mm
	Radius   float64 // distance behind the bottom bracket where Face holds, mm
	Angle    float64 // how it spreads outboard going back, rad
	Flex     float64 // room asked for under load, mm
	Diameter float64 // of the tube, mm; 0: the chain's gap to it is not looked at
}

// Load is what the rider does.
type Load struct {
	Torque      float64 // at the cranks, N·mm
	Tension     float64 // of the top span, N; 0: from Torque
	FreehubDrag float64 // moment that turns the idle freehub, N·mm
	SlackSide   float64 // tension of the slack run where no tensioner holds it and no sag is given, N
	BackTorque  float64 // with which a fixed or coaster drive is pushed back at the cranks, N·mm
	Sag         float64 // of the bottom run in its middle with the top run pulled tight, without a tensioner, mm; 0: from SlackSide
	Bumps       float64 // share of its weight that bumps take off the slack run at worst, >= 0; from 1 on it flies loose
}

// Bike is everything the model needs of a bicycle. It is not changed by any
// call.
type Bike struct {
	Chain     Chain
	Frame     Frame
	Rings     []Wheel // 1 to 3, smallest first
	Bolts     Bolts   // of the rings
	Cogs      []Wheel // smallest first
	Drive     Drive   // Fixed and Coaster: without a tensioner
	Tensioner *Tensioner
	Idler     *Idler
	Slot      Slot
	Tyre      *Tyre
	Stay      *Stay
	Spokes    *Spokes
	Rotor     *Rotor
	Dropout   *Dropout // nil: nobody measured the room outboard of the smallest cog
	Load      Load
	CogRoom   float64 // what relief, chamfer and thin tips give beside the next cog beyond full plates and teeth, mm
	NoiseFrom float64 // bend of the top run from which a ride is called noisy, rad; 0: not looked at
	RingPins  float64 // how far shift pins and ramps of the next ring stand proud of it, mm
	PinsAt    float64 // how far from the ring's centre they reach, mm; 0: as far as its tips
	FrontCage *FrontCage
}

// FrontLine returns the ring set's line: the ring's, the middle of two, the
// middle ring of three, to a picometre, mm.
func (b *Bike) FrontLine() float64 {
	if n := len(b.Rings); n%2 == 1 {
		return picometre(b.Rings[n/2].Line)
	}
	return picometre((b.Rings[0].Line + b.Rings[1].Line) / 2)
}

// RearLine returns the middle of the cluster, to a picometre, mm.
func (b *Bike) RearLine() float64 {
	return picometre((b.Cogs[0].Line + b.Cogs[len(b.Cogs)-1].Line) / 2)
}

// picometre rounds a line in mm, so that 44.95 that was reached by sums prints like 44.95
// that was typed, in whatever command.
func picometre(x float64) float64 { return math.Round(x*1e9) / 1e9 }

// Validate returns a *BikeError that says what cannot be, as far as it lies in a relation between dimensions; the range of each single one is
// the caller's to check.
func (b *Bike) Validate() error {
	fail := func(part, format string, a ...any) error {
		return &BikeError{Part: part, Problem: fmt.Sprintf(format, a...)}
	}
	if len(b.Rings) < 1 || len(b.Rings) > 3 {
		return fail("rings", "%d chainrings, want 1 to 3", len(b.Rings))
	}
	if len(b.Cogs) < 1 {
		return fail("cogs", "no cogs")
	}
	if !(b.Frame.Stay > math.Abs(b.Frame.Drop)) || math.IsInf(b.Frame.Stay, 0) {
		return fail("frame.stay", "stay %g mm, want more than the drop %g mm", b.Frame.Stay, b.Frame.Drop)
	}
	if b.Tensioner == nil && (len(b.Rings) > 1 || len(b.Cogs) > 1) {
		return fail("tensioner", "missing: more than one gear (chainrings %d, cogs %d) needs one", len(b.Rings), len(b.Cogs))
	}
	if b.Drive != Freewheel && b.Tensioner != nil {
		return fail("rear.drive", "%s beside a tensioner, whose cage the push back would pull straight, want one chainring, one cog and no tensioner", b.Drive)
	}
	for i, r := range b.Rings {
		if err := b.checkWheel("rings", "chainring", r.Sprocket); err != nil {
			return err
		}
		if i > 0 && !(r.Teeth > b.Rings[i-1].Teeth && r.Line > b.Rings[i-1].Line) {
			return fail("rings", "chainrings of %d and %d teeth, want the smallest first, each further outboard", b.Rings[i-1].Teeth, r.Teeth)
		}
	}
	for i, c := range b.Cogs {
		if err := b.checkWheel("cogs", "cog", c.Sprocket); err != nil {
			return err
		}
		if i > 0 && !(c.Teeth > b.Cogs[i-1].Teeth && c.Line < b.Cogs[i-1].Line) {
			return fail("cogs", "cogs of %d and %d teeth, want the smallest first, each further inboard", b.Cogs[i-1].Teeth, c.Teeth)
		}
	}
	ring, cog := b.Rings[len(b.Rings)-1], b.Cogs[len(b.Cogs)-1]
	if least := ring.TipRadius(b.Chain.Pitch) + cog.TipRadius(b.Chain.Pitch); b.Frame.Stay-b.Slot.Forward <= least {
		return fail("frame.stay", "%d-tooth chainring and cog of %d teeth meet on a stay of %g mm, want more than %.1f mm", ring.Teeth, cog.Teeth, b.Frame.Stay-b.Slot.Forward, least)
	}
	if err := b.checkIdler(); err != nil {
		return err
	}
	if f := b.FrontCage; f != nil {
		switch {
		case len(f.Places) == 0:
			return fail("front.cage", "no place, want at least one")
		case !(f.From < f.To):
			return fail("front.cage", "from %g to %g mm behind the chainring, want some length", f.From, f.To)
		}
		for i := 1; i < len(f.Places); i++ {
			if !(f.Places[i] > f.Places[i-1]) {
				return fail("front.cage", "places %g and %g mm, want each further outboard", f.Places[i-1], f.Places[i])
			}
		}
	}
	if t := b.Tensioner; t != nil {
		if err := b.checkWheel("tensioner.guide", "guide pulley", t.Guide); err != nil {
			return err
		}
		if err := b.checkWheel("tensioner.tension", "tension pulley", t.Tension); err != nil {
			return err
		}
		if !(t.Folded < t.Stretched) {
			return fail("tensioner.stops", "cage stops %.1f° and %.1f°, want the folded one first", Degrees(t.Folded), Degrees(t.Stretched))
		}
		if least := t.Guide.TipRadius(b.Chain.Pitch) + t.Tension.TipRadius(b.Chain.Pitch); t.Cage <= least {
			return fail("tensioner.cage", "cage %g mm long: its pulleys meet, want more than %.1f mm", t.Cage, least)
		}
		if !(t.Spring > 0) || !(t.Spring+t.SpringRate*t.Folded > 0) || !(t.Spring+t.SpringRate*t.Stretched > 0) {
			return fail("tensioner.spring", "cage spring %g N·mm with %g N·mm/rad falls to nothing between its stops", t.Spring, t.SpringRate)
		}
	}
	if n := b.Chain.Links; n != 0 && (n%2 == 1) != b.Chain.HalfLink {
		if b.Chain.HalfLink {
			return fail("chain.links", "%d links is even, want an odd number with a half link", n)
		}
		return fail("chain.links", "%d links is odd, want an even number, or half_link: true", n)
	}
	if !(b.Chain.OuterWidth > b.Chain.InnerWidth) {
		return fail("chain.outer_width", "width inside outer plates %g mm, want more than inside inner plates %g mm", b.Chain.OuterWidth, b.Chain.InnerWidth)
	}
	if !(b.Chain.Proud >= 0 && b.Chain.Pin > 0 && b.Chain.Pin < 2*b.Chain.PlateHalfHeight) {
		return fail("chain.pin", "pin %g mm with rivet ends %g mm proud, want a pin thinner than the plates are high", b.Chain.Pin, b.Chain.Proud)
	}
	if !(b.Chain.Width >= b.Chain.OuterWidth) {
		return fail("chain.width", "chain %.4g mm wide over the rivets, want at least the width inside its outer plates %.4g mm", b.Chain.Width, b.Chain.OuterWidth)
	}
	return nil
}

func (b *Bike) checkWheel(part, name string, s Sprocket) error {
	fail := func(format string, a ...any) error {
		return &BikeError{Part: part, Problem: fmt.Sprintf("%s of %d teeth: %s", name, s.Teeth, fmt.Sprintf(format, a...))}
	}
	if s.Teeth < 9 {
		return fail("want at least 9")
	}
	if !(s.TipHeight > 0) {
		return fail("tip height %g mm, want more than 0", s.TipHeight)
	}
	if s.WideNarrow() && s.Teeth%2 == 1 {
		return fail("narrow-wide teeth need an even number")
	}
	w := s.Entry(b.Chain.Pitch)
	for l := engage.Inner; l <= engage.Outer; l++ {
		t := w.Teeth[l]
		if !(t.Tip > 0 && t.Full >= t.Tip) {
			return fail("tooth %g mm at the tip and %g mm in full, want the tip thinner", t.Tip, t.Full)
		}
		if !(t.Relief > 0 && t.Relief < math.Pi/2) {
			return fail("side relief %.1f°, want between 0° and 90°", Degrees(t.Relief))
		}
		if width := b.Chain.Chain.Width(l); !(width > t.Full) {
			return &BikeError{Part: part, Plates: true, Problem: fmt.Sprintf("%s of %d teeth: tooth %g mm thick does not fit between %s plates %g mm apart", name, s.Teeth, t.Full, l, width)}
		}
	}
	return nil
}

// Degrees turns radians into degrees.
func Degrees(rad float64) float64 { return rad * (180 / math.Pi) }

// Radians turns degrees into radians.
func Radians(deg float64) float64 { return deg * (math.Pi / 180) }
