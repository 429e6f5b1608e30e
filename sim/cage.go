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
}

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
	// The loop turns once round itself, which gives the last wrap.
	l.Wraps[AtGuide] = l.Wraps[AtCog] + l.Wraps[AtRing] + l.Wraps[AtTension] + l.Wraps[AtIdler] - 2*math.Pi
	if l.Wraps[AtGuide] < 0 || l.Wraps[AtGuide] >= 2*math.Pi {
		l.wrap(int(AtGuide))
	}
	in, out := l.Spans[Bottom].Dir, l.Spans[Cage].Dir
	slope = c.cage * ((in.X-out.X)*k + (in.Y-out.Y)*s) / l.pitch
	length = c.fixed + l.Seat(AtCog) +
		l.part(int(AtRing)) + l.part(int(AtTension)) + l.part(int(AtGuide))
	return length, slope, nil
}

// angleTol ends the search, rad; with a long cage it is 1e-9 mm of chain.
const angleTol = 1e-11

// find sets the loop to the cage angle in [folded, stretched] whose length is
// the chain's. The length falls from the folded stop on, until the cage points
// along the chain; the search stays on that branch.
func (c *cageRoot) find(folded, stretched, links float64, half bool) (Fit, error) {
	hiLen, hiSlope, err := c.at(stretched)
	if err != nil {
		return Fit{}, err
	}
	if hiSlope > 0 { // past the tightest place: go back to it
		lo, hi := folded, stretched
		for hi-lo > 1e-9 {
			mid := (lo + hi) / 2
			_, s, err := c.at(mid)
			if err != nil {
				return Fit{}, err
			}
			if s > 0 {
				hi = mid
			} else {
				lo = mid
			}
		}
		stretched = lo
		if hiLen, _, err = c.at(stretched); err != nil {
			return Fit{}, err
		}
	}
	if missing := hiLen - links; missing > 0 {
		return Fit{Short: wholeLinks(missing, half)}, nil
	}
	// Inside the bracket by Newton's method, then by the secant, whose slope is
	// exact for the pitch polygon as well.
	lo, hi := folded, stretched
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
			if next <= folded && lo == folded { // it may lie past the stop
				n, _, err := c.at(folded)
				if err != nil {
					return Fit{}, err
				}
				if n < links {
					return Fit{Slack: (links - n) * c.loop.pitch}, nil
				}
			}
			next = (lo + hi) / 2
		}
		if math.Abs(next-x) < angleTol || hi-lo < angleTol {
			break
		}
		x = next
	}
	return Fit{Closes: true}, nil
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
