package pins

// Past remembers the states of a march for two pitches: kinds of links alternate, so that a
// steady march, or one of alike links, comes back to about the same state after that. Its
// zero value has to be Reset.
type Past struct {
	Seats bool // whether what seats bear is remembered too

	states []State // a ring of the steps of two pitches and one
	steps  int     // how many states were kept since the reset
}

// State is a row's places and multipliers.
type State struct {
	Y, Bend []float64
	Seats   []Seat
}

// Reset forgets; steps is how many make two pitches.
func (p *Past) Reset(steps int) {
	if cap(p.states) < steps+1 {
		p.states = make([]State, steps+1)
	}
	p.states, p.steps = p.states[:steps+1], 0
}

// at returns the state kept so many steps ago.
func (p *Past) at(ago int) *State { return &p.states[(p.steps-ago)%len(p.states)] }

// Keep remembers a row's state after a step.
func (p *Past) Keep(r *Row) {
	p.steps++
	s := p.at(0)
	s.Y = append(s.Y[:0], r.Y...)
	s.Bend = append(s.Bend[:0], r.Bend...)
	if p.Seats {
		s.Seats = append(s.Seats[:0], r.Seats...)
	}
}

// Guess moves a row that is about to take a step to where it will about be, by the same step
// two pitches ago, and returns the state after that; nil where nothing is known. What is pin
// i now was pin i+gone at the step before; of the present pins the first known were there. A
// guess changes how soon the equilibrium is found, not where it is.
func (p *Past) Guess(r *Row, gone, known int) *State {
	n := len(p.states) - 1
	if p.steps <= n {
		return nil
	}
	after, before := p.at(n-1), p.at(n)
	if len(after.Y) != len(r.Y) {
		return nil
	}
	for i := max(0, -gone); i < len(r.Y); i++ {
		if j := i + gone; i < known && j < len(before.Y) {
			r.Y[i] += after.Y[i] - before.Y[j]
			r.Bend[i] = bounded(r.Bend[i]+after.Bend[i]-before.Bend[j], r.Moment[i])
		} else {
			r.Y[i], r.Bend[i] = after.Y[i], after.Bend[i]
		}
	}
	return after
}
