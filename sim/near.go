package sim

import "math"

// near is the cage angles of the gears before, from which the search for the next
// one's starts: by Newton's divided differences over the cog's radius, through up to
// three of them.
type near struct {
	angle, radius, rise float64 // of the last: rad, mm, rad/mm
	before, curve       float64 // radius of the one before; second difference
	known               int     // gears in a row that closed
}

// guess returns where the search for a cog's cage angle starts.
func (n *near) guess(radius float64) float64 {
	d := radius - n.radius
	return n.angle + d*(n.rise+n.curve*(radius-n.before))
}

// keep takes a cog's cage angle.
func (n *near) keep(angle, radius float64, closes bool) {
	if !closes || radius == n.radius {
		*n = near{angle: angle, radius: radius, before: radius}
		if closes {
			n.known = 1
		}
		return
	}
	next := near{angle: angle, radius: radius, before: n.radius, known: n.known + 1}
	if n.known > 0 {
		next.rise = (angle - n.angle) / (radius - n.radius)
	}
	if n.known > 1 && radius != n.before {
		next.curve = (next.rise - n.rise) / (radius - n.before)
	}
	*n = next
}

// follow searches from a guess: by Newton's method, then by the secant, whose error
// is about the product of the last two steps (angles near 1 rad: the factor is of
// order 1). It reports false where that leads out of the stops or to where the
// length no longer falls.
func (c *cageRoot) follow(x, folded, stretched, links float64) (angle float64, ok bool, err error) {
	const enough = 1e-11
	x0, f0, step0 := 0.0, 0.0, 1.0
	last := false
	for i := range 12 {
		n, slope, err := c.at(x)
		if err != nil || slope > -1e-3 || c.past(slope) {
			return 0, false, err
		}
		if last {
			return x, true, nil
		}
		f := n - links
		if i > 0 && x != x0 {
			slope = (f - f0) / (x - x0)
		}
		x0, f0 = x, f
		next := x - f/slope
		if !(next > folded && next < stretched) {
			return 0, false, nil
		}
		step := math.Abs(next - x)
		if step < angleTol {
			return x, true, nil
		}
		last = i > 0 && step*step0 < enough
		x, step0 = next, step
	}
	return 0, false, nil
}
