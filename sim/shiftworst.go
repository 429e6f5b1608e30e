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
	begun  bool       // what the guide runs alone leave is in gears and narrow
	narrow float64    // the narrowest window that the guide runs alone leave, mm
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
	s.free, s.to, s.gears, s.shifts, s.begun, s.narrow = b.defaultFree(), w, all, all, false, math.Inf(1)
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

// begin takes in what the guide runs alone leave, of every cog.
func (s *shiftFold) begin(b *Bike) {
	s.begun = true
	s.odds.guides.review(b, &s.free)
	for cog := range b.Cogs {
		x, off := &s.odds.guides.at(b, cog).window, s.odds.guides.off[cog]
		s.narrow = min(s.narrow, x.To-x.From)
		s.gears[0], s.gears[1] = max(s.gears[0], x.From-off), min(s.gears[1], x.To-off)
	}
}

// shiftGear takes one gear in; where are its tensions' places.
func (e *Evaluator) shiftGear(y *laid, where *pullsAt) error {
	s := &e.shift
	if !s.begun {
		s.begin(y.b)
	}
	w, k, c := s.to, s.odds.guides.at(y.b, y.cog), &y.b.Chain
	from, to, off := k.window.From, k.window.To, s.odds.guides.off[y.cog]
	if n := y.besideCog(); n != nil {
		// A top run that neither the cable's setting nor the narrowest window can feel need
		// not be known any better.
		felt := max(from, min(s.gears[0]+off, to-s.narrow))
		if k.touches(n.straightLeast(c)+s.free.Room) > felt {
			far, err := e.passes(y, n, s.free.Room-k.run.seat, where)
			if err != nil {
				return err
			}
			if !far {
				x := k.window
				if err := s.odds.touch(&x, n, c, k, &s.free); err != nil {
					return err
				}
				from = x.From
			}
		}
	}
	w.Window.keepMin(to-from, y.ring, y.cog, AtGuide)
	s.narrow = min(s.narrow, to-from)
	s.gears[0] = max(s.gears[0], from-off)
	out, in := y.steps(&s.odds.guides, &s.free)
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

// passes reports whether a run beside the next larger cog, with room put onto the gap,
// surely does not meet it, by the tables; false where they do not tell.
func (e *Evaluator) passes(y *laid, n *beside, room float64, where *pullsAt) (bool, error) {
	towards := n.towards()
	if e.Exact || towards <= 0 {
		return false, nil
	}
	b, c, d := y.b, &y.b.Chain, Riding
	if n.pulls[Backwards] > n.pulls[d] { // the hardest, as Odds.meet has it
		d = Backwards
	}
	tab := e.cache.rub(e, len(b.Cogs)+len(b.Rings)+n.place, n.own, n.next, c, room)
	limit, err := e.rubLimit(tab, n.own, n.next, c, room, n.pulls[d], where.top[d])
	return math.Atan(towards) < limit-2*TableError, err
}

func (s *shiftFold) step(x *Shift) {
	w := s.to
	if x.Past > w.Past {
		w.Past, w.From, w.To = x.Past, x.From, x.To
	}
	w.Wait = max(w.Wait, x.Delay)
}
