package engage

import (
	"errors"
	"fmt"
	"math"
)

// ErrEntry reports a wheel, chain or tension no entry can be set up for.
var ErrEntry = errors.New("engage: no entry")

// Link tells the two kinds of link apart.
type Link int

// The two kinds of link, which alternate along the chain.
const (
	Inner Link = iota
	Outer
)

func (l Link) String() string { return [...]string{"inner", "outer"}[l] }

// other returns the other kind.
func (l Link) other() Link { return 1 - l }

// Chain holds the dimensions that decide how a chain bends sideways.
type Chain struct {
	Pitch           float64 // mm, > 0
	InnerWidth      float64 // w_i, width inside the inner plates, mm
	OuterWidth      float64 // w_o, width inside the outer plates, mm
	PlateHalfHeight float64 // h, half a plate's height, mm
	Bevel           float64 // b, width of the bevel on a plate's edge, mm, >= 0
	Slack           float64 // φ0, free sideways turn of a joint either way, rad, >= 0
	Stiffness       float64 // k, sideways stiffness of a joint beyond it, N·mm/rad, >= 0
	Contact         float64 // l, length over which pin and bush bear, mm, >= 0
	Seat            float64 // μ between a seated link and its tooth, >= 0
}

// Width returns the width inside the plates of a kind of link, mm.
func (c Chain) Width(l Link) float64 {
	if l == Outer {
		return c.OuterWidth
	}
	return c.InnerWidth
}

// Tooth is a tooth's cross-section: Tip thick at the tip, growing on both sides
// by the tangent of Relief per depth until it is Full thick.
type Tooth struct {
	Tip    float64 // mm, > 0
	Full   float64 // mm, >= Tip
	Relief float64 // slope of each side, rad, in (0, π/2)
}

// Thickness returns the thickness at a depth below the tip, mm.
func (t Tooth) Thickness(depth float64) float64 {
	return min(t.Full, t.Tip+2*max(depth, 0)*math.Tan(t.Relief))
}

// Wheel is a sprocket or pulley as the chain sees it. Plain wheels have the
// same tooth for both kinds of link; alternating wide and narrow teeth differ.
type Wheel struct {
	PitchRadius float64 // mm
	TipRadius   float64 // mm, > PitchRadius
	Teeth       [2]Tooth
	Allowance   float64 // what shift gates and cut teeth take off its hold, mm, >= 0
	Driven      bool    // whether the drive pulls on it as the chain arrives
}

// FirstOverlap returns how far before the tangent point, along the chain in mm,
// a tooth tip first reaches the lower edge of the plates:
// s1 = r·acos((r - h)/ra). It returns 0 for a wheel whose tips never do.
func FirstOverlap(w Wheel, plateHalfHeight float64) float64 {
	c := (w.PitchRadius - plateHalfHeight) / w.TipRadius
	if !(c > -1 && c < 1) {
		return 0
	}
	return w.PitchRadius * math.Acos(c)
}

// MaxAngle is the largest bend angle an Entry is set up for, and the value of a
// limit that lies beyond it, rad: 20°, three times what any bicycle has.
const MaxAngle = 20 * math.Pi / 180

// Number of links modelled behind the arriving one (of which at least
// leastSeated past the tangent point), and of free links kept beyond the last
// bent joint. More change no offset by 1e-6 mm: see
// TestMoreLinksChangeNothing.
const (
	seatedLinks = 9
	leastSeated = 5
	spareLinks  = 4
	mostLinks   = 400
)

// Entry is a chain running onto a wheel at the moment when the tip of a tooth
// first reaches one link, the arriving link.
type Entry struct {
	wheel  Wheel
	chain  Chain
	link   Link
	row    pinRow
	arrive int     // index of the arriving link in the row
	s1     float64 // its distance before the tangent point, mm
	solver solve
	sine   float64 // sine of the last angle solved for
	solved bool

	depths   []float64  // of the seated links below the tip, mm
	depthsOf [4]float64 // what they were found from
}

// Set puts the entry up for one wheel, chain, kind of arriving link and
// tension (N, > 0). It allocates only when the row grows. The error wraps
// ErrEntry.
func (e *Entry) Set(w Wheel, c Chain, link Link, tension float64) error {
	return e.set(w, c, link, tension, MaxAngle, seatedLinks, spareLinks)
}

// SetFor is Set for bends up to angle alone, rad: it keeps fewer links and is solved faster.
func (e *Entry) SetFor(w Wheel, c Chain, link Link, tension, angle float64) error {
	if !(math.Abs(angle) <= math.Pi/2) {
		return fmt.Errorf("%w: bend angle %g rad", ErrEntry, angle)
	}
	return e.set(w, c, link, tension, math.Abs(angle), seatedLinks, spareLinks)
}

