package sim

import "math"

// jump is the difference of neighbouring nodes, rad, above which the line between them
// is looked at before it is taken. Below it, the line cannot be off by more than
// TableError where the limit only rises or falls in between.
const jump = TableError

// cut is where a value jumps between two nodes: from, at a share of the way, to; none
// when at is 0.
type cut struct{ at, from, to float64 }

// cutSteps is how often the way in which a jump lies is halved: to 2^-16 of the way
// between two nodes, that is 2e-7 of the tension.
const cutSteps = 16

// value returns what lies between two nodes at a share of the way.
func (c cut) value(x, y, w float64) float64 {
	switch {
	case c.at == 0:
		return x + w*(y-x)
	case w <= c.at:
		return x + w/c.at*(c.from-x)
	}
	return c.to + (w-c.at)/(1-c.at)*(y-c.to)
}

// steep returns the values at a place between two nodes that differ much.
func (tab *table) steep(p tensionAt, solve func(tension float64) (a, b float64, err error)) (a, b float64, err error) {
	x, y := &tab.nodes[p.i], &tab.nodes[p.i+1]
	both, known := tab.cuts[p.i]
	if !known {
		for k, ends := range [...][2]float64{{x.a, y.a}, {x.b, y.b}} {
			between := func(w float64) (float64, error) {
				a, b, err := solve(math.Exp2((float64(p.i) + w) / nodesPerOctave))
				return [2]float64{a, b}[k], err
			}
			if both[k], err = cutBetween(ends[0], ends[1], between); err != nil {
				return 0, 0, err
			}
		}
		if tab.cuts == nil {
			tab.cuts = map[int][2]cut{}
		}
		tab.cuts[p.i] = both
	}
	return both[0].value(x.a, y.a, p.w), both[1].value(x.b, y.b, p.w), nil
}

// cutBetween finds the jump between two values; none where the middle lies on the line.
func cutBetween(x, y float64, between func(w float64) (float64, error)) (c cut, err error) {
	if math.Abs(y-x) <= jump {
		return c, nil
	}
	lo, hi, vlo, vhi := 0.0, 1.0, x, y
	for i := range cutSteps {
		w := (lo + hi) / 2
		v, err := between(w)
		if err != nil {
			return c, err
		}
		if i == 0 && math.Abs(v-(x+y)/2) < TableError/4 {
			return c, nil
		}
		if math.Abs(v-vlo) < math.Abs(v-vhi) {
			lo, vlo = w, v
		} else {
			hi, vhi = w, v
		}
	}
	return cut{(lo + hi) / 2, vlo, vhi}, nil
}
