package sim

import "math"

// Direction is the way the cranks turn.
type Direction int

// The two directions.
const (
	Riding Direction = iota
	Backwards
)

func (d Direction) String() string { return [...]string{"riding", "backwards"}[d] }

// Gravity is standard gravity, m/s² (ISO 80000-3).
const Gravity = 9.80665

// Tensions holds the tension of a gear's top run and of its bottom run, N. With a tensioner the
// bottom run, the cage and the guide run are under the same tension. A top tension of 0 or less
// when back-pedalling means that the top run is slack.
type Tensions struct{ Top, Bottom [2]float64 } // by Direction

// leastTension is the pull at which a slack span is still judged sideways, N:
// about the weight of half a metre of chain, below which its own weight, which
// the model leaves out, says more than its tension.
const leastTension = 1.0

// leastLever is the least arm on which the chain turns the cage, mm. Nearer to
// dead straight the cage's pull has no meaning.
const leastLever = 1.0

// tensions returns the pulls in a gear that was drawn.
//
// Riding: top T = M/r of the ring (or as given), bottom from the moment balance
// of the cage. Backwards: the bottom run carries the cage's tension and the top
// span that less freehub drag / r of the cog. Without a tensioner the slack run
// has a stated tension or the one of its sag, and the run that pulls backwards has on top
// of it the drag, or with a fixed or coaster cog M/r of the ring.
func (b *Bike) tensions(l *Loop) Tensions {
	var t Tensions
	t.Top[Riding] = b.Load.Tension
	if t.Top[Riding] == 0 {
		t.Top[Riding] = b.Load.Torque / l.Wheels[AtRing].Radius
	}
	drag := b.Load.FreehubDrag / l.Wheels[AtCog].Radius
	if b.Tensioner == nil {
		s := b.slackRuns(l).Pull
		back := drag
		if b.Drive != Freewheel {
			back = b.Load.BackTorque / l.Wheels[AtRing].Radius
		}
		t.Bottom = [2]float64{s[Riding], s[Backwards] + back}
		t.Top[Backwards] = s[Backwards]
		return t
	}
	pull := b.Tensioner.pull(l)
	t.Bottom = [2]float64{pull, pull}
	t.Top[Backwards] = pull - drag
	return t
}

// pulls returns the tensions, and what the top run pulls backwards before a chain that is
// too long takes its share off: the cage's pull goes, by degrees, as the cage comes to rest
// on its folded stop.
func (b *Bike) pulls(l *Loop, f Fit) (t Tensions, taut float64) {
	t = b.tensions(l)
	taut = t.Top[Backwards]
	if b.Tensioner != nil {
		t.slacken(f.TooLong())
	}
	return t, taut
}

// slacken takes a share off a cage's pull: as surely as the chain is too long.
func (t *Tensions) slacken(share float64) {
	lost := t.Bottom[Backwards] * share
	t.Top[Backwards] -= lost
	t.Bottom[Riding], t.Bottom[Backwards] = t.Bottom[Riding]-lost, t.Bottom[Backwards]-lost
}

// pull returns the chain tension that balances the cage's spring, N.
//
// Moment balance about the pivot P, friction left out: each pulley is pulled by
// T·(d_out - d_in), so T·Σ (C - P) × (d_out - d_in) = spring moment.
func (t *Tensioner) pull(l *Loop) float64 {
	a := l.cageAngle()
	return t.moment(a) / max(t.lever(l, a), leastLever)
}

// moment returns the spring's at a cage angle, N·mm.
func (t *Tensioner) moment(angle float64) float64 { return t.Spring + t.SpringRate*angle }

// lever returns the arm on which the chain turns a cage at an angle, mm.
func (t *Tensioner) lever(l *Loop, a float64) float64 {
	g, p := l.Wheels[AtGuide].Centre, l.Wheels[AtTension].Centre
	s, k := math.Sincos(a + t.PivotAngle)
	px, py := g.X-t.PivotOffset*s, g.Y+t.PivotOffset*k
	lever := 0.0
	for _, w := range [...]struct {
		x, y float64
		in   int
	}{{p.X, p.Y, Bottom}, {g.X, g.Y, Cage}} {
		in, out := l.Spans[w.in].Dir, l.Spans[w.in+1].Dir
		fx, fy := out.X-in.X, out.Y-in.Y
		lever += (w.x-px)*fy - (w.y-py)*fx
	}
	return lever
}

// TorqueOf returns the moment at the cranks in N·mm of a power in W at a
// cadence in 1/min: M = P/(2π n/60). It returns 0 for a cadence of 0 or less.
func TorqueOf(power, cadence float64) float64 {
	if !(cadence > 0) {
		return 0
	}
	return 1000 * power / (2 * math.Pi * cadence / 60)
}