func (e *Entry) set(w Wheel, c Chain, link Link, tension, angle float64, seated, spare int) error {
	if err := checkWheel(w, c); err != nil {
		return err
	}
	if !(tension > 0) || math.IsInf(tension, 0) {
		return fmt.Errorf("%w: tension %g N", ErrEntry, tension)
	}
	e.wheel, e.chain, e.link, e.solved = w, c, link, false
	e.s1 = FirstOverlap(w, c.PlateHalfHeight)
	e.arrive = max(seated, int(math.Ceil(e.s1/c.Pitch))+leastSeated)
	links := e.arrive + 1 + spanLinks(c, tension, angle, spare)
	e.row.Pitch, e.row.Tension, e.row.Stiffness, e.row.Slack = c.Pitch, tension, c.Stiffness, c.Slack
	if cap(e.row.Load) < links+1 {
		e.row.Load, e.row.Play = make([]float64, links+1), make([]float64, links)
	}
	e.row.Load, e.row.Play = e.row.Load[:links+1], e.row.Play[:links]
	clear(e.row.Load)
	e.seated(w, c)
	for i := range e.row.Play {
		e.row.Play[i] = math.Inf(1)
		if i < e.arrive {
			l := link
			if (e.arrive-i)%2 == 1 {
				l = link.other()
			}
			e.row.Play[i] = (c.Width(l) - w.Teeth[l].Thickness(e.depths[i])) / 2
		}
	}
	return nil
}

// seated finds how deep the seated links lie, unless that is known from the time before.
func (e *Entry) seated(w Wheel, c Chain) {
	of := [4]float64{w.PitchRadius, w.TipRadius, c.PlateHalfHeight, c.Pitch}
	if of == e.depthsOf && len(e.depths) == e.arrive {
		return
	}
	e.depthsOf, e.depths = of, e.depths[:0]
	for i := range e.arrive {
		e.depths = append(e.depths, w.depth(e.s1-float64(e.arrive-i)*c.Pitch, c.PlateHalfHeight))
	}
}

// checkWheel returns an error wrapping ErrEntry where a chain cannot run on a wheel.
func checkWheel(w Wheel, c Chain) error {
	if !(w.PitchRadius > c.PlateHalfHeight && c.PlateHalfHeight > 0 && w.TipRadius > w.PitchRadius-c.PlateHalfHeight) || math.IsInf(w.TipRadius, 0) {
		return fmt.Errorf("%w: pitch radius %g mm, tip radius %g mm, plate half height %g mm", ErrEntry, w.PitchRadius, w.TipRadius, c.PlateHalfHeight)
	}
	if !(c.Pitch > 0 && c.Stiffness >= 0 && c.Slack >= 0 && c.Bevel >= 0) || math.IsInf(c.Pitch+c.Stiffness+c.Slack+c.Bevel, 1) {
		return fmt.Errorf("%w: pitch %g mm, stiffness %g N·mm/rad, slack %g rad, bevel %g mm", ErrEntry, c.Pitch, c.Stiffness, c.Slack, c.Bevel)
	}
	for l := Inner; l <= Outer; l++ {
		t := w.Teeth[l]
		if !(t.Tip > 0 && t.Full >= t.Tip && t.Relief > 0 && t.Relief < math.Pi/2 && c.Width(l) >= t.Full) {
			return fmt.Errorf("%w: %s link %g mm wide inside on a tooth %g mm thick, %g mm at the tip, relief %g rad", ErrEntry, l, c.Width(l), t.Full, t.Tip, t.Relief)
		}
	}
	return nil
}

// depth returns how far below the tip the plates' lower edge, h below the pins, is at
// a distance s before the tangent point, mm: o(s) = ra·cos(s/r) - (r - h); past the
// tangent point the plate has come down as far as it goes.
func (w Wheel) depth(s, h float64) float64 {
	return w.TipRadius*math.Cos(max(s, 0)/w.PitchRadius) - (w.PitchRadius - h)
}

// spanLinks returns how many links of the open span the row needs: those up to
// the end of the bent part at a bend angle (closedForm.bent), beyond which the chain
// is straight and nothing changes, and a few more.
func spanLinks(c Chain, tension, angle float64, spare int) int {
	f := closedForm{Pitch: c.Pitch, Tension: tension, Stiffness: c.Stiffness, Slack: c.Slack}
	// Without slack the bend fades as exp(-s/λ): 20 λ leave 2e-9 of it.
	reach := min(f.bent(angle), 20*f.lambda())
	return min(int(math.Ceil(reach/c.Pitch))+spare, mostLinks)
}

