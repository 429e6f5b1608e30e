package sim

import "math"

// ShiftWorst is indexing and shifting of a design in a few numbers, by the default set of
// free numbers: the worst over its gears and steps.
type ShiftWorst struct {
	Valid   bool    // there is something to index: a tensioner and two cogs
	Window  Extreme // narrowest index window of a gear, mm; < 0: the pulleys fit nowhere
	Common  float64 // width of the cable's one setting in which every gear runs, mm; < 0: none
	Setting float64 // width of that in which every step is also made at once, mm; < 0: none
	Past    float64 // how far past the target cog the step goes that needs most, mm; < 0: before it
	From    int     // its cogs, indices
	To      int
	Wait    float64 // the longest mean wait for a place to cross, turns of the wheel
}

// shiftFold gathers them from the gears of a bike.
type shiftFold struct {
	odds   Odds
	free   Free
	to     *ShiftWorst
	gears  [2]float64 // the cable's one setting in which the gears so far run, mm
	shifts [2]float64 // in which the steps so far are made
}

// defaultFree returns what indexing and shifts take of the default set, which the bike has in
// its chain, cogs and room.
func (b *Bike) defaultFree() Free {
	return Free{Seat: b.Chain.Seat, Allowance: b.Cogs[0].Allowance, Room: b.CogRoom}
}

// OutcomeShifts is Outcome with indexing and shifts beside it, in the same pass over the gears.
func (e *Evaluator) OutcomeShifts(o *Outcome, w *ShiftWorst, b *Bike, links int) error {
	*w = ShiftWorst{}
	if b.Tensioner == nil || len(b.Cogs) < 2 {
		return e.Outcome(o, b, links)
	}
	all := [2]float64{math.Inf(-1), math.Inf(1)}
	s := &e.shift
	s.free, s.to, s.gears, s.shifts = b.defaultFree(), w, all, all
	w.Valid, w.Past = true, math.Inf(-1)
	err := e.Outcome(o, b, links)
	s.to = nil
	if err != nil {
		*w = ShiftWorst{}
		return err
	}
	w.Common = s.gears[1] - s.gears[0]
	w.Setting = min(s.gears[1], s.shifts[1]) - max(s.gears[0], s.shifts[0])
	return nil
}

// gear takes one gear in.
func (s *shiftFold) gear(y *laid) error {
	var x IndexWindow
	if err := s.odds.window(&x, y, &s.free); err != nil {
		return err
	}
	w := s.to
	w.Window.keepMin(x.To-x.From, y.ring, y.cog, AtGuide)
	s.gears[0], s.gears[1] = max(s.gears[0], x.From-x.Off), min(s.gears[1], x.To-x.Off)
	out, in := s.odds.steps(y, &s.free)
	if y.cog > 0 {
		s.shifts[0] = max(s.shifts[0], out.Past)
		s.step(&out)
	}
	if y.cog+1 < len(y.b.Cogs) {
		s.shifts[1] = min(s.shifts[1], -in.Past)
		s.step(&in)
	}
	return nil
}

func (s *shiftFold) step(x *Shift) {
	w := s.to
	if x.Past > w.Past {
		w.Past, w.From, w.To = x.Past, x.From, x.To
	}
	w.Wait = max(w.Wait, x.Delay)
}
