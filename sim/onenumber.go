package sim

// OneNumber returns the number of a gear that a rule of one number judges a concern by:
// the top run's bend, °, for noise and riding drops; the same backwards where it pulls the
// chain off the cog outboard, else 0; gaps to neighbours and tyre, mm; the top run's
// tension backwards, N. It is 0 where no number tells.
func (g *Gear) OneNumber(k Concern) float64 {
	nearer := func(gaps [2]Gap) float64 { return min(gaps[0].MM, gaps[1].MM) }
	switch k {
	case NoiseRiding, DropRiding:
		return Degrees(g.OnRing().Bend)
	case DropBackwards:
		if g.Top.Across < 0 {
			return 0
		}
		return Degrees(g.Top.Bend)
	case RubsNextCog:
		return nearer(g.Clearances.NextCog)
	case RubsNextRing:
		return nearer(g.Clearances.NextRing)
	case RubsTyreAt:
		return g.Clearances.Tyre.MM
	case TopSlackBackwards:
		return g.Tensions.Top[Backwards]
	}
	return 0
}
