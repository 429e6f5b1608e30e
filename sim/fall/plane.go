package fall

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Points are in the wheels' plane from the axle: X against the chain's way over the top, Y up, mm.

// polar returns the point at a radius and an angle from the top, positive the way the chain goes.
func polar(radius, angle float64) r2.Vec {
	return r2.Vec{X: -radius * math.Sin(angle), Y: radius * math.Cos(angle)}
}

// normal is outward of a link's direction to the next behind.
func normal(v r2.Vec) r2.Vec { return r2.Vec{X: -v.Y, Y: v.X} }

func polarAngle(v r2.Vec) float64 { return math.Atan2(-v.X, v.Y) }

func (r *fall) mid(j int) r2.Vec   { return r2.Scale(0.5, r2.Add(r.pins[j], r.pins[j+1])) }
func (r *fall) turned() float64    { return r.way * 2 * math.Pi / float64(r.Cogs[0].Teeth) }
func (r *fall) tip(c int) float64  { return r.Cogs[c].Wheel.TipRadius }
func (r *fall) root(c int) float64 { return r.Cogs[c].Wheel.PitchRadius }

// settlePlane finds the heights: a taut string of rigid links, each bearing with its plates' lower
// edges on the two corners of a tip where it stands on one, and with its rollers on the root circles
// of the wheels whose teeth it is over. The energy is the tension times the length that it takes:
//
//	min T·|chain|, n·(P - C) >= h at the corners C, |P| >= r at rollers P
//
// and a tip under a bevel lifts with what presses it there sideways. It is linearised about the last shape in displacements δ across the chain, with the second variation
// T/(2p)·Σ(δ[i+1] - δ[i])², and laid out again with links of their length. Because a link is rigid, a
// force on its middle bends the string at both of its pins, and its neighbours come out higher than a
// string over points.
func (r *fall) settlePlane() {
	n, p := len(r.pins), &r.plane
	p.stiff, p.give = 20*r.Tension/r.Chain.Pitch, 1e-5
	p.x = grown(p.x, n)
	r.dirs = r.dirs[:0]
	for range rounds {
		r.planeTerms()
		clear(p.x)
		p.solve()
		if r.layOut() < 2e-4 {
			break
		}
	}
	clear(r.press)
	for j := range r.links {
		r.links[j].force = 0
	}
	for i := range p.terms {
		t := &p.terms[i]
		switch {
		case t.tag == roller:
			r.press[t.first] -= t.pull
		case t.tag == corner || t.tag == corner+1:
			r.links[t.first].force -= t.pull
		}
	}
}

// Tags of the plane's terms that press.
const (
	roller = 3
	corner = 4
)

func (r *fall) planeTerms() {
	n, p, k := len(r.pins), &r.plane, r.Tension/r.Chain.Pitch
	p.again()
	r.dirs = r.dirs[:0]
	for i := range n - 1 {
		r.dirs = append(r.dirs, r2.Unit(r2.Sub(r.pins[i+1], r.pins[i])))
	}
	for i := range n - 1 {
		p.add(0, term{form: spring, first: i, c: [half + 1]float64{-1, 1}, k: k})
	}
	for i := 1; i < n-1; i++ {
		f := r2.Scale(r.Tension, r2.Sub(r.dirs[i-1], r.dirs[i]))
		p.add(1, term{form: force, first: i, c: [half + 1]float64{1}, k: r2.Dot(f, r.across(i))})
	}
	p.add(2, term{form: within, first: 0, c: [half + 1]float64{1}})
	far := (r.root(0) - r.pins[n-1].Y) / r.across(n-1).Y
	p.add(2, term{form: within, first: n - 1, c: [half + 1]float64{1}, at: far})
	for i := 1; i < n-1; i++ {
		if radius := r.floor(i); radius > 0 {
			u := r2.Unit(r.pins[i])
			p.add(roller, term{form: within, first: i, c: [half + 1]float64{r2.Dot(u, r.across(i))}, lo: radius - r2.Norm(r.pins[i]), up: math.Inf(1)})
		}
	}
	for j := range r.links {
		l := &r.links[j]
		if l.lift > 0 {
			m := normal(r.dirs[j])
			p.add(0, term{form: force, first: j, c: [half + 1]float64{r2.Dot(m, r.across(j)), r2.Dot(m, r.across(j+1))}, k: -l.lift / 2})
		}
		if l.state != Tip || j == 0 || j == n-2 {
			continue
		}
		for e, c := range r.corners(j, l.cog) {
			high, at := r.above(j, c)
			if at < -0.2 || at > 1.2 || r.beyond(j, l.cog, at) > 0 {
				continue
			}
			m := normal(r.dirs[j])
			p.add(corner+e, term{form: within, first: j, c: [half + 1]float64{(1 - at) * r2.Dot(m, r.across(j)), at * r2.Dot(m, r.across(j+1))}, lo: r.Chain.PlateHalfHeight + r.raised(j, l.cog) - high, up: math.Inf(1)})
		}
	}
}

// across is the direction in which a pin is displaced.
func (r *fall) across(i int) r2.Vec {
	a, b := max(0, i-1), min(i, len(r.dirs)-1)
	return normal(r2.Unit(r2.Add(r.dirs[a], r.dirs[b])))
}

// above returns how far a link's line runs above a point, mm, and where along it.
func (r *fall) above(j int, c r2.Vec) (high, at float64) {
	d := r2.Unit(r2.Sub(r.pins[j+1], r.pins[j]))
	to := r2.Sub(c, r.pins[j])
	return -r2.Dot(to, normal(d)), r2.Dot(to, d) / r.Chain.Pitch
}

// teeth are the angle of a wheel's first tooth from the top, and from tooth to tooth, rad.
func (r *fall) teeth(cog int) (zero, step float64) {
	step = 2 * math.Pi / float64(r.Cogs[cog].Teeth)
	return r.theta0 + r.turned() + r.Cogs[cog].Phase*step, step
}

// corners are the two ends of the tip of the tooth of a wheel that is nearest to a link's middle.
func (r *fall) corners(j, cog int) [2]r2.Vec {
	c := &r.Cogs[cog]
	zero, step := r.teeth(cog)
	at := zero + step*math.Round((polarAngle(r.mid(j))-zero)/step)
	off := toothTip / 2 / c.Wheel.TipRadius
	return [2]r2.Vec{polar(c.Wheel.TipRadius, at+off), polar(c.Wheel.TipRadius, at-off)}
}

// floor is the root circle on which a roller can lie where its pin is sideways; 0: none.
func (r *fall) floor(i int) float64 {
	for c := range r.Cogs {
		if math.Abs(r.y[i]-r.Cogs[c].Line) < (r.Chain.InnerWidth+r.Cogs[c].Wheel.Teeth[0].Full)/2 {
			return r.root(c)
		}
	}
	return 0
}

// layOut displaces the pins and lays links of their length along them; it returns the largest move.
func (r *fall) layOut() float64 {
	const most = 4 // mm
	n, moved := len(r.pins), 0.0
	at := r.pins[0]
	for i := range n {
		d := max(-most, min(most, r.plane.x[i]))
		moved = max(moved, math.Abs(d))
		r.pins[i] = r2.Add(r.pins[i], r2.Scale(d, r.across(i)))
	}
	last := r.pins[0]
	r.pins[0] = at
	for i := 1; i < n; i++ {
		d := r2.Unit(r2.Sub(r.pins[i], last))
		last = r.pins[i]
		r.pins[i] = r2.Add(r.pins[i-1], r2.Scale(r.Chain.Pitch, d))
	}
	return moved
}
