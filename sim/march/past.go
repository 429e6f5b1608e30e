package march

import "chainpath/sim/pins"

// past remembers the states of two pitches: kinds of links alternate, so that chains of
// alike links come back to about the same state after that.
type past struct {
	states []state // a ring of the steps of two pitches and one
	steps  int     // how many were kept
}

// state is a row's places and multipliers.
type state struct{ y, bend []float64 }

func newPast(stepsAPitch, n int) *past {
	p := &past{states: make([]state, 2*stepsAPitch+1)}
	for i := range p.states {
		p.states[i] = state{make([]float64, n), make([]float64, n)}
	}
	return p
}

// at returns the state kept so many steps ago.
func (p *past) at(ago int) *state { return &p.states[(p.steps-ago)%len(p.states)] }

// keep remembers a row's state after a step.
func (p *past) keep(r *pins.Row) {
	p.steps++
	s := p.at(0)
	copy(s.y, r.Y)
	copy(s.bend, r.Bend)
}

// guess moves a row that is about to take a step to where it will about be: by the
// same step two pitches ago. gone is how many slots the chain was renamed by since the
// step before, 0 or 1. A guess changes how soon the equilibrium is found, not where it
// is.
func (p *past) guess(r *pins.Row, gone int) {
	n := len(p.states) - 1
	if p.steps <= n {
		return
	}
	after, before := p.at(n-1), p.at(n)
	for i := gone; i < len(r.Y); i++ {
		r.Y[i] += after.y[i] - before.y[i-gone]
		r.Bend[i] = max(-r.Moment[i], min(r.Bend[i]+after.bend[i]-before.bend[i-gone], r.Moment[i]))
	}
}
