package march

import (
	"math"
	"math/rand/v2"

	"chainpath/sim/engage"
)

// Tolerance is how far single links and wheels surely stay within their nominal
// dimensions. A negative RunOut turns every wobble over, which a mirrored bicycle
// needs.
type Tolerance struct {
	Width  float64 // inside width of a link, ± mm
	Bevel  float64 // bevel of a link, ± mm
	Slack  float64 // slack of a joint, ± rad
	RunOut float64 // sideways wobble of ring, cog and pulleys, ± mm
}

// draw is one chain and set of wheels.
type draw struct {
	band                float64   // by how much this chain's links are guided less than their bevel says, mm
	open                bool      // whether the front cage lets go
	width, bevel, slack []float64 // by link
	wobble              [][]float64
}

// draw takes trial number n of a seed: the same whatever was drawn before.
func (t *track) draw(s *Set, seed, n uint64) *draw {
	r := rand.New(rand.NewPCG(seed, n))
	within := func(a float64) float64 { return a * (2*r.Float64() - 1) }
	d := &draw{
		width: make([]float64, t.links), bevel: make([]float64, t.links), slack: make([]float64, t.links),
		wobble: make([][]float64, len(t.stations)),
	}
	tol := s.Tolerance
	c := t.chain
	for i := range t.links {
		d.width[i] = c.Width(kind(i)) + within(tol.Width)
		d.bevel[i] = max(0, c.Bevel+within(tol.Bevel))
		d.slack[i] = max(0, c.Slack+within(tol.Slack))
	}
	last := len(t.stations) - 1
	for i, s := range t.stations {
		d.wobble[i] = make([]float64, s.teeth)
		if i == last { // the ring's two halves are one wheel
			d.wobble[i] = d.wobble[0]
			continue
		}
		from := 2 * math.Pi * r.Float64()
		for k := range d.wobble[i] {
			d.wobble[i][k] = tol.RunOut * math.Cos(2*math.Pi*float64(k)/float64(s.teeth)+from)
		}
	}
	// A margin m is passed with the chance 1/(1 + e^(-m/s)): level 2's.
	u := r.Float64()
	d.band = s.Spread * math.Log((u+1e-12)/(1-u+1e-12))
	d.open = r.Float64() < s.Guard
	return d
}

// kind tells the kind of a link by its number. A half link is the last of an odd
// number, and counts as an inner one.
func kind(link int) engage.Link { return engage.Link(link % 2) }
