package engage

import "errors"

// pinRow is a row of pins under tension, the chain seen from above as it runs onto a wheel (level
// 2):
//
//	min Σ T/(2p)·(y[i+1] - y[i])² + Σ ½k·max(|φ[i]| - φ0, 0)² - Σ f[i]·y[i]
//	φ[i] = (y[i+1] - 2y[i] + y[i-1])/p
//	subject to |(y[i] + y[i+1])/2| <= Play[i] for every link i
//
// y lateral place of a pin, mm; p pitch, mm; T tension, N; φ turn of a joint, rad, free up to φ0,
// rad; k its stiffness beyond, N·mm/rad; f lateral force on a pin, N; Play half of what is free
// between plates and tooth, mm. Link i joins pins i and i+1. Source: the potential energy of taut
// links with springs in their joints, small angles; our own mechanics, checked as DEVELOPERS.md
// lists.
type pinRow struct {
	Pitch     float64   // p, mm, > 0
	Tension   float64   // T, N, > 0
	Stiffness float64   // k, N·mm/rad per joint, >= 0
	Slack     float64   // φ0, rad per joint, >= 0
	Play      []float64 // n-1 half gaps, mm, >= 0; +Inf for a link in the open
	Load      []float64 // n lateral forces on the pins, N
}

// Status says how a solve ended.
type Status int

// The ways a solve can end.
const (
	Solved   Status = iota
	Stalled         // the active set kept changing; the best state is kept
	BadInput        // a number that is not finite, or a length mismatch
	Adrift          // nothing holds the row sideways
)

// Errors of Status.Err.
var (
	ErrStalled  = errors.New("engage: active set did not settle")
	ErrBadInput = errors.New("engage: bad row")
	ErrAdrift   = errors.New("engage: no link is held sideways")
)

var states = [...]struct {
	name string
	err  error
}{
	Solved:   {"solved", nil},
	Stalled:  {"stalled", ErrStalled},
	BadInput: {"bad input", ErrBadInput},
	Adrift:   {"adrift", ErrAdrift},
}

func (s Status) String() string { return states[s].name }

// Err returns nil for Solved and the matching error otherwise.
func (s Status) Err() error { return states[s].err }

// bend returns φ at pin i of a row of places, rad.
func bend(y []float64, i int, p float64) float64 { return (y[i+1] - 2*y[i] + y[i-1]) / p }

// stateOf returns the side to which a joint is bent beyond its slack, or 0.
// Without slack both sides are one quadratic piece, which is given as +1.
func stateOf(phi, slack float64) int8 {
	switch {
	case slack == 0:
		return 1
	case phi > slack:
		return 1
	case phi < -slack:
		return -1
	}
	return 0
}
