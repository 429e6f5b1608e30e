package march

import (
	"fmt"
	"math"

	"chainpath/sim"
)

// EventKind is what happens to a link.
type EventKind int

// The kinds of event, from harmless to the chain's loss.
const (
	Guided    EventKind = iota // a tip rubs in over the bevel: clatter
	Climbs                     // a plate lands on a tip
	FallsBack                  // a link on a tip is pulled back over its tooth
	Drops                      // an outer link follows an inner one onto the tips: the chain is lost
)

func (k EventKind) String() string {
	return [...]string{"guided", "climbs", "falls_back", "drops"}[k]
}

// Event is something that happens to a link.
type Event struct {
	Kind   EventKind
	Angle  float64 // of the cranks, turned since the start, rad, >= 0
	Link   int
	Inner  bool // kind of the link
	At     sim.Part
	Tooth  int     // of that wheel, counted from where it stood at the start
	Offset float64 // of the link's middle from the tooth's, outboard positive, mm
	Depth  float64 // Guided: how far over the bevel, 0 to 1; else 0
	To     string  // Drops: where the chain falls
}

// Words say what happens, such as "after 3.2° of the cranks link 7 (inner) at the cog rides up
// onto the tip"; an event of no link is nothing.
func (e Event) Words() string {
	if e.Link < 0 {
		return "nothing is touched"
	}
	kind := "outer"
	if e.Inner {
		kind = "inner"
	}
	what := [...]string{"is guided over its bevel", "rides up onto the tip", "falls back over its tooth", "drops"}[e.Kind]
	if e.Kind == Drops && e.To != "" {
		what += ", to " + e.To
	}
	return fmt.Sprintf("after %.1f° of the cranks link %d (%s) at the %s %s", sim.Degrees(e.Angle), e.Link, kind, e.At.Name(), what)
}

// Set is what a march needs besides the gear.
type Set struct {
	Tolerance Tolerance
	Spread    float64         // by how much whole chains differ sideways where links are judged, mm, >= 0 (sim.Free)
	Guard     float64         // share of the chains that a front cage lets go, 0 to 1 (sim.Free)
	Turns     float64         // of the cranks, > 0
	Done      <-chan struct{} // ends a run with ErrStopped when it is closed; may be nil
	Watch     []float64       // crank angles at which the chain's places are wanted, rad, rising
}

// Landing is where a link is.
type Landing struct {
	Link    int
	Inner   bool
	Along   float64 // of its middle, from the middle of the ring's seat, mm
	Y       float64 // of its middle, mm
	Off     float64 // Y less the straight path, mm
	At      string  // wheel whose tooth stands in it, or ""
	Overlap float64 // with that tooth, mm
}

// tipOver is how far a plate lies over a tooth that is more than touched, mm: contacts are
// springs, which give some hundredths.
const tipOver = 0.05

// OnTip reports whether one of a link's plates lies over the tooth of a wheel that stands in
// it; width is between the plates, thick the tooth at their edge, mm.
func (l *Landing) OnTip(w Wheel, width, thick float64) bool {
	return l.Overlap > 0 && l.At == w.Part.String() && math.Abs(l.Y-w.Line)+thick/2 > width/2+tipOver
}

// Observer takes what a run sees, while it runs. Nil functions are left out.
type Observer struct {
	Event  func(Event)
	Places func(angle float64, p []Landing)
	Step   func(angle float64, p []Landing) // the same at every step
	// Arrivals are called with every link that is judged: the offset from the
	// tooth's middle, outboard positive, mm.
	Arrival func(angle float64, at sim.Part, link int, offset float64)
}

// Tally counts what happened at one wheel.
type Tally struct {
	Arrivals, Guided, Climbs, FallsBack int
}

// Fate is what a run came to.
type Fate struct {
	Turned  float64               // rad
	Steps   int                   // equilibria solved
	At      [sim.NumParts]Tally   // by sim.Part
	Dropped bool                  // whether the chain was lost, which ends a run
	Drop    Event                 // how
	Pull    Pull                  // of the run
	Deepest [sim.NumParts]float64 // the largest offset seen at first overlap, mm, by sim.Part
	Parts   []sim.Part            // the wheels there are
}
