package sim

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/sim/engage"
)

// Idler is a toothed wheel on the frame that the top run passes over on its way from cog
// to ring: it turns freely and does not slide along its axle.
type Idler struct {
	Wheel
	X, Z float64 // of its axle in the side view, mm
	Held bool    // plates or a guide keep the chain on it
}

// putIdler sets an idler into a loop whose cog and ring stand, and draws the top run: over
// it where it holds the chain up, else straight from cog to ring.
//
// The chain turns clockwise over an idler, as over cog and ring. One that lies below the
// straight run would have to be wound round from above, by more than half a turn: the chain
// passes over it then.
func (b *Bike) putIdler(l *Loop) error {
	l.Idled, l.Wraps[AtIdler] = false, 0
	d := b.Idler
	if d == nil {
		return l.span(Top)
	}
	l.set(AtIdler, d.Sprocket, r2.Vec{X: d.X, Y: d.Z}, d.Line)
	l.Idled = true
	if err := l.span(Top); err != nil {
		return err
	}
	if err := l.span(Lead); err != nil {
		return err
	}
	if l.wrap(int(AtIdler)); l.Wraps[AtIdler] < math.Pi {
		return nil
	}
	l.Idled, l.Wraps[AtIdler] = false, 0
	return l.span(Top)
}

// topPitches returns the chain of the top run from cog to ring, with what lies on an idler.
func (l *Loop) topPitches() float64 {
	n := l.SpanPitches(Top)
	if l.Idled {
		n += l.SpanPitches(Lead) + l.Seat(AtIdler)
	}
	return n
}

// topSpans returns the indices of the spans of the top run.
func (l *Loop) topSpans() []int {
	if l.Idled {
		return []int{Top, Lead}
	}
	return []int{Top}
}

// paths are the wheels in riding order, with and without tensioner and idler.
var paths = [2][2][]Part{
	{{AtCog, AtRing}, {AtCog, AtIdler, AtRing}},
	{{AtCog, AtRing, AtTension, AtGuide}, {AtCog, AtIdler, AtRing, AtTension, AtGuide}},
}

// Path returns the wheels in riding order. The slice must not be written to.
func (l *Loop) Path() []Part {
	tensioned, idled := 0, 0
	if l.N == 4 {
		tensioned = 1
	}
	if l.Idled {
		idled = 1
	}
	return paths[tensioned][idled]
}

// Into returns the span that runs onto a wheel when riding.
func (l *Loop) Into(p Part) int { return l.prev(int(p)) }

// checkIdler says what cannot be of an idler.
func (b *Bike) checkIdler() error {
	d := b.Idler
	if d == nil {
		return nil
	}
	if err := b.checkWheel("idler", "idler", d.Sprocket); err != nil {
		return err
	}
	x, z := b.Frame.Axle()
	tip := d.TipRadius(b.Chain.Pitch)
	for _, w := range []struct {
		name string
		of   Wheel
		away float64
	}{{"chainring", b.Rings[len(b.Rings)-1], math.Hypot(d.X, d.Z)}, {"cog", b.Cogs[len(b.Cogs)-1], math.Hypot(d.X-x, d.Z-z)}} {
		if least := tip + w.of.TipRadius(b.Chain.Pitch); w.away <= least {
			return &BikeError{Part: "idler", Problem: fmt.Sprintf("its teeth hit the %d-tooth %s, whose centre is %.1f mm away, want more than %.1f mm", w.of.Teeth, w.name, w.away, least)}
		}
	}
	return nil
}

// planIdler appends the arrivals on an idler: the run from the cog when riding, that from
// the ring backwards. It neither drives nor is driven.
func (y *laid) planIdler(p []planned) []planned {
	b := y.b
	if !y.loop.Idled {
		return p
	}
	place := len(b.Rings) + len(b.Cogs) + 2
	return append(p,
		planned{direction: Riding, at: AtIdler, wheel: &b.Idler.Sprocket, place: place, span: Top, bend: y.top.Bend, pull: y.pulls.Top[Riding], top: true, held: b.Idler.Held},
		planned{direction: Backwards, at: AtIdler, wheel: &b.Idler.Sprocket, place: place, span: Lead, bend: y.lead.Bend, pull: y.pulls.Top[Backwards], top: true, held: b.Idler.Held})
}

// onRing returns the span of the top run that ends at the ring.
func (y *laid) onRing() *Span {
	if y.loop.Idled {
		return &y.lead
	}
	return &y.top
}

// OnRing returns the span that runs onto the chainring: from the idler where there is one, else
// from the cog.
func (g *Gear) OnRing() Span {
	if g.Loop.Idled {
		return g.Lead
	}
	return g.Top
}

// dropAtIdler returns the chance that the chain leaves an idler that it runs onto, to
// whichever side.
func (b *Bike) dropAtIdler(f *Free, span *Span, pull float64, known *engage.Landing) (chance, past float64) {
	if b.Idler.Held {
		return 0, -walled
	}
	return b.leaves(f, &b.Idler.Sprocket, span, pull, engage.Idle, 0, known)
}
