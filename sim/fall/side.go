package fall

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"chainpath/sim/engage"
	"chainpath/sim/march"
)

// settleSide finds the lateral places y of the pins and the rolls ρ of the links: package march's
// energy of the row,
//
//	min Σ T/(2p)·(y[i+1] - y[i])² + Σ [M·|φ[i]| + ½k·max(|φ[i]| - φ0, 0)²] + Σ μN·|m[j] - m0[j]|
//	φ = Δy[i]/p - Δy[i-1]/p - θ·(ρ[j-1] + ρ[j])/2, |ρ[j] - ρ[j-1] + θ·(y[i+1] - y[i-1])/(2p)| <= ρ0
//	|y + hρ - c| <= (w - t(o))/2 where a tooth stands o deep in a link
//
// with θ the turn in the wheels' plane at a joint: about a pin that leans the chain turns sideways too,
// and a link that goes off sideways leans after the turn. A link whose rollers are down stands upright,
// so that it turns nothing. Beside a wheel that a link has gone over, its plate is outside of the teeth.
// A link on a tip has no wall; see standTerms. Rolls have no stiffness within their play: a link keeps
// the lean that it had. free leaves friction out.
func (r *fall) settleSide(free bool) {
	n, p := len(r.pins), &r.side
	p.stiff, p.give = 1000*r.Tension/r.Chain.Pitch, 1e-4
	p.x = grown(p.x, 2*n)
	for i := range n {
		p.x[2*i] = r.y[i]
		if i < n-1 {
			p.x[2*i+1] = r.roll[i]
		} else {
			p.x[2*i+1] = 0
		}
	}
	// Space for terms that reach beyond the last variable is never needed: the last pin is fixed.
	p.again()
	r.rowTerms()
	for j := range r.links {
		r.linkTerms(j, free)
	}
	p.solve()
	r.lifts()
	for i := range n {
		r.y[i] = p.x[2*i]
		if i < n-1 {
			r.roll[i] = p.x[2*i+1]
		}
	}
}

// Tags of walls, a link's two ends.
const (
	wall  = 6
	bevel = 14 // where only the bevel is over the tip
)

var (
	middle = [half + 1]float64{0.5, 0, 0.5}
	foot   = [half + 1]float64{0.5, 1, 0.5}
	rolled = [half + 1]float64{1} // from a roll on
)

// linkTerms are those of a link's teeth, friction and roll.
func (r *fall) linkTerms(j int, free bool) {
	p, l, c := &r.side, &r.links[j], r.Chain
	p.add(0, term{form: spring, first: 2*j + 1, c: rolled, at: l.lay, k: 1e-3 * r.Tension / c.Pitch})
	if j <= ahead && r.way < 1 { // until the next link reaches the mouth joints hold the leans of strikes
		p.add(11, term{form: rub, first: 2*j + 1, c: rolled, at: l.lay, k: c.Seat * r.Tension * c.Contact / 4 / c.PlateHalfHeight})
	}
	switch l.state {
	case Tip:
		r.standTerms(j, free)
	case Seated, Strikes:
		r.seatTerms(j, free)
	}
	if over := l.cog - 1; over >= 0 {
		r.outerWall(j, over)
		if kind(j) == engage.Outer {
			r.endWall(j, over)
			r.endWall(j+1, over)
		}
	}
}

// seatTerms are those of a link over a tooth. Its rollers lie across the tooth's thickness and right it.
func (r *fall) seatTerms(j int, free bool) {
	p, l, c := &r.side, &r.links[j], r.Chain
	q := &r.Cogs[l.cog]
	t := q.Wheel.Teeth[kind(j)]
	if press := (r.press[j] + r.press[j+1]) / 2; press > 0 {
		p.add(12, term{form: rub, first: 2*j + 1, c: rolled, k: press * t.Full / 2 / c.PlateHalfHeight})
		if !free {
			p.add(4, term{form: rub, first: 2 * j, c: middle, at: l.was, k: c.Seat * press})
		}
	}
	if r.low(j, l.cog) {
		s := seatLean * c.PlateHalfHeight
		p.add(5, term{form: within, first: 2*j + 1, c: rolled, lo: -s, up: s})
	}
	o := r.overlap(j, l.cog)
	if o <= 0 {
		return
	}
	_, band := r.clear(j, l.cog)
	play, tag := max(0, (r.size(j).Width-t.Thickness(o))/2), wall
	if band-o > play { // over the bevel, as high as wide
		play, tag = band-o, bevel
	}
	along := toothTip / 2 / c.Pitch
	for e, s := range [2]float64{-along, along} {
		p.add(tag+e, term{form: within, first: 2 * j, c: [half + 1]float64{0.5 - s, 1, 0.5 + s}, at: q.Line, lo: -play, up: play})
	}
}

