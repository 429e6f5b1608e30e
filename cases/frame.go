package cases

import (
	"gonum.org/v1/gonum/interp"

	"chainpath/sim"
)

// frame returns stay and drop, as given or at the travel along the axle's path.
func (c *Case) frame(d *numbers) (sim.Frame, error) {
	f := &c.Frame
	if len(f.Path) == 0 {
		if f.Travel.Given && f.Travel.Value != 0 {
			return sim.Frame{}, c.fail("frame.travel", "given without axle_path, want both")
		}
		return sim.Frame{Stay: f.Stay.Or(d.of("frame.stay")), Drop: f.Drop.Or(d.of("frame.drop"))}, nil
	}
	if f.Stay.Given || f.Drop.Given || f.Slot != nil {
		return sim.Frame{}, c.fail("frame.axle_path", "given beside stay, drop or slot, want it alone")
	}
	return c.onPath()
}

// onPath interpolates the axle's path: a piecewise cubic that does not overshoot
// (Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5, 1984).
func (c *Case) onPath() (sim.Frame, error) {
	f := &c.Frame
	n := len(f.Path)
	if n < 2 {
		return sim.Frame{}, c.fail("frame.axle_path", "%d point, want at least 2", n)
	}
	at, stay, drop := make([]float64, n), make([]float64, n), make([]float64, n)
	for i, p := range f.Path {
		at[i], stay[i], drop[i] = p.Travel.Value, p.Stay.Value, p.Drop.Value
		if i > 0 && at[i] <= at[i-1] {
			return sim.Frame{}, c.fail("frame.axle_path", "travel %g mm after %g mm, want it to rise", at[i], at[i-1])
		}
	}
	x := f.Travel.Or(at[0])
	if x < at[0] || x > at[n-1] {
		return sim.Frame{}, c.fail("frame.travel", "%g mm is off the axle path, want %g to %g mm", x, at[0], at[n-1])
	}
	var s, d interp.FritschButland
	if err := s.Fit(at, stay); err != nil {
		return sim.Frame{}, err
	}
	if err := d.Fit(at, drop); err != nil {
		return sim.Frame{}, err
	}
	far := sim.Farthest{Stay: stay[0], Drop: drop[0]}
	for i := range stay {
		if stay[i] > far.Stay {
			far = sim.Farthest{Stay: stay[i], Drop: drop[i]}
		}
	}
	return sim.Frame{Stay: s.Predict(x), Drop: d.Predict(x), Farthest: far}, nil
}
