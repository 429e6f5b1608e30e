package sim

import "math"

// Drive says what the cog does with the chain when the pedals push back.
type Drive int

// The drives.
const (
	Freewheel Drive = iota // it turns freely but for drag
	Fixed                  // it turns with the wheel always: pushing back slows the wheel, rolling forwards
	Coaster                // it turns freely when coasting; pushed back it takes hold of its brake
)

func (d Drive) String() string { return [...]string{"freewheel", "fixed", "coaster"}[d] }

// Sags are how the runs hang where no tensioner takes up the chain, each with the other
// pulled tight.
type Sags struct {
	Valid   bool       // whether a sag was given
	Surplus float64    // chain more than the tight loop takes, mm
	Top     float64    // in the middle of the top run, backwards, mm
	Bottom  float64    // in the middle of the bottom run, riding, mm
	Pull    [2]float64 // of the slack run by Direction, N: bottom riding, top backwards
}

// slackRuns returns what the slack run pulls by direction, bottom riding and top
// backwards, and how it sags.
//
// A shallow parabola (textbook statics of a hanging cable): surplus e = 8 f²/(3 L) for a
// sag f over a span L, pull H = w L²/(8 f) with w the weight per length. Both runs share
// the one surplus, so that a run of spans L_i, which wheels that turn freely join to one
// pull, has H = w √(Σ L_i³/(24 e)). Bumps take their share off w and leave the shape.
// Left out: that a span is not level (a share of its slope squared, below 3 % here), and
// that sagging chain swings.
func (b *Bike) slackRuns(l *Loop) (s Sags) {
	left := max(0, 1-b.Load.Bumps)
	if b.Load.Sag <= 0 {
		p := b.Load.SlackSide * left
		s.Pull = [2]float64{p, p}
		return s
	}
	bottom, pull := l.Spans[Bottom].Length, 0.0
	s.Valid, s.Bottom = true, b.Load.Sag
	s.Surplus = 8 * s.Bottom * s.Bottom / (3 * bottom)
	s.Top, pull = b.hangs(l, s.Surplus)
	s.Pull = [2]float64{left * b.Chain.Weight * bottom * bottom / (8 * s.Bottom), left * pull}
	return s
}

// hangs returns the sag, mm, of the longest span of a top run that hangs with a surplus of
// chain, mm > 0, and its pull by the whole weight, N.
func (b *Bike) hangs(l *Loop, surplus float64) (sag, pull float64) {
	cubes, longest := 0.0, 0.0
	for _, i := range l.topSpans() {
		x := l.Spans[i].Length
		cubes, longest = cubes+x*x*x, max(longest, x)
	}
	per := math.Sqrt(cubes / (24 * surplus)) // pull over weight, mm
	return longest * longest / (8 * per), b.Chain.Weight * per
}