// lifts finds with what force tips under bevels lift links: those are wedges of 45°, with friction.
func (r *fall) lifts() {
	for j := range r.links {
		r.links[j].lift = 0
	}
	for i := range r.side.terms {
		if t := &r.side.terms[i]; t.tag == bevel || t.tag == bevel+1 {
			r.links[t.first/2].lift += math.Abs(t.pull) * (1 - r.Chain.Seat) / (1 + r.Chain.Seat)
		}
	}
}

// low reports whether a link's rollers are in their gaps.
func (r *fall) low(j, cog int) bool {
	const low = 0.5 // mm
	return max(r2.Norm(r.pins[j]), r2.Norm(r.pins[j+1])) < r.root(cog)+low
}

// outerWall holds a link outside of the teeth of the wheel that it has gone over, where they reach
// up to it. They press where they are thick.
func (r *fall) outerWall(j, over int) {
	o := r.overlap(j, over)
	if o <= 0 {
		return
	}
	q, k := &r.Cogs[over], kind(j)
	t := q.Wheel.Teeth[k]
	thick := t.Thickness(o)
	depth := min(o, (t.Full-t.Tip)/2/math.Tan(t.Relief)) // below the tip, where the plate meets it
	arm := (r.Chain.PlateHalfHeight - o + depth) / r.Chain.PlateHalfHeight
	arm = max(-1, min(1, arm))
	out := r.size(j).Width/2 + r.Plate[k] + thick/2
	r.side.add(8, term{form: within, first: 2 * j, c: [half + 1]float64{0.5, arm, 0.5}, at: q.Line, lo: out, up: math.Inf(1)})
}

// endWall holds the round end of an outer link's plate, about a pin, outside of a tooth of a wheel that
// it has gone over. A lifted chain lags, so that teeth stand nearer to the pin behind than to the one
// before.
func (r *fall) endWall(i, over int) {
	q, p := &r.Cogs[over], r.pins[i]
	zero, step := r.teeth(over)
	pos := (polarAngle(p) - zero) / step
	t := q.Wheel.Teeth[engage.Outer]
	deep := (t.Full - t.Tip) / 2 / math.Tan(t.Relief)
	high := q.Wheel.TipRadius - q.Wheel.PitchRadius
	for _, k := range [2]float64{math.Floor(pos), math.Ceil(pos)} {
		for _, side := range [2]float64{-1, 1} {
			d := min(deep, high)
			long := toothTip/2 + (footHalf-toothTip/2)*d/high
			radius := q.Wheel.TipRadius - d
			c := polar(radius, zero+k*step+side*long/radius)
			if r2.Norm(r2.Sub(c, p)) < r.Chain.PlateHalfHeight {
				out := r.Chain.OuterWidth/2 + r.Plate[engage.Outer] + t.Thickness(d)/2
				r.side.add(9, term{form: within, first: 2 * i, c: [half + 1]float64{1}, at: q.Line, lo: out, up: math.Inf(1)})
				return
			}
		}
	}
}

// overlap is how deep a wheel's tooth reaches into a link, mm.
func (r *fall) overlap(j, cog int) float64 {
	return r.tip(cog) - (r2.Norm(r.mid(j)) - r.Chain.PlateHalfHeight)
}

// size is a link's own.
func (r *fall) size(j int) march.Size {
	if r.Sizes == nil {
		return march.Size{Width: r.Chain.Width(kind(j)), Bevel: r.Chain.Bevel, Slack: r.Chain.Slack}
	}
	return r.Sizes(j - ahead)
}

// clear is up to where a link's edge may be off a wheel's plane without touching its tips, mm;
// band up to where the bevel guides it back.
func (r *fall) clear(j, cog int) (clear, band float64) {
	w, s := &r.Cogs[cog].Wheel, r.size(j)
	clear = (s.Width - w.Teeth[kind(j)].Tip) / 2
	return clear, clear + s.Bevel - w.Allowance
}

// leaves is where a link's inboard plate leaves the tip, mm from the wheel's plane.
func (r *fall) leaves(j, cog int) float64 {
	return r.size(j).Width/2 + r.Plate[kind(j)] + r.Cogs[cog].Wheel.Teeth[kind(j)].Tip/2
}
