package sim

import "math"

// ShiftWorst is indexing and shifting of a design in a few numbers, by the default set of
// free numbers: the worst over its gears and steps.
type ShiftWorst struct {
	Window  Extreme // narrowest index window of a gear, mm; < 0: the pulleys fit nowhere
	Common  float64 // width of the cable's one setting in which every gear runs, mm; < 0: none
	Setting float64 // width of that in which every step is also made at once, mm; < 0: none
	Past    float64 // how far past the target cog the step goes that needs most, mm; < 0: before it
	From    int     // its cogs, indices
	To      int
	Wait    float64 // the longest mean wait for a place to cross, turns of the wheel
}

// ShiftJudge computes them for many bikes. It is scratch, for one goroutine.
type ShiftJudge struct {
	odds    Odds
	windows []IndexWindow
	shifts  []Shift
}

// defaultFree returns what indexing and shifts take of the default set, which the bike has in
// its chain, cogs and room.
func (b *Bike) defaultFree() Free {
	return Free{Seat: b.Chain.Seat, Allowance: b.Cogs[0].Allowance, Room: b.CogRoom}
}

// Worst fills in a bike's numbers with a chain of so many links, and reports whether there
// is anything to index: a tensioner and two cogs. Errors are as of Gears.
func (j *ShiftJudge) Worst(w *ShiftWorst, b *Bike, links int) (bool, error) {
	*w = ShiftWorst{}
	cogs := len(b.Cogs)
	if b.Tensioner == nil || cogs < 2 {
		return false, nil
	}
	for len(j.windows) < len(b.Rings)*cogs {
		j.windows = append(j.windows, IndexWindow{})
	}
	for len(j.shifts) < 2*(cogs-1) {
		j.shifts = append(j.shifts, Shift{})
	}
	f := b.defaultFree()
	windows, shifts := j.windows[:len(b.Rings)*cogs], j.shifts[:2*(cogs-1)]
	if err := j.odds.Index(windows, b, &f, links); err != nil {
		return true, err
	}
	for i := range windows {
		w.Window.keepMin(windows[i].To-windows[i].From, i/cogs, i%cogs, AtGuide)
	}
	from, to, _ := Overlap(windows)
	w.Common, w.Past = to-from, math.Inf(-1)
	for ring := range b.Rings {
		if err := j.odds.Shifts(shifts, b, &f, ring, links); err != nil {
			return true, err
		}
		lo, hi, _ := Setting(shifts)
		from, to = max(from, lo), min(to, hi)
		for i := range shifts {
			if s := &shifts[i]; s.Past > w.Past {
				w.Past, w.From, w.To = s.Past, s.From, s.To
			}
			w.Wait = max(w.Wait, shifts[i].Delay)
		}
	}
	w.Setting = to - from
	return true, nil
}
