package fall

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/sim/engage"
	"chainpath/sim/march"
)

// Cog is a wheel that the chain may fall onto.
type Cog struct {
	Wheel engage.Wheel
	Teeth int
	Line  float64 // from the middle plane of the wheel that it leaves, positive to the side of the fall, mm
	Phase float64 // of its teeth against those of the wheel that it leaves, pitches
}

// Setup is a chain at the moment at which a tooth tip first touches the link that climbs.
type Setup struct {
	Chain   engage.Chain
	Plate   [2]float64             // thickness of a plate by kind of link, mm
	Roll    float64                // ρ0, how far a joint lets a link roll against the next, either way, rad, >= 0
	Cogs    []Cog                  // the wheel that it leaves, then its neighbours on the side of the fall, rising lines
	Run     float64                // length of the run that arrives, mm
	Over    float64                // lateral place of its far end, from the first wheel's plane, mm
	Tension float64                // of that run, N
	PerTurn float64                // pitches of chain a turn of the cranks
	Sizes   func(n int) march.Size // of single links, by their numbers; nil: all as Chain has them

	over func(pitches float64) float64 // in place of Over, as the chain goes on
	most float64                       // pitches to follow; 0: as far as falls are followed
}

// State is what a link does.
type State int8

// The states.
const (
	Air     State = iota // nothing touches it
	Seated               // over its tooth, or on the way there
	Strikes              // the same, and its plates rub in over the bevel
	Tip                  // a plate stands on a tip
	Beyond               // past the tip, beside a wheel
)

func (s State) String() string {
	return [...]string{"air", "seated", "strikes", "tip", "over"}[s]
}

// End is how a fall ended.
type End int8

// The ends.
const (
	Open    End = iota // not at rest within what was followed
	Back               // the links that stood came back over their teeth
	AtRest             // three links in a row sit on a cog
	PastAll            // beyond the last cog: may jam between cog and frame, which is not computed
)

func (e End) String() string {
	return [...]string{"not_at_rest", "comes_back", "at_rest", "past_last_cog"}[e]
}

// Link is where a link is. Numbers count from the one that climbs, those behind it are positive.
type Link struct {
	N      int
	X, Z   float64 // middle, in the wheels' plane from the axle: against the chain's way, and up, mm
	Height float64 // of its middle above where it would sit on the first wheel, mm
	Y      float64 // of its middle from the first wheel's plane, mm
	Lean   float64 // ρ, the side of the fall up positive, rad
	Force  float64 // with which it is pressed on tip or seat, N
	State  State
	Cog    int // index into Setup.Cogs of what it is at
}

// Frame is every link at a moment, from the third before the one that climbs to the far end of the run.
type Frame struct {
	Angle float64 // of the cranks since the first touch, rad
	Links []Link
}

// Event is a change of a link's state.
type Event struct {
	Angle float64 // rad
	N     int
	State State
	Cog   int
	Link  Link
}

// Result is a fall.
type Result struct {
	End    End
	Cog    int     // at rest: on which, an index into Setup.Cogs
	Angle  float64 // of the end, rad
	Seat   int     // the first wheel on whose root circle a link's rollers came to lie, an index; 0: none
	SeatAt float64 // when, rad
	Events []Event
	Frames []Frame
}

// The window and the steps.
const (
	ahead     = 8             // links before the one that climbs
	behind    = 18            // links behind it whose changes are told
	steps     = 12            // a pitch
	followed  = 300           // degrees of the cranks
	changes   = 40            // of states in a step, at most
	rounds    = 10            // of linearising the wheels' plane
	seatLean  = math.Pi / 180 // of a link whose rollers are in their gaps, rad
	toothTip  = 2.4           // length of a tooth at its tip along the chain, mm, as package march has it
	footHalf  = 2.4           // half of its length at the pitch circle, mm: a pitch less a roller's gap, ISO 606 from memory
	dragged   = 5             // roll plays by which the run leans, at most, when a link climbs, as explicit dynamics has it
	undecided = 0.08          // how far beyond its bevel a plate may still slide back, mm
	restHigh  = 0.15
	restMoves = 0.05
)

// chainLink is a link under way.
type chainLink struct {
	state State
	cog   int     // what it is at, or comes to next
	was   float64 // place of what friction holds, mm
	lay   float64 // h·ρ at the step before, mm
	lift  float64 // of a tip under its bevel, N
	since float64 // way gone at its last change, pitches
	force float64 // N
	sat   sat
}

// sat is since when a link sits where it does: the way gone, pitches, and the place, mm.
type sat struct{ way, y float64 }

// fall is a run under way. Link j has the pins j and j+1 and the number j - ahead.
type fall struct {
	*Setup
	links  []chainLink
	pins   []r2.Vec
	y      []float64 // by pin
	roll   []float64 // by link, h·ρ, mm
	press  []float64 // by pin, N
	way    float64   // gone since the first touch, pitches
	theta0 float64   // polar angle of the climbing link's tooth at the first touch
	plane  problem
	side   problem
	dirs   []r2.Vec
	out    *Result
}

// Run follows a fall to its end. It returns an error for a setup that cannot be.
func Run(s *Setup) (Result, error) {
	if err := s.check(); err != nil {
		return Result{}, err
	}
	var out Result
	r := &fall{Setup: s, out: &out}
	r.begin()
	most := followed / 360.0 * s.PerTurn
	if s.most > 0 {
		most = s.most
	}
	for i := 0; float64(i) <= most*steps; i++ {
		if i > 0 {
			r.advance(1.0 / steps)
		}
		r.settle()
		r.keep()
		if r.ended() {
			break
		}
	}
	return out, nil
}

