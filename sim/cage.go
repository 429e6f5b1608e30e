package sim

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// cageRoot finds the cage angle at which the loop holds the chain.
type cageRoot struct {
	loop  *Loop
	cage  float64
	fixed float64 // length of the top run, pitches
	slope float64 // of the length at the angle last drawn, pitches/rad
}

// excess returns what chain the cage can still take up, negative, by the length's slope at
// an angle so far from the folded stop, mm.
func (c *cageRoot) excess(off float64) float64 { return c.slope * off * c.loop.pitch }

// at draws the loop for a cage angle and returns its length in pitches and the
// derivative of that by the angle, per rad. For a taut band over circles
// dL = Σ (d_in - d_out)·dC; the pitch polygon's arc differs from the circle's by
// under 2 % of a pulley's share, which only slows the search a little.
func (c *cageRoot) at(a float64) (length, slope float64, err error) {
	l := c.loop
	s, k := math.Sincos(a)
	g := l.Wheels[AtGuide].Centre
	l.Wheels[AtTension].Centre = r2.Vec{X: g.X + c.cage*s, Y: g.Y - c.cage*k}
	if err = l.span(Bottom); err != nil {
		return 0, 0, err
	}
	if err = l.span(Cage); err != nil {
		return 0, 0, err
	}
	l.wrap(int(AtRing))
	l.wrap(int(AtTension))
	// The loop turns once round itself, which gives the last wrap without a jump by a turn:
	// below 0 the chain has left the guide pulley.
	l.Wraps[AtGuide] = l.Wraps[AtCog] + l.Wraps[AtRing] + l.Wraps[AtTension] + l.Wraps[AtIdler] - 2*math.Pi
	in, out := l.Spans[Bottom].Dir, l.Spans[Cage].Dir
	slope = c.cage * ((in.X-out.X)*k + (in.Y-out.Y)*s) / l.pitch
	c.slope = slope
	length = c.fixed + l.Seat(AtCog) +
		l.part(int(AtRing)) + l.part(int(AtTension)) + l.part(int(AtGuide))
	return length, slope, nil
}

// angleTol ends the search, rad; with a long cage it is 1e-9 mm of chain.
const angleTol = 1e-11

// past reports whether the cage, as it was just drawn, is swung further than the chain can
// pull it: past the tightest place, where the length rises again, or past where the guide
// pulley lets go of the chain (its wrap, kept continuous from the folded stop, is below 0).
func (c *cageRoot) past(slope float64) bool { return slope > 0 || c.loop.Wraps[AtGuide] < 0 }

// between returns the angle in (lo, hi) at which a condition that does not hold at lo and
// holds at hi sets in, from below, rad.
func (c *cageRoot) between(lo, hi float64, holds func(slope float64) bool) (float64, error) {
	for hi-lo > 1e-9 {
		mid := (lo + hi) / 2
		_, s, err := c.at(mid)
		if err != nil {
			return 0, err
		}
		if holds(s) {
			hi = mid
		} else {
			lo = mid
		}
	}
	return lo, nil
}

// loosest returns where the length begins to fall when it rises at the folded stop: there
// the cage is folded past dead centre. Where the length falls nowhere it returns the stop.
func (c *cageRoot) loosest(folded, stretched float64) (float64, error) {
	const looks = 8
	for i := 1; i <= looks; i++ {
		x := folded + (stretched-folded)*float64(i)/looks
		_, s, err := c.at(x)
		if err != nil {
			return 0, err
		}
		if s < 0 {
			return c.between(folded, x, func(slope float64) bool { return slope < 0 })
		}
	}
	return folded, nil
}

// find sets the loop to the cage angle in [folded, stretched] whose length is
// the chain's. The length falls from the folded stop on, or from the loosest place behind
// it, to the tightest or to where the chain leaves the guide pulley; the search stays on
// that branch, on which there is one place at most.
func (c *cageRoot) find(folded, stretched, links float64, half bool) (Fit, error) {
	loose, slope, err := c.at(folded)
	if err != nil {
		return Fit{}, err
	}
	lo, most := folded, loose
	if slope > 0 {
		if lo, err = c.loosest(folded, stretched); err != nil {
			return Fit{}, err
		}
		if most, _, err = c.at(lo); err != nil {
			return Fit{}, err
		}
	}
	if most < links { // the spring swings the cage to its stop
		_, _, err := c.at(folded)
		slack := (links - loose) * c.loop.pitch
		return Fit{Slack: slack, Excess: slack}, err
	}
	hi := stretched
	least, slope, err := c.at(hi)
	if err != nil {
		return Fit{}, err
	}
	if c.past(slope) {
		if hi, err = c.between(lo, hi, c.past); err != nil {
			return Fit{}, err
		}
		if least, _, err = c.at(hi); err != nil {
			return Fit{}, err
		}
	}
	if missing := least - links; missing > 0 {
		return Fit{Short: wholeLinks(missing, half), Missing: missing * c.loop.pitch}, nil
	}
	// Inside the bracket by Newton's method, then by the secant, whose slope is
	// exact for the pitch polygon as well.
	x, x0, f0 := (lo+hi)/2, 0.0, 0.0
	for i := range 100 {
		n, slope, err := c.at(x)
		if err != nil {
			return Fit{}, err
		}
		f := n - links
		if f > 0 {
			lo = x
		} else {
			hi = x
		}
		if i > 0 && x != x0 {
			slope = (f - f0) / (x - x0)
		}
		x0, f0 = x, f
		next := x - f/slope
		if !(next > lo && next < hi) {
			next = (lo + hi) / 2
		}
		if math.Abs(next-x) < angleTol || hi-lo < angleTol {
			break
		}
		x = next
	}
	return Fit{Closes: true, Excess: c.excess(x - folded)}, nil
}

// wholeLinks rounds missing pitches up to links that can be added: pairs, or
// with a half link in the chain any number.
func wholeLinks(missing float64, half bool) int {
	n := int(math.Ceil(missing - 1e-9))
	if !half && n%2 == 1 {
		n++
	}
	return n
}