// Offset returns how far off the wheel's middle plane the arriving link's
// middle lies, mm, for a bend angle in rad; the sign is that of the angle.
func (e *Entry) Offset(angle float64) (float64, Status) {
	if !(math.Abs(angle) <= math.Pi/2) {
		return 0, BadInput
	}
	y, st := e.solve(math.Sin(math.Abs(angle)))
	return math.Copysign(y, angle), st
}

func (e *Entry) solve(sine float64) (float64, Status) {
	if sine == 0 {
		return 0, Solved
	}
	e.row.Load[len(e.row.Load)-1] = e.row.Tension * sine
	warm := e.solved || e.seed(sine)
	st := e.solver.settle(&e.row, warm, e.bends(sine)) // set checked it
	e.solved, e.sine = st == Solved, sine
	return e.solver.middle(e.arrive), st
}

// bends returns about how many joints are bent on each side of the link that holds the row:
// a slack row bends alike on both sides of it, half the angle on each, and a joint bends when
// those between have taken up their slack.
func (e *Entry) bends(sine float64) int {
	f := closedForm{Pitch: e.row.Pitch, Tension: e.row.Tension, Stiffness: e.row.Stiffness, Slack: e.row.Slack}
	return int(math.Ceil(min(f.bent(sine/2)/e.row.Pitch, mostLinks))) - 1
}

// manyBent is the number of bent joints from which on a start from the closed
// form saves more steps than it costs; tuned on BenchmarkSolve.
const manyBent = 8

// seed lays the row out as the closed form has it, clamped at the last of the
// narrowest links, and reports whether that was worth doing; a layout that
// breaks a bound is not used by the solver.
func (e *Entry) seed(sine float64) bool {
	f := closedForm{Pitch: e.row.Pitch, Tension: e.row.Tension, Stiffness: e.row.Stiffness, Slack: e.row.Slack}
	if f.bent(sine) < manyBent*e.row.Pitch {
		return false
	}
	hold := 0
	for i, c := range e.row.Play[:e.arrive] {
		if c <= e.row.Play[hold] {
			hold = i
		}
	}
	e.solver.seed(&e.row, hold, func(u float64) float64 { return f.offset(sine, u) })
	return true
}

// At returns the chain's lateral place at a distance s before the tangent point
// in the equilibrium of the last Offset call, mm, positive towards the side the
// chain is pulled to. Between pins the chain is straight, beyond the last it
// goes on at the bend angle.
func (e *Entry) At(s float64) float64 {
	x := (s-e.s1)/e.chain.Pitch + float64(e.arrive) + 0.5
	last := len(e.row.Load) - 1
	i := min(max(int(math.Floor(x)), 0), last-1)
	if x > float64(last) {
		return e.solver.y[last] + (x-float64(last))*e.chain.Pitch*e.sine
	}
	y := e.solver.y
	return y[i] + (x-float64(i))*(y[i+1]-y[i])
}

// PinBefore returns the distance before the tangent point of the next pin nearer to it
// than s, mm; -Inf nearer than the first.
func (e *Entry) PinBefore(s float64) float64 {
	x := math.Ceil((s-e.s1)/e.chain.Pitch+float64(e.arrive)+0.5-1e-9) - 1
	if x < 0 {
		return math.Inf(-1)
	}
	x = min(x, float64(len(e.row.Load)-1))
	return (x-float64(e.arrive)-0.5)*e.chain.Pitch + e.s1
}

// Clear returns the offset up to which the arriving link meets nothing:
// (w - tip thickness)/2, mm.
func (e *Entry) Clear() float64 {
	return (e.chain.Width(e.link) - e.wheel.Teeth[e.link].Tip) / 2
}

// JointMoment returns the largest moment that a joint of the row carries beyond
// its slack in the equilibrium of the last Offset call, N·mm: k·max(|φ| - φ0, 0).
func (e *Entry) JointMoment() float64 {
	most := 0.0
	for i := 1; i < len(e.solver.y)-1; i++ {
		most = max(most, math.Abs(bend(e.solver.y, i, e.chain.Pitch))-e.chain.Slack)
	}
	return most * e.chain.Stiffness
}

// Slope returns the slope of the arriving link in the equilibrium of the last
// Offset call, rad as small angles.
func (e *Entry) Slope() float64 {
	return (e.solver.y[e.arrive+1] - e.solver.y[e.arrive]) / e.chain.Pitch
}
