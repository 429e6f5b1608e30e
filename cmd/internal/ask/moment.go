package ask

import (
	"chainpath/sim"
	"chainpath/sim/march"
)

// Moment is what the figures show: the drop, or else the first climb at ring or
// cog, or else the first strike; without any the start.
type Moment struct{ climb, strike *march.Event }

// See takes what happens, in order.
func (k *Moment) See(e march.Event) {
	switch {
	case e.Kind == march.Climbs && (e.At == sim.AtRing || e.At == sim.AtCog) && k.climb == nil:
		k.climb = &e
	case k.strike == nil:
		k.strike = &e
	}
}

// Of returns the moment of a run that ended so.
func (k *Moment) Of(d sim.Direction, out march.Fate) march.Event {
	switch {
	case out.Dropped:
		return out.Drop
	case k.climb != nil:
		return *k.climb
	case k.strike != nil:
		return *k.strike
	}
	return march.Event{At: map[sim.Direction]sim.Part{sim.Riding: sim.AtRing, sim.Backwards: sim.AtCog}[d], Link: -1}
}
