package engage

import "chainpath/sim/pins"

// past remembers the states of a march for two pitches: kinds of links alternate, so
// that a steady march comes back to the same state after that.
type past struct {
	states []state // a ring of the steps of two pitches and one
	steps  int     // how many states were kept since the reset
}

// state is a row's places and multipliers.
type state struct {
	y, bend []float64
	seats   []pins.Seat
}

// reset forgets; steps is how many make two pitches.
func (p *past) reset(steps int) {
	if cap(p.states) < steps+1 {
		p.states = make([]state, steps+1)
	}
	p.states, p.steps = p.states[:steps+1], 0
}

// at returns the state kept so many steps ago.
func (p *past) at(ago int) *state { return &p.states[(p.steps-ago)%len(p.states)] }

// keep remembers a row's state after a step.
func (p *past) keep(r *pins.Row) {
	p.steps++
	s := p.at(0)
	s.y = append(s.y[:0], r.Y...)
	s.bend = append(s.bend[:0], r.Bend...)
	s.seats = append(s.seats[:0], r.Seats...)
}

// guess moves a row that is about to take a step to where it will about be: by the
// same step two pitches ago. Since the step before the row lost its first gone pins,
// and of those it has now the first known were there. A guess changes how soon the
// equilibrium is found, not where it is.
func (p *past) guess(r *pins.Row, gone, known int) {
	n := len(p.states) - 1
	if p.steps <= n {
		return
	}
	after, before := p.at(n-1), p.at(n)
	if len(after.y) != len(r.Y) {
		return
	}
	for i := range r.Y {
		if j := i + gone; i < known && j < len(before.y) {
			r.Y[i] += after.y[i] - before.y[j]
			r.Bend[i] = max(-r.Moment[i], min(r.Bend[i]+after.bend[i]-before.bend[j], r.Moment[i]))
		} else {
			r.Y[i], r.Bend[i] = after.y[i], after.bend[i]
		}
	}
	r.Soft = pins.SoftGuessed
	j := 0
	for i := range r.Seats {
		s := &r.Seats[i]
		for j < len(after.seats) && after.seats[j].Link < s.Link {
			j++
		}
		if j < len(after.seats) && after.seats[j].Link == s.Link {
			s.Stick, s.Wall = after.seats[j].Stick, after.seats[j].Wall
		}
	}
}
