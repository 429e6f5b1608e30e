package sim

import "math"

// mostCage bounds the search for a cage, mm: no bicycle's is half as long.
const mostCage = 400.0

// LeastCage returns the least distance of pulley centres, mm, with which a cage takes up a
// chain of so many links on the smallest ring and cog, fully folded, as the bike's stops,
// gaps and pulleys are: what the trade calls the capacity is that of this distance. A
// shorter one would leave the chain hanging there. It returns 0 without a tensioner and
// where any cage does, and mostCage where none does. Errors wrap ErrOverlap.
func (b *Bike) LeastCage(links int) (float64, error) {
	t := b.Tensioner
	if t == nil {
		return 0, nil
	}
	var l Loop
	if err := b.lay(&l, 0, 0); err != nil {
		return 0, err
	}
	c := cageRoot{loop: &l, fixed: l.topPitches()}
	over := func(cage float64) (float64, error) { // pitches that the loop takes more than the chain has
		c.cage = cage
		n, _, err := c.at(t.Folded)
		return n - float64(links), err
	}
	lo, hi := t.Guide.TipRadius(b.Chain.Pitch)+t.Tension.TipRadius(b.Chain.Pitch)+1, mostCage
	f, err := over(lo)
	if err != nil || f >= 0 {
		return 0, err
	}
	g, err := over(hi)
	if err != nil || g < 0 {
		return mostCage, err
	}
	// The length is all but linear in the cage: regula falsi with a bisection behind it.
	for hi-lo > 1e-3 {
		x := lo + (hi-lo)*f/(f-g)
		if !(x > lo+1e-4 && x < hi-1e-4) {
			x = (lo + hi) / 2
		}
		v, err := over(x)
		if err != nil {
			return 0, err
		}
		if v >= 0 {
			hi, g = x, v
		} else {
			lo, f = x, v
		}
		if math.Abs(v) < 1e-5 {
			return x, nil
		}
	}
	return hi, nil
}