func (s *Setup) check() error {
	numbers := []float64{s.Chain.Pitch, s.Chain.PlateHalfHeight, s.Run, s.Tension, s.PerTurn, s.Chain.InnerWidth, s.Chain.OuterWidth}
	for _, x := range numbers {
		if !(x > 0) || math.IsInf(x, 0) {
			return fmt.Errorf("fall: setup %v: every length and force must be positive", numbers)
		}
	}
	for _, x := range []float64{s.Chain.Bevel, s.Chain.Slack, s.Chain.Stiffness, s.Chain.Contact, s.Chain.Seat, s.Plate[0], s.Plate[1]} {
		if !(x >= 0) || math.IsInf(x, 0) {
			return fmt.Errorf("fall: chain %+v, plates %v: no number may be negative", s.Chain, s.Plate)
		}
	}
	for _, c := range s.Cogs {
		w := c.Wheel
		if !(w.PitchRadius > 0 && w.TipRadius > w.PitchRadius && w.TipRadius < 1e4) || c.Teeth < 5 || math.IsNaN(c.Line+c.Phase) || math.IsInf(c.Line+c.Phase, 0) {
			return fmt.Errorf("fall: wheel of %d teeth, radii %g and %g mm, at %g mm", c.Teeth, w.PitchRadius, w.TipRadius, c.Line)
		}
	}
	if len(s.Cogs) == 0 || !(s.Roll >= 0 && s.Roll < 0.2) || math.IsNaN(s.Over) || math.IsInf(s.Over, 0) {
		return fmt.Errorf("fall: %d wheels, roll %g rad, far end at %g mm", len(s.Cogs), s.Roll, s.Over)
	}
	return nil
}

func (r *fall) angle() float64 { return 2 * math.Pi * r.way / r.PerTurn }

func kind(j int) engage.Link {
	if (j-ahead)%2 == 0 {
		return engage.Inner
	}
	return engage.Outer
}

// begin lays the chain on the first wheel, straight from there on, with the link that climbs on its
// tip.
func (r *fall) begin() {
	w := r.Cogs[0].Wheel
	r.theta0 = -engage.FirstOverlap(w, r.Chain.PlateHalfHeight) / w.PitchRadius
	step := 2 * math.Pi / float64(r.Cogs[0].Teeth)
	first := r.theta0 + (ahead+0.5)*step
	r.pins = append(r.pins, polar(w.PitchRadius, first))
	for i := 1; len(r.pins) < 2 || r.pins[len(r.pins)-1].X < r.Run; i++ {
		at := r.pins[len(r.pins)-1]
		if a := first - float64(i)*step; a > 0 {
			r.pins = append(r.pins, polar(w.PitchRadius, a))
			continue
		}
		r.pins = append(r.pins, r2.Vec{X: at.X + r.Chain.Pitch, Y: at.Y})
	}
	n := len(r.pins)
	r.links = make([]chainLink, n-1)
	r.y, r.press = make([]float64, n), make([]float64, n)
	r.roll = make([]float64, n-1)
	over := r.far()
	for i, p := range r.pins {
		r.y[i] = over * max(0, p.X) / r.Run
	}
	for j := range ahead {
		r.links[j].state = Seated
	}
	r.links[ahead].state = Tip
	// Strikes have turned the links before it by -2ρ0, and dragged the run along by ρ0 a joint.
	for j := ahead - 2; j < n-1; j++ {
		r.roll[j] = -float64(min(max(2, j-ahead+2), dragged, n-2-j)) * r.Roll * r.Chain.PlateHalfHeight
	}
	r.hold()
	r.settlePlane()
	r.settleSide(true)
	r.hold()
}

func (r *fall) far() float64 {
	if r.over != nil {
		return r.over(r.way)
	}
	return r.Over
}

// advance turns the wheels by a part of a pitch. What lies on the first wheel goes with it; the rest
// is moved as it is, for settlePlane to find its place.
func (r *fall) advance(by float64) {
	r.hold()
	r.way += by
	turn := by * 2 * math.Pi / float64(r.Cogs[0].Teeth)
	c, s := math.Cos(turn), math.Sin(turn)
	var moved r2.Vec
	for i, p := range r.pins {
		if i <= ahead-3 {
			moved = r2.Sub(r2.Vec{X: p.X*c - p.Y*s, Y: p.X*s + p.Y*c}, p)
		}
		r.pins[i] = r2.Add(p, moved)
	}
	for r.pins[len(r.pins)-1].X < r.Run {
		n := len(r.pins)
		r.pins = append(r.pins, r2.Sub(r2.Scale(2, r.pins[n-1]), r.pins[n-2]))
		r.y = append(r.y, 2*r.y[n-1]-r.y[n-2])
		r.press = append(r.press, 0)
		r.roll = append(r.roll, r.roll[n-2])
		r.links = append(r.links, chainLink{was: (r.y[n-1] + r.y[n]) / 2, lay: r.roll[n-1]})
	}
}

// hold keeps where links are, for friction and for rolls to start from.
func (r *fall) hold() {
	for j := range r.links {
		r.links[j].was, r.links[j].lay = r.foot(j), r.roll[j]
	}
}

func (r *fall) middle(j int) float64 { return (r.y[j] + r.y[j+1]) / 2 }

// edge is where a link's lower edge is, mm.
func (r *fall) edge(j int) float64 { return r.middle(j) + r.roll[j] }

// foot is what friction holds of a link: the lower edge of one that stands on a tip, the middle of one
// whose rollers are down, mm.
func (r *fall) foot(j int) float64 {
	if r.links[j].state == Tip {
		return r.edge(j)
	}
	return r.middle(j)
}

// settle finds heights and places and changes states one at a time, the most violated first.
func (r *fall) settle() {
	for range changes {
		r.settlePlane()
		r.settleSide(false)
		if !r.change() {
			return
		}
	}
}
