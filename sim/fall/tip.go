package fall

import "math"

// standTerms are those of a link on a tip. The tip bears under one plate, beside the link's middle, and
// so turns the link with its outer side down, as far as joints and their turns let it; the plate that
// leans slides outwards with F·ρ, against the friction μF that holds its edge.
func (r *fall) standTerms(j int, free bool) {
	p, l, c := &r.side, &r.links[j], r.Chain
	if l.force <= 0 {
		return
	}
	near, far := r.arms(j, l.cog)
	f := l.force / c.PlateHalfHeight
	p.add(0, term{form: force, first: 2*j + 1, c: rolled, k: math.Copysign(f*(near+far)/2, r.edge(j)-r.Cogs[l.cog].Line)})
	p.add(10, term{form: rub, first: 2*j + 1, c: rolled, k: f * (far - near) / 2})
	p.add(0, term{form: force, first: 2 * j, c: middle, k: f * r.roll[j]})
	if !free {
		p.add(4, term{form: rub, first: 2 * j, c: foot, at: l.was, k: c.Seat * l.force})
	}
}

// at is where a link's lower edge is at a part of its length, mm.
func (r *fall) at(j int, part float64) float64 {
	return (1-part)*r.y[j] + part*r.y[j+1] + r.roll[j]
}

// beyond is how far a link's inboard plate is past the tip of a wheel at a part of its length, mm.
func (r *fall) beyond(j, cog int, part float64) float64 {
	return math.Abs(r.at(j, part)-r.Cogs[cog].Line) - r.leaves(j, cog)
}

// hangs is how far past its tip a link's inboard plate is at both of the tip's ends, mm.
func (r *fall) hangs(j int) float64 {
	least := math.Inf(1)
	for _, c := range r.corners(j, r.links[j].cog) {
		_, part := r.above(j, c)
		least = min(least, r.beyond(j, r.links[j].cog, part))
	}
	return least
}

// arms are how far from a link's middle its plate bears on a tip, the nearest and the farthest, mm.
func (r *fall) arms(j, cog int) (near, far float64) {
	off := math.Abs(r.edge(j) - r.Cogs[cog].Line)
	tip := r.Cogs[cog].Wheel.Teeth[kind(j)].Tip / 2
	s := r.size(j)
	near = max(off-tip, s.Width/2+s.Bevel)
	far = min(off+tip, s.Width/2+r.Plate[kind(j)])
	return min(near, far), far
}

// raised is how much higher a link's middle is over a tip for its lean, mm.
func (r *fall) raised(j, cog int) float64 {
	near, far := r.arms(j, cog)
	lean := math.Copysign(r.roll[j], r.roll[j]*(r.edge(j)-r.Cogs[cog].Line)) / r.Chain.PlateHalfHeight
	return max(near*lean, far*lean)
}
