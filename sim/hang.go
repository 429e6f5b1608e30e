package sim

// Hang is a top span that hangs slack when pedalling backwards, because turning
// the idle freehub takes more than the cage's spring pulls.
type Hang struct {
	Bottom  float64 // pull of the bottom run: freehub drag / r of the cog, N
	Surplus float64 // chain that the cage gives into the top span, mm
	Sag     float64 // of that span, mm
	Tension float64 // that the span's own weight gives it, N
}

// Hang returns how the top span of a gear hangs whose drag exceeds the cage's pull,
// and draws the loop with the cage swung forward until its pull is the drag, or to
// its stop. Chain that the cage no longer takes up lies in the top span.
//
// The span hangs as slackRuns says. The tension is at
// least what a slack span is judged with elsewhere. Without a tensioner nothing
// hangs.
func (b *Bike) Hang(l *Loop) Hang {
	t := b.Tensioner
	h := Hang{Bottom: b.Load.FreehubDrag / l.Wheels[AtCog].Radius, Tension: leastTension}
	if t == nil || t.pull(l) >= h.Bottom {
		return h
	}
	c := cageRoot{loop: l, cage: t.Cage, fixed: l.topPitches()}
	lo, hi := l.cageAngle(), t.Stretched
	length, _, err := c.at(lo)
	if err != nil {
		return h
	}
	now := length
	for range 60 {
		mid := (lo + hi) / 2
		n, slope, err := c.at(mid)
		if err != nil || c.past(slope) || t.pull(l) >= h.Bottom {
			hi = mid
			continue
		}
		lo, now = mid, n
	}
	if _, _, err := c.at(lo); err != nil {
		return h
	}
	h.Surplus = max(0, (length-now)*l.pitch)
	if h.Surplus > 0 {
		pull := 0.0
		h.Sag, pull = b.hangs(l, h.Surplus)
		h.Tension = max(leastTension, pull)
	}
	return h
}
