package fall

import "math"

// A problem is convex: quadratic terms, forces, and terms with a multiplier, each of a few
// consecutive variables v = Σ c·x. It is solved as package pins solves its row: an augmented
// Lagrangian, whose inner problem Newton's method minimises on a band.
type problem struct {
	x     []float64
	terms []term
	stiff float64 // how hard terms with a multiplier are, N/mm
	give  float64 // how far they may give, mm
	h     [][half + 1]float64
	g, d  []float64
	v, dv []float64   // of the terms, and along d
	kept  [][]float64 // multipliers by tag and first variable, of the terms before
}

// again takes all terms away, and keeps their multipliers for those that come in their place.
func (p *problem) again() {
	for i := range p.terms {
		t := &p.terms[i]
		for int(t.tag) >= len(p.kept) {
			p.kept = append(p.kept, nil)
		}
		for t.first >= len(p.kept[t.tag]) {
			p.kept[t.tag] = append(p.kept[t.tag], 0)
		}
		p.kept[t.tag][t.first] = t.pull
	}
	p.terms = p.terms[:0]
}

// add adds a term; its tag tells it from others of the same first variable.
func (p *problem) add(tag int, t term) {
	t.tag = tag
	if t.form >= rub && tag < len(p.kept) && t.first < len(p.kept[tag]) {
		t.pull = p.kept[tag][t.first]
		p.kept[tag][t.first] = 0
	}
	p.terms = append(p.terms, t)
}

// half is the half width of the band: no term reaches over more variables.
const half = 4

type form int8

const (
	spring form = iota // ½k·max(|v - at| - lo, 0)²
	force              // k·v
	rub                // k·|v - at|, a multiplier within ±k
	within             // lo <= v - at <= up
)

// term is one of the energy's, of the variables from first on.
type term struct {
	form   form
	tag    int
	first  int
	c      [half + 1]float64
	k, at  float64
	lo, up float64
	pull   float64 // multiplier, N: the force along v against which it holds
}

func (t *term) value(x []float64) float64 {
	v := -t.at
	for i, c := range t.c {
		if c != 0 {
			v += c * x[t.first+i]
		}
	}
	return v
}

// push returns the force of a term at a value, and its rate; energy the term's energy.
func (t *term) push(v, stiff float64) (f, rate float64) {
	switch t.form {
	case spring:
		switch {
		case v > t.lo:
			return t.k * (v - t.lo), t.k
		case v < -t.lo:
			return t.k * (v + t.lo), t.k
		}
		return 0, 0
	case force:
		return t.k, 0
	case rub:
		f = t.pull + stiff*v
		if math.Abs(f) >= t.k {
			return math.Copysign(t.k, f), 0
		}
		return f, stiff
	}
	if f = t.pull + stiff*(v-t.up); f > 0 {
		return f, stiff
	}
	if f = t.pull + stiff*(v-t.lo); f < 0 {
		return f, stiff
	}
	return 0, 0
}

const (
	passes      = 60
	newtonSteps = 80
	hardest     = 1e5 // times the stiffness begun with
	searched    = 40  // halvings of a step
	loose       = 1e-7
	flat        = 0.03 // how small against its start the slope at the end of a step has to be
)

// solve minimises from x on; it reports whether every term gives by less than give.
func (p *problem) solve() bool {
	n := len(p.x)
	p.g, p.d = grown(p.g, n), grown(p.d, n)
	if cap(p.h) < n {
		p.h = make([][half + 1]float64, n)
	}
	p.h = p.h[:n]
	stiff := p.stiff
	for range passes {
		p.descend(stiff)
		gave := 0.0
		for i := range p.terms {
			t := &p.terms[i]
			if t.form < rub {
				continue
			}
			f, _ := t.push(t.value(p.x), stiff)
			gave = max(gave, math.Abs(f-t.pull)/stiff)
			t.pull = f
		}
		if gave < p.give {
			return true
		}
		stiff = min(4*stiff, hardest*p.stiff)
	}
	return false
}

func grown(x []float64, n int) []float64 {
	if cap(x) < n {
		return make([]float64, n, 2*n)
	}
	return x[:n]
}

// slopeAt fills gradient and Hessian and returns the gradient's largest entry.
func (p *problem) slopeAt(stiff float64) float64 {
	clear(p.g)
	for i := range p.h {
		p.h[i] = [half + 1]float64{loose * p.stiff}
	}
	for i := range p.terms {
		t := &p.terms[i]
		f, rate := t.push(t.value(p.x), stiff)
		for a, c := range t.c {
			if c == 0 {
				continue
			}
			p.g[t.first+a] += f * c
			if rate == 0 {
				continue
			}
			for b := a; b <= half; b++ {
				p.h[t.first+a][b-a] += rate * c * t.c[b]
			}
		}
	}
	most := 0.0
	for _, g := range p.g {
		most = max(most, math.Abs(g))
	}
	return most
}

func (p *problem) descend(stiff float64) {
	for range newtonSteps {
		if p.slopeAt(stiff) < 1e-8*p.stiff {
			return
		}
		p.newton()
		longest := 0.0
		for _, d := range p.d {
			longest = max(longest, math.Abs(d))
		}
		if longest < 1e-7 {
			return
		}
		p.search(stiff)
	}
}

// newton solves H·d = -g by Cholesky's method on the band, in place.
func (p *problem) newton() {
	n := len(p.x)
	for i := range n {
		for j := 1; j <= half && i+j < n; j++ { // rows below take this one's share
			l := p.h[i][j] / p.h[i][0]
			for k := j; k <= half && i+k < n; k++ {
				p.h[i+j][k-j] -= l * p.h[i][k]
			}
		}
		p.d[i] = -p.g[i]
	}
	for i := range n {
		for j := 1; j <= half && i+j < n; j++ {
			p.d[i+j] -= p.h[i][j] / p.h[i][0] * p.d[i]
		}
	}
	for i := n - 1; i >= 0; i-- {
		s := p.d[i]
		for j := 1; j <= half && i+j < n; j++ {
			s -= p.h[i][j] * p.d[i+j]
		}
		p.d[i] = s / p.h[i][0]
	}
}

// search takes the step at which the slope along d is nought: the energy is convex and its slope
// a broken line, so that Newton's method inside a bracket finds it.
func (p *problem) search(stiff float64) {
	p.v, p.dv = grown(p.v, len(p.terms)), grown(p.dv, len(p.terms))
	for i := range p.terms {
		t := &p.terms[i]
		p.v[i], p.dv[i] = t.value(p.x), t.value(p.d)+t.at
	}
	lo, up, at, begun := 0.0, math.Inf(1), 1.0, 0.0
	for i, d := range p.d {
		begun += p.g[i] * d
	}
	for range searched {
		slope, rate := 0.0, 0.0
		for i := range p.terms {
			if d := p.dv[i]; d != 0 {
				f, k := p.terms[i].push(p.v[i]+at*d, stiff)
				slope += f * d
				rate += k * d * d
			}
		}
		if slope <= 0 && at == 1 || math.Abs(slope) <= flat*math.Abs(begun) {
			break
		}
		if slope <= 0 {
			lo = at
		} else {
			up = at
		}
		next := at - slope/rate
		if !(next > lo && next < up) {
			next = (lo + min(up, 1)) / 2
		}
		if math.Abs(next-at) < 1e-4*at {
			break
		}
		at = next
	}
	for i, d := range p.d {
		p.x[i] += at * d
	}
}
