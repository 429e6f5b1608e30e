package fall

import "gonum.org/v1/gonum/spatial/r2"

// rollStiffness is a joint's beyond its roll play, N·mm/rad. An assumption.
const rollStiffness = 20e3

// kink is how far the chain turns down at a pin towards the next behind it, the sine of it.
func (r *fall) kink(i int) float64 {
	a, b := r2.Unit(r2.Sub(r.pins[i], r.pins[i-1])), r2.Unit(r2.Sub(r.pins[i+1], r.pins[i]))
	return -r2.Cross(a, b)
}

// rowTerms are those of tension, joints and ends.
func (r *fall) rowTerms() {
	n, p, c := len(r.pins), &r.side, r.Chain
	pitch := c.Pitch
	for i := range n - 1 {
		p.add(0, term{form: spring, first: 2 * i, c: [half + 1]float64{-1, 0, 1}, k: r.Tension / pitch})
	}
	for i := 1; i < n-1; i++ {
		kink, h := r.kink(i), c.PlateHalfHeight
		bend := [half + 1]float64{1, 0, -2, 0, 1}
		for e := range 2 {
			if l := &r.links[i-1+e]; (l.state != Seated && l.state != Strikes) || !r.low(i-1+e, l.cog) {
				bend[1+2*e] = -kink * pitch / h / 2
			}
		}
		turn := kink * h / pitch / 2
		p.add(0, term{form: spring, first: 2*i - 2, c: bend, k: c.Stiffness / pitch / pitch, lo: r.size(i).Slack * pitch})
		p.add(1, term{form: rub, first: 2*i - 2, c: bend, k: r.Tension * c.Contact / 2 / pitch})
		p.add(3, term{form: spring, first: 2*i - 2, c: [half + 1]float64{-turn, -1, 0, 1, turn}, k: rollStiffness / h / h, lo: r.Roll * h})
	}
	one := [half + 1]float64{1}
	p.add(2, term{form: within, first: 0, c: one, at: r.y[0]})
	p.add(2, term{form: within, first: 2, c: one, at: r.y[1]})
	p.add(2, term{form: within, first: 2*n - 2, c: one, at: r.far() * r.pins[n-1].X / r.Run})
	p.add(2, term{form: within, first: 2*n - 1, c: one})
}
